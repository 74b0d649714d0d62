"""Common quasi-random draws of everything about a path that nobody gave, and changes of the drawn path."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache

import numpy as np

from tipward.foundation import NotKnownError
from tipward.mechanics.arrays import Floats, Number, Values
from tipward.mechanics.ranges import Range, range_of
from tipward.mechanics.spool import take_off_radius
from tipward.model import FeedPath, field_names, field_value

MODEL_UNKNOWNS = (
    "mechanics.junction_factor_1",
    "mechanics.end_factor_1",
    "mechanics.ring_factor_1",
    "mechanics.creep_1",
    "mechanics.allowed_ovality_m",
)
# Fields that the physics reads and that have no neutral default, diameter first: others are counted from it.
UNKNOWNS = (
    "wire.diameter_m",
    "wire.cast_diameter_m",
    "wire.helix_lift_m",
    "wire.young_pa",
    "wire.yield_pa",
    "wire.density_kg_per_m3",
    "wire.stiffness_factor",
    "wire.sheath_thickness_m",
    "spool.wire_left_kg",
    "spool.brake_torque_n_m",
    "spool.take_off_radius_m",
    "inlet_guide.turning_rad",
    "inlet_guide.friction_1",
    "drive.motor_force_n",
    "drive.supply_drop_v",
    "drive_rolls.groove_half_angle_rad",
    "drive_rolls.pairs",
    "drive_rolls.clamp_force_n",
    "drive_rolls.diameter_m",
    "drive_rolls.friction_1",
    "outlet_guide.gap_m",
    "outlet_guide.offset_m",
    "liner.bore_m",
    "liner.friction_1",
    "torch_lead.length_m",
    "torch_lead.turns",
    "torch_lead.turn_radius_m",
    "neck.turning_rad",
    "neck.radius_m",
    "contact_tip.bore_m",
    "contact_tip.length_m",
    "contact_tip.friction_1",
    "contact_tip.bridge_force_n",
    "gun.pull_force_n",
    "welding_circuit.return_resistance_ohm",
    "settings.feed_speed_m_per_s",
)
_ORDER = (*UNKNOWNS, *MODEL_UNKNOWNS)


@dataclass(frozen=True, slots=True, eq=False)
class Draws:
    """One path as numbers: given fields are floats, unknown ones arrays of ``n`` common quasi-random draws.

    ``uniforms`` are draws in (0, 1) for the extra names asked for, ``assumed`` the fields taken from ranges,
    ``sources`` the keys of where those ranges come from. ``mechanics.…`` are the model's own unknowns.
    """

    path: FeedPath
    values: Values
    uniforms: Mapping[str, Floats]
    n: int
    seed: int
    assumed: tuple[str, ...]
    sources: tuple[str, ...]


def triangular(uniform: Number, low: Number, mode: Number, high: Number) -> Floats:
    """Turn uniform draws into draws from a triangle over low, mode and high.

    Parameters
    ----------
    uniform : float or array
        Draws in 0-1 [1].
    low, mode, high : float or array
        Ends and peak, low <= mode <= high [any unit].

    Returns
    -------
    array
        Draws in the unit given; rising with ``uniform``.

    Raises
    ------
    Nothing.

    Source: inverse of the triangular distribution function (geometry).

    >>> triangular(np.array([0.0, 0.5, 1.0]), 1.0, 2.0, 3.0).tolist()
    [1.0, 2.0, 3.0]
    """
    span = np.subtract(high, low)
    rising = np.sqrt(uniform * span * np.subtract(mode, low))
    falling = np.sqrt((1 - np.asarray(uniform)) * span * np.subtract(high, mode))
    drawn: Floats = np.where(uniform * span <= np.subtract(mode, low), low + rising, high - falling)
    return drawn


@lru_cache(maxsize=64)
def _sobol(dimensions: int, n: int, seed: int) -> Floats:
    """Points of a scrambled Sobol sequence, one row to a dimension."""
    from scipy.stats import qmc  # 0.6 s: only when a set of points is first made

    sampler = qmc.Sobol(dimensions, scramble=True, seed=seed)
    points: Floats = np.ascontiguousarray(sampler.random_base2(max(n - 1, 1).bit_length())[:n].T)
    points.setflags(write=False)
    return points


_ENDINGS: tuple[str, ...] = ("_m", "_n", "_1", "_pa", "_rad", "_kg", "_v", "_a", "_s", "_h", "_ohm", "_m3", "_factor")
_ENDINGS += ("turns", "pairs", "idle_days")


@cache
def numeric_fields() -> tuple[str, ...]:
    """Dotted names of all fields of a path that hold a number.

    Returns
    -------
    tuple of str
        In path order.

    Raises
    ------
    Nothing.

    Source: design (docs/decisions/0004-common-draws.md).

    >>> "liner.bore_m" in numeric_fields(), "liner.material" in numeric_fields()
    (True, False)
    """
    return tuple(name for name in field_names() if name.endswith(_ENDINGS))


def draw(path: FeedPath, n: int = 512, seed: int = 1, extra: Sequence[str] = ()) -> Draws:
    """Draw everything about a path that is not given, from the sourced ranges.

    Parameters
    ----------
    path : FeedPath
        The path; None fields are drawn.
    n : int
        Number of draws [1].
    seed : int
        Seed of the scramble; the same seed gives the same draws.
    extra : sequence of str
        Names of further uniform draws, for example one for each size of a fault.

    Returns
    -------
    Draws
        Given fields as floats, unknown ones as arrays (n,) in SI.

    Raises
    ------
    ValueError
        ``n`` under 1.

    Source: tables wire_materials, friction, path_ranges; scrambled Sobol points.

    >>> draws = draw(FeedPath(), n=8)
    >>> draws.values["liner.friction_1"].shape, "liner.friction_1" in draws.assumed
    ((8,), True)
    """
    if n < 1:
        raise ValueError(f"n = {n} draws; give 1 or more")
    points = _sobol(len(_ORDER) + len(extra), n, seed)
    values: dict[str, Number] = {
        name: float(value) for name in numeric_fields() if (value := field_value(path, name)) is not None
    }
    assumed, sources = [], []
    for index, name in enumerate(_ORDER):
        if name not in values:
            found = range_of(name, path, _typical_diameter(values))
            values[name] = _drawn(found, points[index], _bases(path, name, values))
            sources.append(found.number.source)
            if name in UNKNOWNS and found.number.grade != "derivation":
                assumed.append(name)
    _radius_of_part_used_spool(path, values, assumed)
    uniforms = {name: points[len(_ORDER) + index] for index, name in enumerate(extra)}
    return Draws(path, values, uniforms, n, seed, tuple(assumed), tuple(dict.fromkeys(sources)))


def _bases(path: FeedPath, name: str, values: Mapping[str, Number]) -> Mapping[str, Number]:
    """A tip's bore is counted from the size marked on it; without a mark it is taken to be marked for this wire."""
    marked = path.contact_tip.marked_size_m
    return {**values, "wire.diameter_m": marked} if name == "contact_tip.bore_m" and marked is not None else values


