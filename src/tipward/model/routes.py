"""How a torch lead lies, and what each of its bends costs."""

from dataclasses import dataclass

from tipward.model.budget import Band
from tipward.model.path import FeedPath


@dataclass(frozen=True, slots=True)
class RouteBend:
    """One bend of a torch lead: from where to where along it [m from the machine], and what it costs in push [N]."""

    start_m: float
    end_m: float
    radius_m: float
    turning_rad: float
    cost_n: Band


@dataclass(frozen=True, slots=True)
class RouteCost:
    """A torch lead as it lies: turning, tightest radius (None where nothing bends), and the push that this takes.

    ``straight_n`` is the push with the same lead laid straight, ``costliest`` the place in ``bends`` of the one that
    costs most. Bends multiply each other: their costs do not add up. ``line`` is the smoothed drawing at even steps,
    in its own units, empty where nothing was drawn.
    """

    path: FeedPath
    length_m: float
    turning_rad: float
    turns: float
    tightest_radius_m: float | None
    push_n: Band
    straight_n: Band
    bends: tuple[RouteBend, ...]
    costliest: int | None
    lock_up_share: float
    marks: tuple[str, ...] = ()
    line: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True, slots=True)
class Drawing:
    """Points along a torch lead, machine to gun, in any one unit; its length [m] where it was given with them."""

    points: tuple[tuple[float, float], ...]
    length_m: float | None = None
