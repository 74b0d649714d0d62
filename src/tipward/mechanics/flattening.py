"""What the rolls do to the wire: fully plastic flats on solid wire, ring collapse of tubular wire."""

import numpy as np

from tipward.mechanics.arrays import Number
from tipward.mechanics.contact import ellipse_ratio

# Length of tube that carries a nip, in wire diameters; the deformed length of a thin tube is one to three of them.
RING_LENGTH_DIAMETERS = 2.0  # judgement
# How fast a tube beyond its ring collapse goes oval, as a share of its diameter per unit of overload.
RING_OVALITY_1 = 0.5  # judgement


def flat_half_width(clamp_n: Number, yield_pa: Number, diameter_m: Number, roll_diameter_m: Number) -> Number:
    """Half the width of the flat that one roll presses into a solid wire.

    Parameters
    ----------
    clamp_n : float or array
        Force of that contact [N].
    yield_pa : float or array
        Yield stress of the drawn wire [Pa].
    diameter_m : float or array
        Diameter of the wire [m].
    roll_diameter_m : float or array
        Diameter of the roll [m].

    Returns
    -------
    float or array
        b = sqrt(A / (pi k)), A = W / (3 Y), k the ellipse ratio of crossed cylinders [m]; at most the wire's radius.

    Raises
    ------
    Nothing.

    Source: own-derivation: mean pressure 3 Y of a fully plastic contact.

    >>> round(float(flat_half_width(100.0, 850e6, 0.0009, 0.030)) * 1e6)
    36
    """
    area = clamp_n / (3 * yield_pa)
    width = np.sqrt(area / (np.pi * ellipse_ratio(diameter_m / 2, roll_diameter_m / 2)))
    return np.minimum(width, diameter_m / 2)


def flat_depth(clamp_n: Number, yield_pa: Number, diameter_m: Number, roll_diameter_m: Number) -> Number:
    """Depth of the flat that one roll presses into a solid wire.

    Parameters
    ----------
    clamp_n : float or array
        Force of that contact [N].
    yield_pa : float or array
        Yield stress of the drawn wire [Pa].
    diameter_m : float or array
        Diameter of the wire [m].
    roll_diameter_m : float or array
        Diameter of the roll [m].

    Returns
    -------
    float or array
        R_w - sqrt(R_w^2 - b^2) [m].

    Raises
    ------
    Nothing.

    Source: own-derivation (geometry of the flat).

    >>> round(float(flat_depth(100.0, 850e6, 0.0009, 0.030)) * 1e6, 2)
    1.44
    """
    half = np.asarray(diameter_m) / 2
    width = flat_half_width(clamp_n, yield_pa, diameter_m, roll_diameter_m)
    depth: Number = half - np.sqrt(half**2 - width**2)
    return depth


def ring_collapse(yield_pa: Number, sheath_m: Number, diameter_m: Number) -> Number:
    """Load per length at which the sheath of a tubular wire folds flat.

    Parameters
    ----------
    yield_pa : float or array
        Yield stress of the sheath [Pa].
    sheath_m : float or array
        Thickness of the sheath [m].
    diameter_m : float or array
        Outer diameter [m].

    Returns
    -------
    float or array
        2 Y t^2 / D_mean [N/m], good to about 50 %.

    Raises
    ------
    Nothing.

    Source: memory (plastic hinges of a ring between two flats).

    >>> round(ring_collapse(450e6, 0.0003, 0.0012))
    90000
    """
    return 2 * yield_pa * sheath_m**2 / (diameter_m - sheath_m)


def ovality(
    clamp_n: Number,
    yield_pa: Number,
    diameter_m: Number,
    roll_diameter_m: Number,
    half_angle_rad: Number = np.pi / 2,
    ring_clamp_n: Number = np.inf,
) -> Number:
    """Largest less smallest diameter of the wire after the rolls.

    Parameters
    ----------
    clamp_n : float or array
        Clamp force of the rolls [N].
    yield_pa : float or array
        Yield stress of the drawn wire [Pa].
    diameter_m : float or array
        Diameter of the wire [m].
    roll_diameter_m : float or array
        Diameter of the rolls [m].
    half_angle_rad : float or array
        Half-angle of the V groove; pi/2 where the groove does not wedge [rad].
    ring_clamp_n : float or array
        Clamp force at which a tubular wire folds; infinite for solid wire [N].

    Returns
    -------
    float or array
        The deeper of the flat under the idler and that on a flank, plus the fold of a tube past its collapse [m].

    Raises
    ------
    Nothing.

    Source: own-derivation; the fold of a tube is judgement.

    >>> round(float(ovality(100.0, 180e6, 0.0012, 0.030)) * 1e6, 1)
    6.2
    """
    worst = clamp_n * np.maximum(1.0, 1 / (2 * np.sin(half_angle_rad)))
    over = np.maximum(clamp_n / ring_clamp_n - 1, 0.0)
    folded = np.minimum(RING_OVALITY_1 * over, 1.0) * diameter_m
    return flat_depth(worst, yield_pa, diameter_m, roll_diameter_m) + folded


def crush_clamp(
    allowed_ovality_m: Number,
    yield_pa: Number,
    diameter_m: Number,
    roll_diameter_m: Number,
    half_angle_rad: Number = np.pi / 2,
    ring_clamp_n: Number = np.inf,
) -> Number:
    """Largest clamp force that leaves the wire round enough.

    Parameters
    ----------
    allowed_ovality_m : float or array
        Flat depth that the contact tip still passes [m].
    yield_pa : float or array
        Yield stress of the drawn wire [Pa].
    diameter_m : float or array
        Diameter of the wire [m].
    roll_diameter_m : float or array
        Diameter of the rolls [m].
    half_angle_rad : float or array
        Half-angle of the V groove; pi/2 where the groove does not wedge [rad].
    ring_clamp_n : float or array
        Clamp force at which a tubular wire folds; infinite for solid wire [N].

    Returns
    -------
    float or array
        The flat formula turned round, at most the ring collapse [N].

    Raises
    ------
    Nothing.

    Source: own-derivation.

    >>> round(float(crush_clamp(10e-6, 180e6, 0.0012, 0.030)))
    162
    """
    width2 = allowed_ovality_m * (diameter_m - allowed_ovality_m)
    flat = 3 * yield_pa * np.pi * ellipse_ratio(diameter_m / 2, roll_diameter_m / 2) * width2
    return np.minimum(flat / np.maximum(1.0, 1 / (2 * np.sin(half_angle_rad))), ring_clamp_n)
