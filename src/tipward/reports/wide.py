"""The line lying down, for a page or paper: 720 units wide."""

import math
from dataclasses import replace

from tipward.model import STATIONS
from tipward.reports.apparatus import Frame, depth, machine
from tipward.reports.drawing import FORCE, Point, stroke, words
from tipward.reports.forces import Height, band, bite, rule, spread, whisker
from tipward.reports.odds import odds_in_words, percentage
from tipward.reports.scene import Scene, band_in_words, force_in_words, limit_in_words, short_name
from tipward.reports.stations import leader, pips, probability_of

WIDTH, EDGE, PLOT = 720.0, 12.0, 150.0
GAP = 14.0  # before the stations beside the path
COLUMN = (WIDTH - 2 * EDGE - GAP) / len(STATIONS)
LABELS = 462.0


def wide(view: Scene) -> tuple[str, float, float]:
    """Drawing, width, height."""
    plot = max(PLOT * view.top_n / (view.top_n - view.bottom_n), 24 + 14.5 * (len(view.near) + len(view.far)))
    view = _with_room_for_labels(view, plot)
    below = -view.bottom_n / view.top_n * plot
    wire = (46 + plot + 26 + below) if view.forces else 40.0
    frame = Frame(False, 36, 108, 640, wire, view.course)
    parts = [_heading(view)]
    if view.forces:
        height = Height(view, 22 + below, plot)
        parts += [band(frame, height), _limits(view, frame, height), _scale_of_force(view, frame, height)]
    parts += [machine(frame), _scale_of_length(frame)]
    stations, bottom = _stations(view, frame)
    return "".join([*parts, stations]), WIDTH, bottom


def _with_room_for_labels(view: Scene, plot: float) -> Scene:
    """The labels of the limits stand over the gun's half of the path: the band there must stay under them."""
    half = [band.high for from_tip, band in view.forces if from_tip < 0.48 * view.course.length_m]
    highest = max((value for value in half if math.isfinite(value)), default=0.0)
    share = 1 - 14.5 * (len(view.near) + len(view.far) + 1) / plot
    return replace(view, top_n=max(view.top_n, highest / max(share, 0.25)))


def _heading(view: Scene) -> str:
    shown = words((EDGE, 16), view.title, "tw-title", 13, font_weight=600)
    if view.budget:
        push = f"push at the rolls {band_in_words(view.budget.push_n, view.inches)}"
        shown += words((WIDTH - EDGE, 16), push, "tw-push", 12, "end", fill=FORCE, font_weight=600)
        shown += words((LABELS, 38), "limits, and how many times the push", "tw-faint", 10)
    return shown


def _limits(view: Scene, frame: Frame, height: Height) -> str:
    limits = [*reversed(view.far), *reversed(view.near)]  # farthest on top
    tops = [frame.wire + height(limit.force_n.mid if limit in view.near else view.top_n) for limit in limits]
    lowest = frame.wire + height(0) - 12
    places = spread(tops, 14.5, 50.0, lowest)
    drawn = []
    for index, (limit, top, place) in enumerate(zip(limits, tops, places, strict=True)):
        first = view.budget is not None and limit.name == view.budget.first_limit
        text = limit_in_words(limit, view.inches, short=True)
        if limit in view.far:
            weight = 700 if first else None
            drawn.append(words((LABELS, place + 3.5), f"↑ {text}", "tw-limit-name", 10.5, font_weight=weight))
            continue
        start = min(max(bite(frame, limit), frame.rolls), frame.tip)
        line: list[Point] = [(start, top), (LABELS - 18, top), (LABELS - 8, place), (LABELS - 4, place)]
        drawn.append(rule(line, limit, first) + whisker(frame, height, limit, first, 4.0 + 5.0 * (index % 3)))
        weight = 700 if first else None
        drawn.append(words((LABELS, place + 3.5), text, "tw-limit-name", 10.5, font_weight=weight))
    return "".join(drawn)


