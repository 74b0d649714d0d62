"""The push in the drawing: the band of compression along the wire, and the limits where they bite."""

import math
from dataclasses import dataclass

from tipward.model import Band, Limit
from tipward.reports.apparatus import Frame
from tipward.reports.drawing import FORCE, area, stroke, tag
from tipward.reports.scene import Scene

DASHES = {"slip": "7 3", "collapse": "2 3", "lock-up": "9 3 2 3", "crush": "4 4", "motor": "13 4"}


@dataclass(frozen=True, slots=True)
class Height:
    """How far from the wire a force stands [px]: nought at ``base``, the top of the scale at ``reach``."""

    view: Scene
    base: float
    reach: float

    def __call__(self, force_n: float) -> float:
        span = self.view.top_n
        held = max(min(force_n, span), self.view.bottom_n) if not math.isnan(force_n) else span
        return -(self.base + self.reach * held / span)


def band(frame: Frame, height: Height) -> str:
    """Band of compression with its middle line; the nought line under it."""
    view = height.view
    if not view.forces:
        return ""
    low, mid, high = (_edge(frame, height, quantile) for quantile in ("low", "mid", "high"))
    nought = [frame.point(frame.rolls, height(0)), frame.point(frame.tip, height(0))]
    return (
        area([*low, *reversed(high)], "tw-force", FORCE, fill_opacity=0.22)
        + area([nought[1], *low, nought[0]], "tw-force-under", FORCE, fill_opacity=0.08)
        + stroke(mid, "tw-force-mid", 2.2, FORCE, stroke_linejoin="round")
        + stroke(nought, "tw-axis", 0.8, stroke_opacity=0.55)
    )


def _edge(frame: Frame, height: Height, quantile: str) -> list[tuple[float, float]]:
    points, forces = [], height.view.forces
    first, last = forces[0], forces[-1]
    padded = ((0.0, first[1]), *forces, (frame.course.length_m, last[1]))
    for from_tip, force in padded:
        points.append(frame.point(frame.along(from_tip), height(_of(force, quantile))))
    return points


def _of(force: Band, quantile: str) -> float:
    value: float = getattr(force, quantile)
    return value


def bite(frame: Frame, limit: Limit) -> float:
    """Place along the wire where a limit bites."""
    place = frame.station(limit.station)
    return frame.rolls if place is None else place


def whisker(frame: Frame, height: Height, limit: Limit, first: bool, nudge: float = 0.0) -> str:
    """Range of a limit as a stroke across the scale, with a dot at its middle, where it bites."""
    at = min(max(bite(frame, limit), frame.rolls), frame.tip) + nudge
    ends = [frame.point(at, height(limit.force_n.low)), frame.point(at, height(limit.force_n.high))]
    x, y = frame.point(at, height(limit.force_n.mid))
    return stroke(ends, "tw-limit", 1.1, stroke_opacity=0.7) + tag(
        "circle", cx=x, cy=y, r=3.4 if first else 2.4, klass="tw-limit-dot", fill="currentColor"
    )


def rule(points: list[tuple[float, float]], limit: Limit, first: bool) -> str:
    """The line that carries a limit to its label."""
    name = "tw-limit tw-limit-first" if first else "tw-limit"
    return stroke(
        points,
        name,
        1.8 if first else 1.0,
        stroke_dasharray=DASHES.get(limit.name, "3 3"),
        stroke_opacity=None if first else 0.7,
    )


def spread(wanted: list[float], gap: float, low: float, high: float) -> list[float]:
    """Move label places apart so that none overlap, in order, as little as need be."""
    placed: list[float] = []
    for value in wanted:
        placed.append(max(value, placed[-1] + gap if placed else low))
    over = high
    for index in range(len(placed) - 1, -1, -1):
        placed[index] = min(placed[index], over)
        over = placed[index] - gap
    return placed