def _typical_diameter(values: Mapping[str, Number]) -> float | None:
    return float(np.median(values["wire.diameter_m"])) if "wire.diameter_m" in values else None


def _drawn(found: Range, uniform: Floats, values: Mapping[str, Number]) -> Number:
    number = found.number
    how, _, field = found.basis.rpartition(" ")
    size: Number = number.value
    if number.low < number.high:
        size = triangular(uniform, number.low, number.value, number.high)
    if not field:
        return size
    base = values[field]
    return {"+": base + size, "over": base * (1 + size), "": base * size}[how]


def _radius_of_part_used_spool(path: FeedPath, values: dict[str, Number], assumed: list[str]) -> None:
    """Where form and mass left are given, the radius of the outermost wrap follows from them."""
    left, form = path.spool.wire_left_kg, path.spool.form
    if left is None or form in (None, "drum") or path.spool.take_off_radius_m is not None:
        return
    barrel = range_of("spool.take_off_radius_m", path).number
    full = range_of("spool.wire_left_kg", path).number.high
    values["spool.take_off_radius_m"] = float(take_off_radius(min(left / full, 1.0), barrel.high, barrel.low))
    assumed.remove("spool.take_off_radius_m")


def change(values: Values, field: str, op: str, size: Number) -> Values:
    """Change one field of drawn values, as a fault or a repair does.

    Parameters
    ----------
    values : mapping of str to float or array
        Values by dotted field, as in ``Draws.values``; left as they are.
    field : str
        Numeric field of a feed path.
    op : str
        "*" multiplies, "+" adds, "=" sets.
    size : float or array
        Size of the change; any shape that broadcasts, for example (sets, 1) or (sets, draws).

    Returns
    -------
    mapping of str to float or array
        New values. A field that is unknown and that no relation reads stays unknown under "*" and "+".

    Raises
    ------
    NotKnownError
        No such numeric field, or no such operation.

    Source: design (docs/decisions/0004-common-draws.md): a fault is a change of the path.

    >>> change({"liner.friction_1": 0.2}, "liner.friction_1", "*", 2.0)["liner.friction_1"]
    0.4
    """
    if field not in numeric_fields() and field not in MODEL_UNKNOWNS:
        raise NotKnownError(f"no numeric field {field!r}; fields are written as in liner.friction_1")
    if op == "=":
        return {**values, field: size}
    if op not in ("*", "+"):
        raise NotKnownError(f"no operation {op!r}; there are *, + and =")
    if field not in values:
        return dict(values)
    return {**values, field: values[field] * size if op == "*" else values[field] + size}
