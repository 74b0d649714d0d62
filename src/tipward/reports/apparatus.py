"""The machine itself in the drawing: spool, guides, rolls, the conduit with its coils, gun and arc."""

import math
from dataclasses import dataclass

from tipward.reports.drawing import COPPER, Point, area, number, stroke, tag
from tipward.reports.places import BEYOND_THE_TIP, Bend, Course

WINDINGS = (7.5, 10.0, 12.5, 15.0)
WINDINGS = (7.5, 10.0, 12.5, 15.0)
DEEPEST_COIL = 21.0
SHORTEST_DIP = 24.0  # px: a shorter bend, as the neck at scale, would be a blot


@dataclass(frozen=True, slots=True)
class Frame:
    """Where along and across the page things fall; upright turns the drawing so that the wire runs down the page.

    ``s`` runs along the wire from spool to arc; ``d`` across it: forces at negative, suspicion at positive d.
    """

    upright: bool
    spool: float
    rolls: float
    tip: float
    wire: float
    course: Course

    def point(self, s: float, d: float) -> Point:
        """Page coordinates of a place along and across the wire."""
        return (self.wire + d, s) if self.upright else (s, self.wire + d)

    @property
    def per_metre(self) -> float:
        """Scale between rolls and tip [px/m]."""
        return (self.tip - self.rolls) / self.course.length_m

    def along(self, from_tip_m: float) -> float:
        """Place of a point of the wire between rolls and tip."""
        return self.tip - from_tip_m * self.per_metre

    def station(self, station: str) -> float | None:
        """Place of a station; None for the circuits, which stand beside the path."""
        piece = self.rolls - self.spool
        fixed = {
            "wire": self.spool - 7,
            "spool": self.spool + 5,
            "inlet-guide": self.spool + 0.6 * piece,
            "drive": self.rolls - 7,
            "drive-rolls": self.rolls,
            "outlet-guide": self.rolls + 15,
            "contact-tip": self.tip - 5,
            "nozzle": self.tip + 3,
            "neck": min(self.along(self.course.stations["neck"]), self.tip - 20),
        }
        if station in fixed:
            return fixed[station]
        if station in BEYOND_THE_TIP:
            return None
        return min(self.along(self.course.stations[station]), self.tip - 26)


def machine(frame: Frame) -> str:
    """Draw everything that the wire meets, and the wire."""
    return "".join((_conduit(frame), _spool(frame), _guides(frame), _wire(frame), _rolls(frame), _gun(frame)))


def depth(frame: Frame) -> float:
    """How far the coils reach below the wire [px]."""
    reach = [2 * _radius(frame, bend) if _loops(bend) else _bump(bend) for bend in _drawn(frame)]
    return max(reach, default=0.0)


def _drawn(frame: Frame) -> list[Bend]:
    bends = [bend for bend in frame.course.bends if (bend.end_m - bend.start_m) * frame.per_metre >= SHORTEST_DIP]
    return sorted(bends, key=lambda bend: -bend.start_m)


def _loops(bend: Bend) -> int:
    return math.floor(bend.turning_rad / (2 * math.pi) + 0.1)


def _radius(frame: Frame, bend: Bend) -> float:
    return min(bend.radius_m * frame.per_metre, DEEPEST_COIL)


def _bump(bend: Bend) -> float:
    return 14.0 * min(1.0, bend.turning_rad / math.pi)


def way(frame: Frame) -> list[Point]:
    """The conduit as a line: straight where it is straight, one coil for each full turn, a dip for less."""
    points = [frame.point(frame.rolls + 15, 0)]
    for bend in _drawn(frame):
        points += _bent(frame, bend)
    return [*points, frame.point(frame.tip, 0)]


