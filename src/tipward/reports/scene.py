"""What the line shows, before it is laid out: forces, limits and suspicions in order, and the words for them."""

import math
from collections.abc import Mapping
from dataclasses import dataclass

from tipward.foundation import show_quantity
from tipward.model import STATIONS, Band, FeedPath, ForceBudget, Limit
from tipward.reports.odds import odds_in_words, percentage
from tipward.reports.places import Course, course

LIMIT_WORDS = {
    "slip": "rolls slip",
    "collapse": "wire nests at the guide",
    "lock-up": "wire locks in the lead",
    "crush": "wire is crushed",
    "motor": "motor stalls",
}
SHORT_NAMES = {"spool": "spool, hub", "neck": "neck", "trigger": "trigger"}
WORTH_A_WORD = 0.05  # chance of a limit from which it is said
ON_SCALE_UP_TO = 3.5  # times the push: a limit farther off would flatten the band to nothing


@dataclass(frozen=True, slots=True)
class Scene:
    """Everything that one drawing of the line says."""

    title: str
    course: Course
    budget: ForceBudget | None
    forces: tuple[tuple[float, Band], ...]  # metres from the tip, rising
    near: tuple[Limit, ...]  # on the scale, weakest first
    far: tuple[Limit, ...]
    top_n: float
    bottom_n: float
    suspicions: Mapping[str, float] | None
    inches: bool

    def force(self, value: float) -> str:
        """A force as people read it: three figures are more than it is known to."""
        return force_in_words(value, self.inches)


def scene(
    path: FeedPath, budget: ForceBudget | None, suspicions: Mapping[str, float] | None, inches: bool = False
) -> Scene:
    """Collect what the line shows of a path."""
    forces = _forces(budget)
    limits = sorted(budget.limits, key=lambda limit: limit.force_n.mid) if budget else []
    push = max((_finite(band.high, band.mid) for _, band in forces), default=0.0)
    near = tuple(limit for limit in limits if limit.force_n.mid <= ON_SCALE_UP_TO * max(push, 1e-9))
    far = tuple(limit for limit in limits if limit not in near)
    bottom = min([0.0, *(1.1 * band.low for _, band in forces if math.isfinite(band.low))])
    top = max([1.1 * push, *(1.12 * limit.force_n.mid for limit in near), -0.25 * bottom, 1e-6])
    return Scene(title(path, inches), course(path, budget), budget, forces, near, far, top, bottom, suspicions, inches)


def _forces(budget: ForceBudget | None) -> tuple[tuple[float, Band], ...]:
    if budget is None:
        return ()
    walked = sorted(budget.stations, key=lambda item: item.from_tip_m)
    return tuple((item.from_tip_m, item.force_n) for item in walked if item.from_tip_m >= 0)


def _finite(value: float, otherwise: float) -> float:
    if math.isfinite(value):
        return value
    return otherwise if math.isfinite(otherwise) else 0.0


def title(path: FeedPath, inches: bool = False) -> str:
    """The path in short: wire and torch lead."""
    wire, lead = path.wire, path.torch_lead
    kind = shortened(wire.wire_class.upper(), 24) if wire.wire_class else "wire"
    named = f"{_shown(wire.diameter_m, inches)} {kind}".strip()
    where = f"{_shown(lead.length_m, inches)} torch lead" if lead.length_m else "torch lead of unknown length"
    return f"{named} through a {where}"


def shortened(text: str, longest: int) -> str:
    """Text on one line, cut where it is too long for its place."""
    line = " ".join(text.split())
    return line if len(line) <= longest else line[: longest - 1].rstrip() + "…"


def _shown(value: float | None, inches: bool) -> str:
    return "" if value is None else show_quantity(value, "m", inches)


def force_in_words(value: float, inches: bool = False) -> str:
    """A force at the precision it deserves."""
    if not math.isfinite(value):
        return "locked up"
    shown = value / 4.4482216152605 if inches else value
    digits = 0 if abs(shown) >= 20 else 1 if abs(shown) >= 1 else 2
    return f"{shown:.{digits}f} {'lbf' if inches else 'N'}".replace("-", "−")


def band_in_words(band: Band, inches: bool = False) -> str:
    """A force with its range: "12.7 N (9.1 to 18.4 N)"."""
    low, mid, high = (force_in_words(value, inches) for value in (band.low, band.mid, band.high))
    return mid if low == high else f"{mid} ({low.rpartition(' ')[0] or low} to {high})"


def limit_in_words(limit: Limit, inches: bool = False, short: bool = False) -> str:
    """One limit in words, with its margin."""
    name = LIMIT_WORDS.get(limit.name, limit.name)
    if not math.isfinite(limit.force_n.mid):
        return f"{name}: out of reach"
    margin = ""
    if math.isfinite(limit.margin.mid):
        margin = f", {limit.margin.mid:.{0 if limit.margin.mid >= 10 else 1}f}×{'' if short else ' the push'}"
    chance = f", chance {percentage(limit.probability)}" if limit.probability >= WORTH_A_WORD and not short else ""
    return f"{name} at {force_in_words(limit.force_n.mid, inches)}{margin}{chance}"


def short_name(station: str) -> str:
    """The name of a station where room is short."""
    return SHORT_NAMES.get(station, STATIONS.get(station, station))


def suspicion_in_words(probability: float) -> str:
    """Say a probability as odds and percentage together; at the far ends the words alone say more.

    Parameters
    ----------
    probability : float
        From 0 to 1 [1].

    Returns
    -------
    str
        "about 3 in 10 (31 %)".

    Raises
    ------
    RangeError
        Outside 0 to 1, or not a number.

    Source: design (docs/explanation/the-line.md).

    >>> suspicion_in_words(0.31), suspicion_in_words(0.002)
    ('about 3 in 10 (31 %)', 'less than 1 in 200')
    """
    words = odds_in_words(probability)
    return f"{words} ({percentage(probability)})" if 0.01 <= probability <= 0.99 else words


def description(view: Scene) -> str:
    """The whole drawing in sentences, for a reader that cannot see it."""
    says = [f"Feed path from spool to arc: {view.title}."]
    if view.budget:
        says.append(f"Push at the drive rolls: {band_in_words(view.budget.push_n, view.inches)}.")
        says += [_sentence(limit_in_words(limit, view.inches)) for limit in (*view.near, *view.far)]
    shown = sorted((view.suspicions or {}).items(), key=lambda item: (-item[1], item[0]))
    says += [
        f"{STATIONS.get(key, key)}: {suspicion_in_words(value)}.".capitalize() for key, value in shown if value >= 0.02
    ]
    return " ".join(says)


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}."