def _scale_of_force(view: Scene, frame: Frame, height: Height) -> str:
    unit, newtons = ("lbf", 4.4482216152605) if view.inches else ("N", 1.0)
    step = newtons * nice_step((view.top_n - view.bottom_n) / newtons)
    drawn = []
    for count in range(math.ceil(view.bottom_n / step), math.floor(view.top_n / step) + 1):
        y = frame.wire + height(count * step)
        drawn.append(stroke([(frame.rolls - 5, y), (frame.rolls, y)], "tw-axis", 0.8, stroke_opacity=0.55))
        label = force_in_words(count * step, view.inches).replace(".0 ", " ") if count else f"0 {unit}"
        drawn.append(words((frame.rolls - 8, y + 3.5), label, "tw-faint", 10, "end"))
    if view.bottom_n < 0:
        at = (frame.rolls + 6, frame.wire + height(view.bottom_n) - 3)
        drawn.append(words(at, "below 0: tension", "tw-faint", 9.5))
    spine = [(frame.rolls, frame.wire + height(view.bottom_n)), (frame.rolls, frame.wire + height(view.top_n))]
    return "".join(drawn) + stroke(spine, "tw-axis", 0.8, stroke_opacity=0.55)


def nice_step(top: float) -> float:
    """Distance of the ticks of a scale: 1, 2 or 5 times a power of ten, three or four of them."""
    power = 10.0 ** math.floor(math.log10(top / 3))
    return next((times * power for times in (5, 2) if times * power <= top / 3), power)


def _scale_of_length(frame: Frame) -> str:
    y = frame.wire - 13
    half = frame.per_metre / 2
    start = (frame.rolls + frame.tip) / 2 - half
    if 2 * half > frame.tip - frame.rolls - 40:
        return ""
    ends = [(start, y - 2.5), (start, y + 2.5)], [(start + 2 * half, y - 2.5), (start + 2 * half, y + 2.5)]
    line = [(start, y), (start + 2 * half, y)]
    drawn = "".join(stroke(points, "tw-axis", 0.8, stroke_opacity=0.6) for points in (line, *ends))
    return drawn + words((start + 2 * half + 5, y + 3.5), "1 m of wire", "tw-faint", 9.5)


def _stations(view: Scene, frame: Frame) -> tuple[str, float]:
    turn = frame.wire + max(depth(frame) + 8, 40)
    names = turn + 38
    drawn = []
    for index, station in enumerate(STATIONS):
        beside = index >= len(STATIONS) - 3
        centre = EDGE + (index + 0.5) * COLUMN + GAP * beside
        at = frame.station(station)
        if at is not None:
            start = frame.wire + _clear(frame, station)
            drawn.append(leader([(at, start), (at, turn), (centre, names - 12)]))
        drawn.append(_column(view, station, centre, names))
    bottom = names + (152 if view.suspicions is not None else 24)
    left = EDGE + (len(STATIONS) - 3) * COLUMN + GAP / 2
    drawn.append(leader([(left, names - 8), (left, bottom - 26)]))
    return "".join(drawn), bottom


def _clear(frame: Frame, station: str) -> float:
    """How far below the wire a leader starts, clear of what is drawn there."""
    at = {"wire": 35.0, "spool": 35.0, "drive": 18.0, "drive-rolls": 18.0, "contact-tip": 12.0, "nozzle": 12.0}
    return depth(frame) + 6 if station == "torch-lead" else at.get(station, 8.0)


def _column(view: Scene, station: str, centre: float, top: float) -> str:
    probability = probability_of(view, station)
    loud = probability is not None and probability >= 0.095
    weight = 700 if loud else None
    first, _, second = short_name(station).partition(" ")
    drawn = words((centre, top), first, "tw-name", 10.5, "middle", font_weight=weight)
    if second:
        drawn += words((centre, top + 12), second, "tw-name", 10.5, "middle", font_weight=weight)
    if probability is None:
        return drawn
    drawn += pips((centre - 4, top + 21), 9.4, 8, probability, down=True)
    below = top + 21 + 94 + 12
    if loud:
        drawn += words(
            (centre, below),
            odds_in_words(probability).removeprefix("about "),
            "tw-odds",
            10.5,
            "middle",
            font_weight=700,
        )
        return drawn + words((centre, below + 12.5), percentage(probability), "tw-odds", 10.5, "middle")
    return drawn + words((centre, below), percentage(probability).replace("under ", "<"), "tw-faint", 10, "middle")
