"""The cross-section of a wire: area, stiffness, weight, plastic moment. Solid, or a tube filled with flux."""

import numpy as np

from tipward.mechanics.arrays import Number

GRAVITY_M_PER_S2 = 9.80665  # standard gravity (bipm-si)


def wire_area(diameter_m: Number, hole_m: Number = 0.0) -> Number:
    """Area of metal in the cross-section.

    Parameters
    ----------
    diameter_m : float or array
        Outer diameter [m].
    hole_m : float or array
        Diameter of the filled hole of a tubular wire [m].

    Returns
    -------
    float or array
        pi (d^2 - h^2) / 4 [m^2].

    Raises
    ------
    Nothing.

    Source: geometry.

    >>> round(wire_area(0.0009) * 1e6, 4)
    0.6362
    """
    return np.pi / 4 * (diameter_m**2 - hole_m**2)


def bending_stiffness(young_pa: Number, diameter_m: Number, stiffness_factor_1: Number = 1.0) -> Number:
    """Bending stiffness EI of a wire.

    Parameters
    ----------
    young_pa : float or array
        Young's modulus [Pa].
    diameter_m : float or array
        Outer diameter [m].
    stiffness_factor_1 : float or array
        Share of the stiffness of a solid wire [1]; 0.88-0.96 for tubular wire (memory).

    Returns
    -------
    float or array
        EI [N m^2].

    Raises
    ------
    Nothing.

    Source: geometry.

    >>> round(bending_stiffness(207e9, 0.0009), 7)
    0.0066667
    """
    square = diameter_m * diameter_m
    return stiffness_factor_1 * young_pa * np.pi / 64 * square * square


def wire_weight(density_kg_per_m3: Number, diameter_m: Number) -> Number:
    """Weight of wire per length.

    Parameters
    ----------
    density_kg_per_m3 : float or array
        Density; for tubular wire the mean over the whole section [kg/m^3].
    diameter_m : float or array
        Outer diameter [m].

    Returns
    -------
    float or array
        Weight [N/m].

    Raises
    ------
    Nothing.

    Source: geometry; standard gravity of bipm-si.

    >>> round(wire_weight(7850.0, 0.0009) / GRAVITY_M_PER_S2 * 1e3, 3)
    4.994
    """
    return density_kg_per_m3 * GRAVITY_M_PER_S2 * wire_area(diameter_m)


def plastic_moment(yield_pa: Number, diameter_m: Number, hole_m: Number = 0.0) -> Number:
    """Moment at which the whole section yields.

    Parameters
    ----------
    yield_pa : float or array
        Yield stress of the drawn wire [Pa].
    diameter_m : float or array
        Outer diameter [m].
    hole_m : float or array
        Diameter of the filled hole of a tubular wire [m].

    Returns
    -------
    float or array
        Y (d^3 - h^3) / 6 [N m].

    Raises
    ------
    Nothing.

    Source: own-derivation (fully plastic round section).

    >>> round(plastic_moment(850e6, 0.0009), 4)
    0.1033
    """
    return yield_pa * (diameter_m * diameter_m * diameter_m - hole_m * hole_m * hole_m) / 6


def elastic_radius(young_pa: Number, yield_pa: Number, diameter_m: Number) -> Number:
    """Tightest radius that bends a straight wire without setting it.

    Parameters
    ----------
    young_pa : float or array
        Young's modulus [Pa].
    yield_pa : float or array
        Yield stress of the drawn wire [Pa].
    diameter_m : float or array
        Outer diameter [m].

    Returns
    -------
    float or array
        E d / (2 Y) [m].

    Raises
    ------
    Nothing.

    Source: own-derivation (outer fibre at yield).

    >>> round(elastic_radius(207e9, 850e6, 0.0009), 4)
    0.1096
    """
    return young_pa * diameter_m / (2 * yield_pa)


def plastic_bending_drag(
    young_pa: Number, yield_pa: Number, diameter_m: Number, radius_m: Number, hole_m: Number = 0.0
) -> Number:
    """Drag of a wire that a bend sets for good: work per length for straight, bent, straight again.

    Parameters
    ----------
    young_pa : float or array
        Young's modulus [Pa].
    yield_pa : float or array
        Yield stress of the drawn wire [Pa].
    diameter_m : float or array
        Outer diameter [m].
    radius_m : float or array
        Radius of the bend [m].
    hole_m : float or array
        Diameter of the filled hole of a tubular wire [m].

    Returns
    -------
    float or array
        Work per length [N]; exactly 0 where R >= E d / (2 Y).

    Raises
    ------
    Nothing.

    Source: own-derivation (fibres, elastic then perfectly plastic in both directions).

    >>> round(float(plastic_bending_drag(207e9, 850e6, 0.0009, 0.060)), 2)
    0.32
    """
    if np.all(np.asarray(radius_m) >= elastic_radius(young_pa, yield_pa, diameter_m)):
        return 0.0 * (young_pa + yield_pa + diameter_m + radius_m + hole_m)
    outer = _fibres(young_pa, yield_pa, diameter_m, radius_m)
    return outer - _fibres(young_pa, yield_pa, hole_m, radius_m) if np.any(hole_m) else outer


def _fibres(young_pa: Number, yield_pa: Number, diameter_m: Number, radius_m: Number) -> Number:
    """Sum of the work of all fibres of a full round section, both sides."""
    half = np.maximum(np.asarray(diameter_m) / 2, 1e-12)
    strain = yield_pa / young_pa
    edge = strain * radius_m / half
    area, square, _ = _caps(edge, half)
    area2, square2, arm2 = _caps(2.0 * edge, half) if np.any(edge < 0.5) else (0.0, 0.0, 0.0)
    once = young_pa / 2 * ((square - square2) / radius_m**2 - strain**2 * (area - area2))
    twice = yield_pa * (2 * arm2 / radius_m - 2.5 * strain * area2)
    work: Number = np.maximum(2 * (once + twice), 0.0)
    return work


def _caps(edge_1: Number, half_m: Number) -> tuple[Number, Number, Number]:
    """Area [m^2], second moment [m^4] and first moment [m^3] of the two caps of a round section beyond this share of its radius."""
    cos = np.minimum(edge_1, 1.0)
    sin = np.sqrt(1.0 - cos * cos)
    turn, both = np.arccos(cos), sin * cos
    half2, leg = half_m * half_m, half_m * sin
    area = half2 * (turn - both)
    square = half2 * half2 / 4 * (turn - both * (2.0 * cos * cos - 1.0))
    return area, square, 2 / 3 * leg * leg * leg
