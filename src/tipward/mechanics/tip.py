"""The contact tip: the curl of the wire pressed straight over its bore, and what sticks there."""

import numpy as np

from tipward.mechanics.arrays import Number


def cast_pressing(stiffness_n_m2: Number, cast_diameter_m: Number, clearance_m: Number, tip_length_m: Number) -> Number:
    """Sum of the contact forces with which the curl of the wire lies in the bore of the tip.

    Parameters
    ----------
    stiffness_n_m2 : float or array
        Bending stiffness EI [N m^2].
    cast_diameter_m : float or array
        Diameter of the free loop [m].
    clearance_m : float or array
        Bore of the tip less wire diameter [m]; nought or less means that nothing passes.
    tip_length_m : float or array
        Length of the bore [m].

    Returns
    -------
    float or array
        2 EI k0 / min(sqrt(24 R0 c), length), k0 = 2 / cast diameter [N]; infinite where c <= 0.

    Raises
    ------
    Nothing.

    Source: own-derivation (docs/explanation/feed-force.md).

    >>> round(float(cast_pressing(6.6667e-3, 1.0, 0.0002, 0.025)), 2)
    1.07
    """
    passes = np.asarray(clearance_m) > 0
    across = np.sqrt(24 * cast_diameter_m / 2 * np.where(passes, clearance_m, 1.0))
    pressing = 4 * stiffness_n_m2 / cast_diameter_m / np.minimum(across, tip_length_m)
    return np.where(passes, pressing, np.inf)


def curl_bow(cast_diameter_m: Number, tip_length_m: Number) -> Number:
    """How far the curl of the wire bows over the length of the tip: a bore wider than that leaves the contact loose.

    Parameters
    ----------
    cast_diameter_m : float or array
        Diameter of the free loop [m].
    tip_length_m : float or array
        Length of the bore [m].

    Returns
    -------
    float or array
        L^2 / (8 R0) [m]; where the clearance is larger, the wire touches where it likes.

    Raises
    ------
    Nothing.

    Source: geometry (sagitta of an arc).

    >>> round(curl_bow(0.8, 0.027) * 1e3, 3)
    0.228
    """
    return tip_length_m**2 / (4 * cast_diameter_m)


def tip_force(friction_1: Number, pressing_n: Number, bridge_force_n: Number = 0.0, spatter_n: Number = 0.0) -> Number:
    """Force that holds the wire in the contact tip.

    Parameters
    ----------
    friction_1 : float or array
        Friction of wire on the hot copper of the tip [1].
    pressing_n : float or array
        Sum of contact forces of the curl [N].
    bridge_force_n : float or array
        Hold of hot bridges, only while the arc burns [N]; a solidified one shears at about 4.5 N.
    spatter_n : float or array
        Hold of spatter or of a fused wire [N].

    Returns
    -------
    float or array
        mu N + bridges + spatter [N].

    Raises
    ------
    Nothing.

    Source: own-derivation; bridges: jws-2005-209.

    >>> round(tip_force(0.3, 1.0, 1.2), 2)
    1.5
    """
    return friction_1 * pressing_n + bridge_force_n + spatter_n
