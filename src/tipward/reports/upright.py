"""The line standing up, for a phone: 360 units wide."""

from tipward.model import STATIONS, Limit
from tipward.reports.apparatus import Frame, machine
from tipward.reports.drawing import FORCE, stroke, words
from tipward.reports.forces import Height, band, bite, rule, whisker
from tipward.reports.odds import odds_in_words, percentage
from tipward.reports.scene import Scene, band_in_words, limit_in_words, short_name
from tipward.reports.stations import leader, pips, probability_of

WIDTH, ROW, WIRE, NAMES, GAP = 360.0, 42.0, 122.0, 186.0, 12.0

CLEAR = {
    "torch-lead": 46.0,
    "wire": 35.0,
    "spool": 35.0,
    "drive": 18.0,
    "drive-rolls": 18.0,
    "contact-tip": 12.0,
    "nozzle": 12.0,
}


def upright(view: Scene) -> tuple[str, float, float]:
    """Drawing, width, height."""
    limits = [*reversed(view.far), *reversed(view.near)]
    heading = (78.0 if view.budget else 42.0) + 16 * len(limits)
    row = ROW if view.suspicions is not None else 30.0
    top = heading + 12
    bottom = top + row * len(STATIONS) + GAP
    below = 60 * min(-view.bottom_n / view.top_n, 1.0)
    frame = Frame(True, top + 24, top + 108, bottom - 66, WIRE, view.course)
    parts = [_heading(view)]
    if view.forces:
        height = Height(view, 20 + below, WIRE - 28 - below)
        parts += [band(frame, height), _limits(view, frame, height, limits)]
    parts += [machine(frame), _rows(view, frame, top, row)]
    return "".join(parts), WIDTH, bottom + 6


def _heading(view: Scene) -> str:
    wire, _, lead = view.title.rpartition(" through ")
    shown = words((8, 18), wire or lead, "tw-title", 14, font_weight=600)
    shown += words((8, 35), f"through {lead}" if wire else "", "tw-title", 12.5)
    if view.budget:
        push = f"push at the rolls {band_in_words(view.budget.push_n, view.inches)}"
        shown += words((8, 56), push, "tw-push", 13, fill=FORCE, font_weight=600)
    return shown


def _limits(view: Scene, frame: Frame, height: Height, limits: list[Limit]) -> str:
    drawn = []
    for index, limit in enumerate(limits):
        y = 78 + 16 * index
        first = view.budget is not None and limit.name == view.budget.first_limit
        text, weight = limit_in_words(limit, view.inches, short=True), 700 if first else None
        if limit in view.far:
            drawn.append(words((8, y), f"← {text}", "tw-limit-name", 12, font_weight=weight))
            continue
        nudge = 4.0 + 5.0 * (index % 3)
        x, foot = frame.point(max(bite(frame, limit), frame.rolls) + nudge, height(limit.force_n.mid))
        drawn.append(rule([(x, y - 4), (x, foot)], limit, first) + whisker(frame, height, limit, first, nudge))
        drawn.append(stroke([(x, y - 4), (x + 5, y - 4)], "tw-limit", 1))
        drawn.append(words((x + 8, y), text, "tw-limit-name", 12, font_weight=weight))
    return "".join(drawn)


def _rows(view: Scene, frame: Frame, top: float, row: float) -> str:
    drawn = []
    for index, station in enumerate(STATIONS):
        middle = top + (index + 0.5) * row + GAP * (index >= len(STATIONS) - 3)
        at = frame.station(station)
        if at is not None:
            out = WIRE + CLEAR.get(station, 8.0)
            drawn.append(leader([(out, at), (WIRE + 48, at), (NAMES - 6, middle - 4)]))
        drawn.append(_row(view, station, middle))
    line = top + row * (len(STATIONS) - 3) + GAP / 2
    drawn.append(leader([(NAMES, line), (WIDTH - 8, line)]))
    return "".join(drawn)


def _row(view: Scene, station: str, middle: float) -> str:
    probability = probability_of(view, station)
    if probability is None:
        return words((NAMES, middle), short_name(station), "tw-name", 12.5)
    loud = probability >= 0.095
    weight = 700 if loud else None
    drawn = words((NAMES, middle), short_name(station), "tw-name", 12.5, font_weight=weight)
    drawn += pips((NAMES, middle + 6), 11.6, 9.6, probability, down=False)
    if loud:
        said = odds_in_words(probability).removeprefix("about ")
        drawn += words((WIDTH - 8, middle), said, "tw-odds", 12.5, "end", font_weight=700)
    return drawn + words((WIDTH - 8, middle + 15), percentage(probability).replace("under ", "<"), "tw-odds", 12, "end")
