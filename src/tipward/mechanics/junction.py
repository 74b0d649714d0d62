"""Where the conduit changes its curvature the stiff wire leans on both walls: drag without any pull."""

import numpy as np

from tipward.mechanics.arrays import Number


def junction_length(clearance_m: Number, curvature_change_per_m: Number) -> Number:
    """Length over which the wire crosses its clearance to take up a new curvature.

    Parameters
    ----------
    clearance_m : float or array
        Bore less wire diameter [m].
    curvature_change_per_m : float or array
        Change of curvature, unsigned [1/m].

    Returns
    -------
    float or array
        sqrt(24 c / dk) [m].

    Raises
    ------
    Nothing.

    Source: own-derivation (docs/explanation/feed-force.md).

    >>> round(float(junction_length(0.0006, 1 / 0.15)) * 1e3, 2)
    46.48
    """
    with np.errstate(divide="ignore"):
        return np.sqrt(np.divide(24 * clearance_m, curvature_change_per_m))


def junction_normal(
    stiffness_n_m2: Number, clearance_m: Number, curvature_change_per_m: Number, plastic_moment_n_m: Number = np.inf
) -> Number:
    """Sum of the contact forces where the curvature of the conduit changes.

    Parameters
    ----------
    stiffness_n_m2 : float or array
        Bending stiffness EI [N m^2].
    clearance_m : float or array
        Bore less wire diameter [m].
    curvature_change_per_m : float or array
        Change of curvature, unsigned [1/m].
    plastic_moment_n_m : float or array
        Largest moment that the wire can carry [N m].

    Returns
    -------
    float or array
        2 dM / l, dM = min(EI dk, M_p) [N].

    Raises
    ------
    Nothing.

    Source: own-derivation: equals a constrained beam of least bending energy to 0.1 %, F far under pi^2 EI / l^2.

    >>> round(float(junction_normal(6.6667e-3, 0.0006, 1 / 0.15)), 4)
    1.9126
    """
    moment = np.minimum(stiffness_n_m2 * curvature_change_per_m, plastic_moment_n_m)
    return 2 * moment / junction_length(clearance_m, curvature_change_per_m)


def junction_drag(
    friction_1: Number,
    stiffness_n_m2: Number,
    clearance_m: Number,
    curvature_change_per_m: Number,
    plastic_moment_n_m: Number = np.inf,
) -> Number:
    """Drag where the curvature of the conduit changes; each bend has two such places.

    Parameters
    ----------
    friction_1 : float or array
        Coefficient of friction [1].
    stiffness_n_m2 : float or array
        Bending stiffness EI [N m^2].
    clearance_m : float or array
        Bore less wire diameter [m].
    curvature_change_per_m : float or array
        Change of curvature, unsigned [1/m].
    plastic_moment_n_m : float or array
        Largest moment that the wire can carry [N m].

    Returns
    -------
    float or array
        mu times the sum of contact forces [N].

    Raises
    ------
    Nothing.

    Source: own-derivation (docs/explanation/feed-force.md).

    >>> round(float(junction_drag(0.15, 6.6667e-3, 0.0006, 1 / 0.15)), 3)
    0.287
    """
    return friction_1 * junction_normal(stiffness_n_m2, clearance_m, curvature_change_per_m, plastic_moment_n_m)


def junction_validity(stiffness_n_m2: Number, clearance_m: Number, curvature_change_per_m: Number) -> Number:
    """Force up to which the junction drag is good: the wire's own buckling load between its contacts.

    Parameters
    ----------
    stiffness_n_m2 : float or array
        Bending stiffness EI [N m^2].
    clearance_m : float or array
        Bore less wire diameter [m].
    curvature_change_per_m : float or array
        Change of curvature, unsigned [1/m].

    Returns
    -------
    float or array
        pi^2 EI / l^2 [N]; forces must stay far below it, else the drag is uncertain.

    Raises
    ------
    Nothing.

    Source: own-derivation (docs/explanation/feed-force.md).

    >>> round(float(junction_validity(6.6667e-3, 0.0006, 1 / 0.15)), 1)
    30.5
    """
    return np.pi**2 * stiffness_n_m2 * curvature_change_per_m / (24 * clearance_m)
