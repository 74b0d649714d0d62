"""What the lie of a torch lead costs: as drawn, as tapped along a photo, or as so many loops of one radius."""

from collections.abc import Sequence
from dataclasses import replace
from math import pi

from tipward.foundation import InputError, Problem
from tipward.mechanics import bend_costs, drawn_route, feed_force
from tipward.model import Band, FeedPath, Piece, RouteBend, RouteCost

DRAWS = 256
SHORTEST_M, LONGEST_M, MOST_TURNS = 0.3, 60.0, 20.0


def drawn_lead(path: FeedPath, points: Sequence[Sequence[float]], length_m: float) -> RouteCost:
    """Say what a drawn torch lead costs, and which of its bends costs most.

    Parameters
    ----------
    path : FeedPath
        The path; the lie of its lead is replaced by the drawing.
    points : sequence of (float, float)
        Points along the lead from machine to gun, in any one unit [1].
    length_m : float
        True length of the lead [m].

    Returns
    -------
    RouteCost
        Turning, tightest radius, push as drawn and laid straight, and the cost of each bend.

    Raises
    ------
    InputError
        Fewer than three different points, numbers that are not finite, or no length of 0.3 to 60 m.

    Source: docs/explanation/route.md.

    >>> drawn_lead(FeedPath(), [(0, 0), (1, 0), (2, 0.0), (3, 0)], 3.0).bends
    ()
    """
    _check_length(length_m)
    drawn = drawn_route(points, length_m)
    line = tuple((round(x, 3), round(y, 3)) for x, y in drawn.line.tolist())
    return _cost(path, drawn.pieces(), length_m, line)


def looped_lead(path: FeedPath, length_m: float, turns: float, radius_m: float) -> RouteCost:
    """Say what so many loops of one radius in the middle of a torch lead cost.

    Parameters
    ----------
    path : FeedPath
        The path; the lie of its lead is replaced.
    length_m : float
        Length of the lead [m].
    turns : float
        Loops, parts of one too [1].
    radius_m : float
        Their radius [m].

    Returns
    -------
    RouteCost
        As for a drawn lead.

    Raises
    ------
    InputError
        No length of 0.3 to 60 m, no turns of 0 to 20, no radius, or loops longer than the lead.

    Source: docs/explanation/route.md.

    >>> looped_lead(FeedPath(), 4.0, 1.0, 0.15).turns
    1.0
    """
    _check_length(length_m)
    problems = []
    if not 0 <= turns <= MOST_TURNS:
        problems.append(Problem("turns", f"are {turns:g}", f"give 0 to {MOST_TURNS:g} loops"))
    if not 0.01 <= radius_m <= LONGEST_M:
        problems.append(Problem("radius", f"is {radius_m:g} m", "give the radius of the loops, as 150 mm"))
    bent = 2 * pi * turns * radius_m
    if not problems and bent > length_m * (1 + 1e-6):
        what = f"is {length_m:g} m, shorter than its loops of {bent:.3g} m"
        problems.append(Problem("length", what, "check length, loops and radius"))
    if problems:
        raise InputError("route", problems)
    half = (length_m - bent) / 2
    ends = (Piece(length_m=half),) if half > 1e-3 else ()
    loops = (Piece(radius_m=radius_m, turning_rad=2 * pi * turns),) if turns else ()
    return _cost(path, (*ends, *loops, *ends), length_m, ())


def _check_length(length_m: float) -> None:
    if not SHORTEST_M <= length_m <= LONGEST_M:
        what = f"is {length_m:g} m"
        raise InputError("route", [Problem("length", what, f"give {SHORTEST_M:g} to {LONGEST_M:g} m, as 4 m")])


def _cost(
    path: FeedPath, route: tuple[Piece, ...], length_m: float, line: tuple[tuple[float, float], ...]
) -> RouteCost:
    laid, straight = _laid(path, route, length_m), _laid(path, (Piece(length_m=length_m),), length_m)
    budget = feed_force(laid, n=DRAWS, extrapolate=True)
    bends = tuple(_bends(route, bend_costs(laid, DRAWS)))
    turning = sum(bend.turning_rad for bend in bends)
    return RouteCost(
        path=laid,
        length_m=length_m,
        turning_rad=turning,
        turns=turning / (2 * pi),
        tightest_radius_m=min((bend.radius_m for bend in bends), default=None),
        push_n=budget.push_n,
        straight_n=feed_force(straight, n=DRAWS, extrapolate=True).push_n,
        bends=bends,
        costliest=max(range(len(bends)), key=lambda index: bends[index].cost_n.mid, default=None),
        lock_up_share=budget.lock_up_share,
        marks=budget.marks,
        line=line,
    )


def _laid(path: FeedPath, route: tuple[Piece, ...], length_m: float) -> FeedPath:
    """The path with its lead lying so; a liner of the old length would no longer belong to it."""
    lead = replace(
        path.torch_lead, length_m=length_m, route=route, turns=None, turn_radius_m=None, extra_turning_rad=0.0
    )
    return replace(path, torch_lead=lead)


def _bends(route: tuple[Piece, ...], costs: tuple[Band, ...]) -> list[RouteBend]:
    found, at = [], 0.0
    for piece, cost in zip(route, costs, strict=True):
        radius, turning = piece.radius_m or 0.0, piece.turning_rad or 0.0
        length = radius * turning if piece.radius_m is not None else piece.length_m or 0.0
        if piece.radius_m is not None:
            found.append(RouteBend(at, at + length, radius, turning, cost))
        at += length
    return found
