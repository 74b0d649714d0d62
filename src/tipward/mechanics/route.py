"""How the torch lead lies: neck, straights and bends from the tip back to the drive rolls."""

from dataclasses import dataclass

import numpy as np

from tipward.mechanics.arrays import Number, Values
from tipward.model import FeedPath

# The route assumed where only length and turns are given: the reference path of docs/explanation/feed-force.md.
STRAIGHT_BEHIND_NECK_M = 0.15
BEND_RAD = np.pi / 2
BEND_RADIUS_M = 0.5
# A check that asks for one full loop asks for one about 0.3 m across.
CHECK_LOOP_RADIUS_M = 0.15
# Parts the extra bends from a bend next to them, so that each leans on its own junctions.
SPLIT_M = 0.001
ASSUMED_ROUTE = "torch_lead.route: one bend of 90° of 0.5 m radius and the given turns in the middle of the lead"


@dataclass(frozen=True, slots=True)
class Leg:
    """One piece of the way: straight where ``radius_m`` is None; ``drag_n`` is what holds the wire at its end."""

    station: str
    name: str
    length_m: Number
    radius_m: Number | None = None
    turning_rad: Number = 0.0
    drag_n: Number = 0.0


def legs(path: FeedPath, values: Values, lead: str = "as-is") -> tuple[Leg, ...]:
    """List the pieces of the way from tip to drive rolls.

    Parameters
    ----------
    path : FeedPath
        The path; its route is used piece by piece where given.
    values : mapping of str to float or array
        Values by dotted field [SI].
    lead : str
        "as-is", or laid "straight", or with "one-loop".

    Returns
    -------
    tuple of Leg
        Neck first.

    Raises
    ------
    Nothing.

    Source: own-derivation (reference path of docs/explanation/feed-force.md).

    >>> from tipward.mechanics.draws import draw
    >>> [leg.name for leg in legs(FeedPath(), draw(FeedPath(), 4).values, "straight")]
    ['neck', 'straight']
    """
    radius, turning = values["neck.radius_m"], values["neck.turning_rad"]
    neck = Leg("neck", "neck", radius * turning, radius, turning)
    if path.gun.kind == "spool gun" or lead != "as-is":
        return (neck, *_laid_out(path, values, lead))
    return (neck, *(_given(path, values) if path.torch_lead.route else _assumed(values)))


def _straight(length_m: Number, drag_n: Number = 0.0) -> Leg:
    return Leg("torch-lead", "straight", length_m, drag_n=drag_n)


def _bend(name: str, radius_m: Number, turning_rad: Number) -> Leg:
    return Leg("torch-lead", name, radius_m * turning_rad, radius_m, turning_rad)


def _laid_out(path: FeedPath, values: Values, lead: str) -> tuple[Leg, ...]:
    length, kink = lead_length(path, values), values["liner.kink_drag_n"]
    if lead != "one-loop" or path.gun.kind == "spool gun":
        return (_straight(length, kink),)
    half = np.maximum(length - 2 * np.pi * CHECK_LOOP_RADIUS_M, 0.0) / 2
    return (_straight(half, kink), _bend("loop", CHECK_LOOP_RADIUS_M, 2 * np.pi), _straight(half))


def _assumed(values: Values) -> tuple[Leg, ...]:
    radius = values["torch_lead.turn_radius_m"]
    turning = 2 * np.pi * values["torch_lead.turns"] + values["torch_lead.extra_turning_rad"]
    bent = BEND_RAD * BEND_RADIUS_M + radius * turning
    half = np.maximum(values["torch_lead.length_m"] - STRAIGHT_BEHIND_NECK_M - bent, 0.0) / 2
    return (
        _straight(STRAIGHT_BEHIND_NECK_M + half, values["liner.kink_drag_n"]),
        _bend("bend", BEND_RADIUS_M, BEND_RAD),
        _bend("loops", radius, turning),
        _straight(half),
    )


def _given(path: FeedPath, values: Values) -> tuple[Leg, ...]:
    """The route as given (machine to gun), turned round; kinks and extra bends sit half way along it."""
    pieces = []
    for piece in reversed(path.torch_lead.route):
        if piece.radius_m is None:
            pieces.append(_straight(piece.length_m or 0.0))
            continue
        turning = piece.turning_rad if piece.turning_rad is not None else (piece.length_m or 0.0) / piece.radius_m
        pieces.append(_bend("bend", piece.radius_m, turning))
    rest = lead_length(path, values) - route_length(path)
    if np.all(np.asarray(rest) > 0) and path.torch_lead.length_m is not None:
        pieces.append(_straight(rest))
    held = Leg("torch-lead", "kink", 0.0, drag_n=values["liner.kink_drag_n"])
    extra = _bend("extra bends", values["torch_lead.turn_radius_m"], values["torch_lead.extra_turning_rad"])
    after = _straight_near_the_middle(pieces)
    if after is None:
        return (*pieces, _straight(SPLIT_M), held, extra)
    return (*pieces[: after + 1], held, extra, _straight(SPLIT_M), *pieces[after + 1 :])


def _straight_near_the_middle(pieces: list[Leg]) -> int | None:
    """Spare length lies in a straight: the one that ends nearest to half way."""
    run = np.cumsum([float(np.median(leg.length_m)) for leg in pieces])
    straights = [index for index, leg in enumerate(pieces) if leg.radius_m is None]
    return min(straights, key=lambda index: float(abs(run[index] - run[-1] / 2)), default=None)


def route_length(path: FeedPath) -> float:
    """Length of the route as given.

    Parameters
    ----------
    path : FeedPath
        The path.

    Returns
    -------
    float
        Sum over its pieces [m]; 0 without a route.

    Raises
    ------
    Nothing.

    Source: geometry.

    >>> route_length(FeedPath())
    0.0
    """
    total = 0.0
    for piece in path.torch_lead.route:
        total += piece.length_m if piece.length_m is not None else (piece.radius_m or 0.0) * (piece.turning_rad or 0.0)
    return total


def lead_length(path: FeedPath, values: Values) -> Number:
    """Length of the torch lead: as given, else that of its route, else as drawn.

    Parameters
    ----------
    path : FeedPath
        The path.
    values : mapping of str to float or array
        Values by dotted field [SI].

    Returns
    -------
    float or array
        Length [m].

    Raises
    ------
    Nothing.

    Source: geometry.

    >>> lead_length(FeedPath(), {"torch_lead.length_m": 4.0})
    4.0
    """
    if path.torch_lead.length_m is None and path.torch_lead.route:
        return route_length(path)
    return values["torch_lead.length_m"]


def total_turning(way: tuple[Leg, ...]) -> Number:
    """Sum of the angles of all bends.

    Parameters
    ----------
    way : tuple of Leg
        Pieces of the way.

    Returns
    -------
    float or array
        Angle [rad].

    Raises
    ------
    Nothing.

    Source: geometry.

    >>> total_turning((Leg("neck", "neck", 0.1, 0.1, 1.0), Leg("torch-lead", "straight", 1.0)))
    1.0
    """
    total: Number = 0.0
    for leg in way:
        total = total + leg.turning_rad
    return total
