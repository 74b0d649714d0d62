"""The stations in the drawing: names at the wire and suspicion as ten squares each, as many filled as it is in 10."""

from tipward.reports.drawing import INK, stroke, tag
from tipward.reports.scene import Scene

PIPS = 10


def pips(at: tuple[float, float], step: float, size: float, probability: float, down: bool) -> str:
    """Ten squares, filled as far as the probability goes."""
    drawn = []
    for index in range(PIPS):
        x, y = (at[0], at[1] + index * step) if down else (at[0] + index * step, at[1])
        full = min(max(probability * PIPS - index, 0.0), 1.0)
        drawn.append(_square(x, y, size, "tw-pip", fill="none", stroke=INK, stroke_width=0.7, stroke_opacity=0.45))
        if full > 0.04:
            part = (size, size * full) if down else (size * full, size)
            drawn.append(tag("rect", x=x, y=y, width=part[0], height=part[1], klass="tw-pip-full", fill=INK))
    return "".join(drawn)


def _square(x: float, y: float, size: float, klass: str, **more: str | float | None) -> str:
    return tag("rect", x=x, y=y, width=size, height=size, klass=klass, **more)


def leader(points: list[tuple[float, float]]) -> str:
    """Thin line from a place on the wire to its name."""
    return stroke(points, "tw-leader", 0.7, stroke_opacity=0.5)


def probability_of(view: Scene, station: str) -> float | None:
    """Suspicion at a station, None where nothing is said."""
    return None if view.suspicions is None else view.suspicions.get(station)