def _bent(frame: Frame, bend: Bend) -> list[Point]:
    start, end, loops = frame.along(bend.end_m), frame.along(bend.start_m), _loops(bend)
    start, end = max(start, frame.rolls + 15), min(end, frame.tip - 28)  # clear of guide and gun
    swing = 1.5 * (end - start) / (2 * math.pi * loops) if loops else 0.0
    high = _radius(frame, bend) if loops else _bump(bend) / 2
    steps = 48 * max(loops, 1)
    points = []
    for step in range(steps + 1):
        turn = 2 * math.pi * max(loops, 1) * step / steps
        along = start + (end - start) * step / steps
        points.append(frame.point(along + swing * math.sin(turn), high * (1 - math.cos(turn))))
    return points


def _conduit(frame: Frame) -> str:
    return stroke(way(frame), "tw-conduit", 8, stroke_opacity=0.16, stroke_linejoin="round")


def _wire(frame: Frame) -> str:
    inlet = [frame.point(frame.spool, 0), frame.point(frame.rolls, 0)]
    points = [*inlet, *way(frame), frame.point(frame.tip + 11, 0)]
    return stroke(points, "tw-wire", 1.9, COPPER, stroke_linejoin="round")


def _circle(at: Point, radius: float, klass: str, **more: str | float | None) -> str:
    return tag("circle", cx=at[0], cy=at[1], r=radius, klass=klass, **more)


def _spool(frame: Frame) -> str:
    centre = frame.point(frame.spool, 15)
    ring = {"fill": "none", "stroke": "currentColor"}
    winding = "".join(
        _circle(centre, radius, "tw-winding", fill="none", stroke=COPPER, stroke_width=1.1) for radius in WINDINGS
    )
    return (
        winding
        + _circle(centre, 17.5, "tw-part", stroke_width=1.4, **ring)
        + _circle(centre, 3, "tw-part", stroke_width=1.4, **ring)
    )


def _guides(frame: Frame) -> str:
    at = frame.spool + 0.6 * (frame.rolls - frame.spool)
    drawn = []
    for side in (-1, 1):
        drawn.append(stroke([frame.point(at - 5, side * 5), frame.point(at + 5, side * 2.2)], "tw-part", 1.6))
        tip = [frame.point(frame.rolls + 9, side * 1.8), frame.point(frame.rolls + 15, side * 5)]
        drawn.append(stroke(tip, "tw-part", 1.6))
    return "".join(drawn)


def _rolls(frame: Frame) -> str:
    drawn = []
    for side in (-1, 1):
        centre = frame.point(frame.rolls, side * 8.4)
        drawn.append(_circle(centre, 7, "tw-roll", fill="none", stroke="currentColor", stroke_width=1.8))
        drawn.append(_circle(centre, 1.4, "tw-roll-hub", fill="currentColor"))
    return "".join(drawn)


def _gun(frame: Frame) -> str:
    tip = frame.tip
    copper = [frame.point(tip - 13, -3.6), frame.point(tip, -2.2), frame.point(tip, 2.2), frame.point(tip - 13, 3.6)]
    drawn = [area(copper, "tw-tip", COPPER)]
    for side in (-1, 1):
        shell = [frame.point(tip - 24, side * 4.6), frame.point(tip - 17, side * 9), frame.point(tip + 3, side * 9)]
        drawn.append(stroke(shell, "tw-part", 1.6))
    work = [frame.point(tip + 19, -15), frame.point(tip + 19, 15)]
    drawn.append(stroke(work, "tw-part", 3.2))
    centre = frame.point(tip + 14.5, 0)
    rays = "".join(_ray(centre, math.radians(angle)) for angle in range(20, 380, 40))
    return "".join(drawn) + tag("path", d=rays, klass="tw-arc", fill="none", stroke="currentColor", stroke_width=1)


def _ray(centre: Point, angle: float) -> str:
    cos, sin = math.cos(angle), math.sin(angle)
    ends = [(centre[0] + radius * cos, centre[1] + radius * sin) for radius in (2.2, 5.6)]
    return "M" + "L".join(f"{number(x)} {number(y)}" for x, y in ends)
