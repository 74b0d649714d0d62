"""Slack and stretch between rolls and tip, and two motors in step."""

import numpy as np
from numpy.typing import NDArray

from tipward.mechanics.arrays import Number


def backlash(clearance_m: Number, turning_rad: Number) -> Number:
    """Length of wire stored when it crosses from the inside to the outside of all bends.

    Parameters
    ----------
    clearance_m : float or array
        Bore less wire diameter [m].
    turning_rad : float or array
        Total angle of all bends [rad].

    Returns
    -------
    float or array
        c theta [m]: burn-back at a start, lag of a push-pull set.

    Raises
    ------
    Nothing.

    Source: geometry (exact).

    >>> round(backlash(0.0006, 2 * np.pi) * 1e3, 3)
    3.77
    """
    return clearance_m * turning_rad


def axial_compliance(
    length_m: Number, young_pa: Number, area_m2: Number, stiffness_n_m2: Number, radial_m: Number
) -> Number:
    """How much a pushed wire shortens in its bore, per newton.

    Parameters
    ----------
    length_m : float or array
        Length [m].
    young_pa : float or array
        Young's modulus [Pa].
    area_m2 : float or array
        Area of metal [m^2].
    stiffness_n_m2 : float or array
        Bending stiffness EI [N m^2].
    radial_m : float or array
        Radial clearance [m].

    Returns
    -------
    float or array
        L (1/(EA) + r^2/(4 EI)) [m/N].

    Raises
    ------
    Nothing.

    Source: own-derivation (docs/explanation/feed-force.md).

    >>> round(axial_compliance(4.0, 207e9, 6.3617e-7, 6.6667e-3, 0.0003) * 1e6, 1)
    43.9
    """
    return length_m * (1 / (young_pa * area_m2) + radial_m**2 / (4 * stiffness_n_m2))


def push_left(tip_force_n: Number, pull_force_n: Number) -> Number:
    """Force in the wire behind the gun's own rolls: what is left for the feeder to push.

    Parameters
    ----------
    tip_force_n : float or array
        Force that the wire needs in front of the gun's rolls [N].
    pull_force_n : float or array
        Pull of the gun's motor [N].

    Returns
    -------
    float or array
        F_tip - F_pull [N]; negative is tension.

    Raises
    ------
    Nothing.

    Source: statics.

    >>> push_left(2.0, 6.0)
    -4.0
    """
    return tip_force_n - pull_force_n


def in_step(
    push_n: Number, push_grip_n: Number, pull_n: Number, pull_grip_n: Number, lag_m: Number, backlash_m: Number
) -> NDArray[np.bool_] | np.bool_:
    """Whether both motors of a push-pull set keep step.

    Parameters
    ----------
    push_n, push_grip_n : float or array
        Push of the feeder and the grip of its rolls [N].
    pull_n, pull_grip_n : float or array
        Pull of the gun and the grip of its rolls [N].
    lag_m : float or array
        How much more wire the feeder gave than the gun took [m]; negative where the gun took more.
    backlash_m : float or array
        Slack that the bends can store [m].

    Returns
    -------
    bool array
        True where both hold and the wire is neither slack past the backlash nor stretched past slip.

    Raises
    ------
    Nothing.

    Source: own-derivation (physics of push-pull, docs/explanation/feed-force.md).

    >>> bool(in_step(5.0, 30.0, 6.0, 20.0, 0.002, 0.004))
    True
    """
    holds = (np.asarray(push_n) <= push_grip_n) & (np.asarray(pull_n) <= pull_grip_n)
    return holds & (np.asarray(lag_m) <= backlash_m)
