"""The free gap behind the nip: Euler's column, and the eccentric plastic hinge that really nests the wire."""

import numpy as np

from tipward.mechanics.arrays import Floats, Number

HALVINGS = 60


def euler_load(stiffness_n_m2: Number, length_m: Number, end_factor_1: Number = 1.0) -> Number:
    """Push at which a straight elastic column bows out.

    Parameters
    ----------
    stiffness_n_m2 : float or array
        Bending stiffness EI [N m^2].
    length_m : float or array
        Free length [m].
    end_factor_1 : float or array
        1 pinned, 0.7 pinned and held, 0.5 held at both ends [1].

    Returns
    -------
    float or array
        pi^2 EI / (K L)^2 [N].

    Raises
    ------
    Nothing.

    Source: euler-1757.

    >>> round(float(euler_load(6.6667e-3, 0.01, 0.7)))
    1343
    """
    return np.pi**2 * stiffness_n_m2 / (end_factor_1 * length_m) ** 2


def euler_shortest(young_pa: Number, proportional_pa: Number, gyration_m: Number, end_factor_1: Number = 1.0) -> Number:
    """Shortest column for which Euler's load is still elastic.

    Parameters
    ----------
    young_pa : float or array
        Young's modulus [Pa].
    proportional_pa : float or array
        Limit of proportionality [Pa].
    gyration_m : float or array
        Least radius of gyration; d/4 for a round wire [m].
    end_factor_1 : float or array
        End factor K [1].

    Returns
    -------
    float or array
        pi r sqrt(E / s) / K [m].

    Raises
    ------
    Nothing.

    Source: euler-1757; check fossee-3776.

    >>> round(float(euler_shortest(200e9, 250e6, 0.060 / 12**0.5)), 3)
    1.539
    """
    return np.pi * gyration_m * np.sqrt(young_pa / proportional_pa) / end_factor_1


def hinge_collapse(squash_n: Number, plastic_moment_n_m: Number, euler_n: Number, offset_m: Number) -> Number:
    """Push at which a wire that stands off the line of push folds at a plastic hinge: the nest.

    Parameters
    ----------
    squash_n : float or array
        Yield stress times area, F_y [N].
    plastic_moment_n_m : float or array
        Plastic moment M_p [N m].
    euler_n : float or array
        Euler load of the gap, P_cr [N].
    offset_m : float or array
        How far the wire stands off the line of push, e [m].

    Returns
    -------
    float or array
        F of (F/F_y)^2 + F e / (M_p (1 - F/P_cr)) = 1 [N].

    Raises
    ------
    Nothing.

    Source: own-derivation (docs/explanation/feed-force.md).

    >>> round(float(hinge_collapse(540.0, 0.1033, 1343.0, 0.0005)), 1)
    164.5
    """
    low = np.zeros(np.broadcast(squash_n, plastic_moment_n_m, euler_n, offset_m).shape)
    high: Floats = np.minimum(squash_n, euler_n) + low
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        slack = (1 - middle / euler_n) * ((middle / squash_n) ** 2 - 1) + middle * offset_m / plastic_moment_n_m
        low, high = np.where(slack < 0, middle, low), np.where(slack < 0, high, middle)
    return (low + high) / 2
