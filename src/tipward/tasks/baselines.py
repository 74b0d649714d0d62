"""Healthy readings of a rig: what they should be near, which are on record, and what the proof takes from them."""

from collections.abc import Mapping, Sequence

import numpy as np

from tipward.diagnosis.readings import DRAWS, bench_for
from tipward.faults import Check
from tipward.foundation import NotKnownError
from tipward.model import Band, Baseline, BaselineReading, Case, FeedPath, now
from tipward.tasks.shop import Shop

CHANGED = "feed-path-changed"  # a mark among the baselines: readings before it belong to other parts
BASELINE_CHECKS = ("pull-torch-one-loop", "pull-torch-straight", "measure-feed-ratio")
REPEATS = 2.0  # and within two of what the check repeats to [design]
OUTER = (0.01, 0.5, 0.99)  # a healthy rig reads inside in 98 of 100 draws of what is unknown [design]


def same_feed(one: FeedPath, other: FeedPath) -> bool:
    """Whether healthy readings of one path can stand for the other: wire, liner, length and gun, as far as known.

    >>> from tipward.model import Wire
    >>> same_feed(FeedPath(wire=Wire("er70s-6")), FeedPath(wire=Wire("er4043")))
    False
    """
    pairs = zip(_feed(one), _feed(other), strict=True)
    return all(a is None or b is None or a == b for a, b in pairs)


def _feed(path: FeedPath) -> tuple[object, ...]:
    wire, liner = path.wire, path.liner
    length_m = path.torch_lead.length_m
    return wire.wire_class, wire.diameter_m, liner.material, liner.bore_m, length_m, path.gun.kind


def healthy_of(shop: Shop, rig: str) -> tuple[Baseline, ...]:
    """The baselines of a rig since its feed path last changed, oldest first."""
    found: list[Baseline] = []
    for one in shop.book.baselines(rig):
        found = [] if CHANGED in one.readings else [*found, one]
    return tuple(found)


def set_aside(shop: Shop, rig: str) -> None:
    """The feed path changed: readings from before no longer stand for it. They stay on record."""
    if healthy_of(shop, rig):
        shop.book.save_baseline(rig, {CHANGED: 1.0}, now())


def baseline_of(shop: Shop, case: Case) -> Mapping[str, float]:
    """Newest healthy readings of the rig of a case by check id (SI); none where its feed path is another one."""
    rig = case.opened().rig
    if not rig:
        return {}
    try:
        path = shop.book.rig(rig).path
    except NotKnownError:  # a name that was only written down
        return {}
    found: dict[str, float] = {}
    for one in healthy_of(shop, rig):
        found |= one.readings
    return found if same_feed(path, case.path()) else {}


def judge_baseline(
    shop: Shop, path: FeedPath, readings: Mapping[str, Sequence[float]] | None = None
) -> tuple[BaselineReading, ...]:
    """Say what a healthy path of these parts reads, and whether what was read lies there.

    Parameters
    ----------
    shop : Shop
        The shop.
    path : FeedPath
        The path, without any fault.
    readings : Mapping of str to sequence of float, optional
        Repeats by check id (SI); none for the three that a baseline needs.

    Returns
    -------
    tuple of BaselineReading
        Band (1, 50 and 99 %, SI) with the repeatability of the check, and whether the mean lies in it.

    Raises
    ------
    NotKnownError
        No such check.

    Source: docs/explanation/feed-force.md; design.

    >>> import tempfile
    >>> from tipward.model import TorchLead, Wire
    >>> from tipward.tasks.shop import open_shop
    >>> path = FeedPath(wire=Wire("er70s-6", 0.0009), torch_lead=TorchLead(length_m=4.0, turns=1))
    >>> judge_baseline(open_shop(tempfile.mkdtemp() + "/book.db"), path, {"pull-torch-straight": [90.0]})[0].healthy
    False
    """
    wanted = dict.fromkeys(BASELINE_CHECKS, ()) if readings is None else readings
    return tuple(_judged(shop, path, shop.catalogue.check(name), tuple(values)) for name, values in wanted.items())


def _judged(shop: Shop, path: FeedPath, check: Check, values: tuple[float, ...]) -> BaselineReading:
    band = _band(shop, path, check)
    healthy = band.low <= float(np.mean(values)) <= band.high if values else None
    unit = check.reading.unit if check.reading is not None else ""
    return BaselineReading(check.id, check.name, unit, band, values, healthy)


def _band(shop: Shop, path: FeedPath, check: Check) -> Band:
    assert check.reading is not None
    values = np.sort(bench_for(shop.catalogue, path).predict(check, [frozenset()], DRAWS)[0])
    low, mid, high = (float(values[round(at * (len(values) - 1))]) for at in OUTER)
    under, over = (
        REPEATS * float(np.hypot(check.reading.repeat_share * at, check.reading.repeat_absolute)) for at in (low, high)
    )
    return Band(max(0.0, low - under), mid, high + over)
