"""The line as text for a terminal, and its table: nothing that the drawing says is lost."""

from collections.abc import Mapping

from tipward.model import STATIONS, Band, FeedPath, ForceBudget
from tipward.reports.scene import Scene, band_in_words, limit_in_words, scene, short_name, suspicion_in_words

FORCE_CELLS, NAME_CELLS, PIPS = 24, 16, 10


def line_rows(
    path: FeedPath,
    budget: ForceBudget | None = None,
    suspicions: Mapping[str, float] | None = None,
    inches: bool = False,
) -> tuple[tuple[str, str, str, str], ...]:
    """Give the line as a table: station, force, limit, suspicion.

    Parameters
    ----------
    path : FeedPath
        The path.
    budget : ForceBudget or None
        Forces and limits [N].
    suspicions : Mapping of str to float, or None
        Station → probability that something is wrong there [1].
    inches : bool
        Pounds-force instead of newtons.

    Returns
    -------
    tuple of tuple of str
        One row for each station from spool to arc, then the circuits; "" where nothing is said.

    Raises
    ------
    RangeError
        A suspicion outside 0 to 1.

    Source: design (docs/explanation/the-line.md).

    >>> line_rows(FeedPath(), suspicions={"liner": 0.3})[6]
    ('liner', '', '', 'about 3 in 10 (30 %)')
    """
    view = scene(path, budget, suspicions, inches)
    rows = []
    for station, name in STATIONS.items():
        force = _force_at(view, station)
        limits = "; ".join(
            limit_in_words(limit, inches) for limit in (*view.near, *view.far) if limit.station == station
        )
        probability = None if suspicions is None else suspicions.get(station)
        said = "" if probability is None else suspicion_in_words(probability)
        rows.append((name, "" if force is None else band_in_words(force, inches), limits, said))
    return tuple(rows)


def _force_at(view: Scene, station: str) -> Band | None:
    """The force where the wire leaves a station: the largest of its pieces; at the rolls the push itself."""
    if view.budget is None:
        return None
    if station == "drive-rolls":
        return view.budget.push_n
    found = [item for item in view.budget.stations if item.station == station]
    return max(found, key=lambda item: item.from_tip_m).force_n if found else None


def line_text(
    path: FeedPath,
    budget: ForceBudget | None = None,
    suspicions: Mapping[str, float] | None = None,
    inches: bool = False,
) -> str:
    """Draw the line as text, at most 80 columns wide: force to the left of the wire, suspicion to the right.

    Parameters
    ----------
    path : FeedPath
        The path.
    budget : ForceBudget or None
        Forces and limits [N].
    suspicions : Mapping of str to float, or None
        Station → probability that something is wrong there [1].
    inches : bool
        Pounds-force instead of newtons.

    Returns
    -------
    str
        Lines, without colour; the largest values of force reach as a lighter bar.

    Raises
    ------
    RangeError
        A suspicion outside 0 to 1.

    Source: design (docs/explanation/the-line.md).

    >>> print(line_text(FeedPath()).splitlines()[0])
    wire through a torch lead of unknown length
    """
    view = scene(path, budget, suspicions, inches)
    lines = [view.title]
    if view.budget:
        lines.append(f"push at the rolls {band_in_words(view.budget.push_n, inches)}")
    left = FORCE_CELLS if view.forces else 2
    lines += ["", *(_line(view, station, left) for station in STATIONS)]
    lines += _limits(view)
    return "\n".join(line.rstrip()[:80] for line in lines)


def _line(view: Scene, station: str, left: int) -> str:
    mark = {"spool": "◎", "drive-rolls": "●", "torch-lead": "∂", "contact-tip": "▼"}.get(station, "│")
    if station in {"trigger", "welding-circuit", "settings"}:
        mark = " "
    force = _force_at(view, station)
    bar = _force_bar(view, force, left) if force else " " * left
    probability = None if view.suspicions is None else view.suspicions.get(station)
    tail = "" if probability is None else f"{_pips(probability)} {suspicion_in_words(probability)}"
    return f"{bar} {mark} {short_name(station):<{NAME_CELLS}}{tail}"


def _force_bar(view: Scene, force: Band, width: int) -> str:
    said = band_in_words(force, view.inches).partition(" (")[0]
    room = width - len(said) - 1
    top = max(view.top_n / 1.1, 1e-9) if not view.near else view.top_n
    solid = round(min(max(force.mid, 0.0), top) / top * (width - 9))
    light = round(min(max(force.high, 0.0), top) / top * (width - 9)) - solid
    bar = "░" * max(light, 0) + "█" * solid
    return f"{said} {bar[-room:]}".rjust(width) if bar else said.rjust(width)


def _pips(probability: float) -> str:
    full = int(probability * PIPS + 0.5)
    return "■" * full + "·" * (PIPS - full)


def _limits(view: Scene) -> list[str]:
    if view.budget is None:
        return []
    lines = ["", "limits at the rolls, nearest first"]
    for limit in (*view.near, *view.far):
        mark = "▶" if limit.name == view.budget.first_limit else " "
        lines.append(f" {mark} {limit_in_words(limit, view.inches)}")
    return lines
