"""Where things stand along the wire: stations and bends of a feed path, in metres from the contact tip."""

import math
from dataclasses import dataclass

from tipward.model import STATIONS, FeedPath, ForceBudget, Piece

# Drawn so where the path does not say; a usual lead is 4 m (common practice), a usual neck 50° on 75 mm and a usual
# loop 150 mm (the reference path). Drawing only: no figure is computed from these.
USUAL_LEAD_M, USUAL_NECK_RAD, USUAL_NECK_RADIUS_M, USUAL_TURN_RADIUS_M = 4.0, math.radians(50), 0.075, 0.15
BEHIND_THE_ROLLS = ("wire", "spool", "inlet-guide", "drive")
BEYOND_THE_TIP = ("nozzle", "trigger", "welding-circuit", "settings")


@dataclass(frozen=True, slots=True)
class Bend:
    """A bent stretch of the conduit: from where to where [m from the tip], radius [m] and turning [rad]."""

    start_m: float
    end_m: float
    radius_m: float
    turning_rad: float


@dataclass(frozen=True, slots=True)
class Course:
    """The wire's way from the rolls to the tip: its length, its bends, where each station on it stands [m from tip]."""

    length_m: float
    length_known: bool
    bends: tuple[Bend, ...]
    stations: dict[str, float]


def course(path: FeedPath, budget: ForceBudget | None = None) -> Course:
    """Lay a feed path out along its wire."""
    walked = max((item.from_tip_m for item in budget.stations), default=0.0) if budget else 0.0
    said = path.torch_lead.length_m or sum(_length(piece) for piece in path.torch_lead.route)
    length = walked or said or USUAL_LEAD_M
    neck = _neck(path, length)
    bends = (neck, *_lead_bends(path, length))
    return Course(
        length, bool(said), tuple(bend for bend in bends if bend.end_m > bend.start_m), _stations(length, bends)
    )


def _neck(path: FeedPath, length: float) -> Bend:
    turning = USUAL_NECK_RAD if path.neck.turning_rad is None else path.neck.turning_rad
    radius = path.neck.radius_m or USUAL_NECK_RADIUS_M
    return Bend(0.0, min(turning * radius, 0.25 * length), radius, turning)


def _length(piece: Piece) -> float:
    if piece.length_m is not None:
        return piece.length_m
    return (piece.radius_m or 0.0) * (piece.turning_rad or 0.0)


def _lead_bends(path: FeedPath, length: float) -> tuple[Bend, ...]:
    lead = path.torch_lead
    if lead.route:
        bends, gone = [], 0.0
        for piece in lead.route:
            here = _length(piece)
            if piece.radius_m:
                start, end = max(length - gone - here, 0.0), max(length - gone, 0.0)
                bends.append(Bend(start, end, piece.radius_m, piece.turning_rad or here / piece.radius_m))
            gone += here
        return tuple(bends)
    if not lead.turns:
        return ()
    radius = lead.turn_radius_m or USUAL_TURN_RADIUS_M
    half = min(math.pi * radius * lead.turns, 0.42 * length)
    return (Bend(length / 2 - half, length / 2 + half, radius, 2 * math.pi * lead.turns),)


def _stations(length: float, bends: tuple[Bend, ...]) -> dict[str, float]:
    neck, *lead = bends
    most = max(lead, key=lambda bend: bend.turning_rad, default=None)
    middle = (most.start_m + most.end_m) / 2 if most else 0.45 * length
    places = {
        "drive-rolls": length,
        "outlet-guide": length,
        "liner": (length + (most.end_m if most else middle)) / 2,
        "torch-lead": middle,
        "neck": (neck.start_m + neck.end_m) / 2,
        "contact-tip": 0.0,
    }
    return {station: places[station] for station in STATIONS if station in places}
