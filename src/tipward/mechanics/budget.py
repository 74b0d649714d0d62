"""The force budget of a path: what it takes to push this wire through, which limit bites first, and what is unknown."""

from collections.abc import Mapping, Sequence

import numpy as np

from tipward.foundation import RangeError
from tipward.mechanics.arrays import Floats, Number, Values
from tipward.mechanics.backlash import backlash
from tipward.mechanics.dependence import PUSH
from tipward.mechanics.draws import MODEL_UNKNOWNS, UNKNOWNS, Draws, change, draw, triangular
from tipward.mechanics.limits import LimitDraws, limits_of
from tipward.mechanics.march import March, back_force, push_force
from tipward.mechanics.ranges import range_of
from tipward.mechanics.route import ASSUMED_ROUTE, total_turning
from tipward.model import Band, FeedPath, ForceBudget, Influence, Limit, StationForce, field_value
from tipward.reference import table

RELATIONS = ("euler-eytelwein", "own-derivation", "wicks-2008", "wu-juvkam-wold-1993", "padilla-2003")
QUANTILES = (0.05, 0.5, 0.95)
# Past this share of the wire's own buckling load between contacts the junction drag counts as uncertain.
JUNCTION_DOUBT_1 = 0.3  # judgement
Change = tuple[str, str, float, float, float]


def feed_force(
    path: FeedPath, n: int = 512, seed: int = 1, changes: Sequence[Change] = (), extrapolate: bool = False
) -> ForceBudget:
    """Work out the force to push this wire through this path, with every limit, its margin and what is unknown.

    Parameters
    ----------
    path : FeedPath
        The path; fields that are not given are drawn from the sourced ranges.
    n : int
        Number of draws [1].
    seed : int
        Seed of the draws; the same seed gives the same figures.
    changes : sequence of (field, op, low, mode, high)
        What faults do to the path: op "*", "+" or "=", size from low to high.
    extrapolate : bool
        Go on outside the validity range of a relation; the budget is then marked.

    Returns
    -------
    ForceBudget
        Forces [N] as 5, 50 and 95 % quantiles over the draws that do not lock up.

    Raises
    ------
    RangeError
        A given field is outside the range in which the relations hold, and ``extrapolate`` is False.

    Source: docs/explanation/feed-force.md; the keys in ``sources`` of the answer.

    >>> from tipward.model import TorchLead, Wire
    >>> path = FeedPath(wire=Wire("er70s-6", 0.0009), torch_lead=TorchLead(length_m=4.0, turns=1))
    >>> feed_force(path).first_limit in {"slip", "collapse", "lock-up", "crush", "motor"}
    True
    """
    marks = _out_of_range(path, extrapolate)
    draws = draw(path, n, seed, tuple(f"change {index}" for index in range(len(changes))))
    values = _changed(draws, changes)
    march = push_force(values, path)
    push = np.broadcast_to(march.push_n, (n,))
    limits = tuple(_limit(item, n) for item in limits_of(values, path, march))
    influences = _influences(draws, values, push, {item[0] for item in changes})
    clearance = np.maximum(values["liner.bore_m"] - values["wire.diameter_m"], 0.0)
    return ForceBudget(
        push_n=band(push),
        stations=_stations(march, n),
        limits=limits,
        first_limit=_first(limits),
        backlash_m=band(np.broadcast_to(backlash(clearance, total_turning(march.way)), (n,))),
        lock_up_share=float(np.mean(np.isinf(push))),
        influences=influences,
        dominant_unknown=influences[0].field if influences else "nothing",
        spool_back_tension_n=band(np.broadcast_to(back_force(values), (n,))),
        assumed=(*draws.assumed, *(() if path.torch_lead.route or path.gun.kind == "spool gun" else (ASSUMED_ROUTE,))),
        marks=(*marks, *_marks(values, march)),
        draws=n,
        seed=seed,
        sources=tuple(dict.fromkeys((*RELATIONS, *draws.sources))),
    )


def band(draws: Number) -> Band:
    """Quantiles over the draws that are finite; infinite where none is.

    Parameters
    ----------
    draws : float or array
        Draws of one quantity [SI].

    Returns
    -------
    Band
        5, 50 and 95 % quantiles [same unit].

    Raises
    ------
    Nothing.

    Source: definition.

    >>> band(np.array([1.0, 2.0, 3.0, np.inf])).mid
    2.0
    """
    flat = np.ravel(np.asarray(draws, dtype=float))
    finite = flat[np.isfinite(flat)]
    if not finite.size:
        return Band(np.inf, np.inf, np.inf)
    low, mid, high = np.quantile(finite, QUANTILES)
    return Band(float(low), float(mid), float(high))


def _changed(draws: Draws, changes: Sequence[Change]) -> Values:
    values = draws.values
    for index, (field, op, low, mode, high) in enumerate(changes):
        values = change(values, field, op, triangular(draws.uniforms[f"change {index}"], low, mode, high))
    return values


def _limit(item: LimitDraws, n: int) -> Limit:
    margins = np.broadcast_to(item.margin_1, (n,))
    return Limit(
        item.name,
        item.station,
        band(np.broadcast_to(item.force_n, (n,))),
        band(margins),
        float(np.mean(np.broadcast_to(item.bites, (n,)))),
        item.note,
    )


def _first(limits: Sequence[Limit]) -> str:
    """The limit most likely to bite; where none ever does, the one with the smallest middle margin."""
    return max(limits, key=lambda item: (item.probability, -item.margin.mid)).name


def _stations(march: March, n: int) -> tuple[StationForce, ...]:
    found = [StationForce("contact-tip", "contact tip", 0.0, band(march.forces_n[0]))]
    run = 0.0
    for leg, force in zip(march.way, march.forces_n[1:], strict=True):
        run += float(np.median(leg.length_m))
        if np.any(leg.length_m) or np.any(leg.drag_n):
            found.append(StationForce(leg.station, leg.name, run, band(force)))
    push = band(march.push_n)
    return (
        *found,
        StationForce("liner", "liner end", run, push),
        StationForce("drive-rolls", "drive rolls", run, push),
    )


def _influences(draws: Draws, values: Values, push: Floats, changed: set[str]) -> tuple[Influence, ...]:
    """Rank correlation of every unknown with the push (its log has the same ranks), lock-ups apart; strongest first."""
    used = np.isfinite(push)
    if used.sum() < 8 or np.ptp(push[used]) == 0:
        return ()
    target = _ranks(push[used])
    found = []
    for field in values:
        if field not in PUSH or not (field in changed or _has_range(field, draws.path)):
            continue
        drawn = np.asarray(values[field])
        if drawn.shape == push.shape and np.ptp(drawn[used]) > 0:
            found.append(Influence(field, float(np.corrcoef(_ranks(drawn[used]), target)[0, 1])))
    return tuple(sorted(found, key=lambda item: -abs(item.rank_correlation)))


def _has_range(field: str, path: FeedPath) -> bool:
    """Whether an unknown field varies by itself, and not only with the field that it is counted from."""
    if field not in UNKNOWNS and field not in MODEL_UNKNOWNS:
        return False
    number = range_of(field, path, path.wire.diameter_m or range_of("wire.diameter_m", path).number.value).number
    return number.low < number.high


def _ranks(numbers: Floats) -> Floats:
    ranks = np.empty(numbers.size)
    ranks[np.argsort(numbers, kind="stable")] = np.arange(numbers.size)
    return ranks


def _out_of_range(path: FeedPath, extrapolate: bool) -> tuple[str, ...]:
    marks = []
    for row in table("path_validity"):
        field, number = row.keys["field"], row.number
        assert number is not None
        limit = f"{number.low:g} to {number.high:g} {number.unit}"
        for name, value in _given(path, field):
            if number.low <= value <= number.high:
                continue
            if not extrapolate:
                raise RangeError(name, value, limit, f"{number.source}: {row.note}")
            marks.append(f"extrapolated: {name} = {value:g} is outside {limit} ({number.source})")
    return tuple(marks)


def _given(path: FeedPath, field: str) -> list[tuple[str, float]]:
    """What the path gives for a field; every bend of a route counts as a turn of the lead."""
    value = field_value(path, field)
    found = [] if value is None else [(field, float(value))]
    if field == "torch_lead.turn_radius_m":
        for index, piece in enumerate(path.torch_lead.route):
            if piece.radius_m is not None:
                found.append((f"torch_lead.route.{index}.radius_m", piece.radius_m))
    return found


def _marks(values: Mapping[str, Number], march: March) -> tuple[str, ...]:
    marks, diameter = [], values["wire.diameter_m"]
    for field, what in (("contact_tip.bore_m", "contact tip"), ("liner.bore_m", "liner")):
        share = float(np.mean(values[field] <= np.asarray(diameter)))
        if share > 0:
            marks.append(f"cannot feed: the bore of the {what} is no larger than the wire" + _in_draws(share))
    share = float(np.mean(np.asarray(march.junction_load_1) > JUNCTION_DOUBT_1))
    if share > 0.5 and np.any(np.isfinite(march.push_n)):
        marks.append(
            "junction drag is uncertain: the push nears the wire's own buckling between its contacts; band widened"
        )
    share = float(np.mean(np.asarray(march.push_n) < 0))
    if share > 0:
        marks.append("the gun pulls the wire through the drive rolls" + _in_draws(share))
    return tuple(marks)


def _in_draws(share: float) -> str:
    return "" if share == 1 else f" in {share:.0%} of the draws"
