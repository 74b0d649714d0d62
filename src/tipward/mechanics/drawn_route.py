"""A torch lead drawn by hand or tapped along a photo: smoothed, its turning and tightest radius, cut into pieces.

The heading of the drawn line is fitted by a broken line over its length: each piece of constant slope is an arc, each piece
without slope a straight. Jitter of the hand averages out within a piece, where adding up local turning would count it.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tipward.foundation import InputError, Problem
from tipward.mechanics.arrays import Floats
from tipward.model import Piece

LEAST_POINTS, MOST_POINTS = 3, 20_000
TAPS = 40  # up to so many points are taken as they are; more are a drawing whose jitter is averaged [design]
BINS = (80, 56, 40, 28, 20)  # equal lengths to average a drawing over, as many as leave a heading that can be read
MOST_TURNED_RAD = 0.8  # from bin to bin: more is a hand that went back and forth [design, tuned]
MOST_SCATTER_RAD = 0.12  # of the heading from bin to bin [design, tuned on tests/mechanics/hand_drawn.py]
STEPS = 240  # readings of the heading
MOST_PIECES = 32
NEAR_ENOUGH = 0.02  # rms distance of the pieces from the line, in its own extent: what a finger strays [design, tuned]
LEAST_TURNING_RAD = 0.14  # 8°: a hand draws no straight line truer than this [design]
SHIFTS = (8, -8, 4, -4, 2, -2, 1, -1)
MIDDLES = np.arange(STEPS) + 0.5


@dataclass(frozen=True, slots=True, eq=False)
class DrawnRoute:
    """A drawn torch lead in pieces of constant curvature, machine to gun.

    ``lengths_m`` and ``turnings_rad`` stand side by side, one a piece; turning is positive to the left, 0 in straights.
    ``line`` is the smoothed line at even steps, in the units of the drawing.
    """

    lengths_m: Floats
    turnings_rad: Floats
    line: Floats

    @property
    def turning_rad(self) -> float:
        """Sum of all bends, whichever way they turn."""
        return float(np.abs(self.turnings_rad).sum())

    @property
    def tightest_radius_m(self) -> float:
        """Radius of the tightest piece; infinite for a straight line."""
        bent = self.turnings_rad != 0
        return float(np.min(self.lengths_m[bent] / np.abs(self.turnings_rad[bent]), initial=np.inf))

    def pieces(self) -> tuple[Piece, ...]:
        """The pieces as the route of a torch lead."""
        return tuple(
            Piece(length_m=length) if turning == 0 else Piece(radius_m=length / turning, turning_rad=turning)
            for length, turning in zip(self.lengths_m.tolist(), np.abs(self.turnings_rad).tolist(), strict=True)
        )


def drawn_route(points: ArrayLike, length_m: float) -> DrawnRoute:
    """Read a drawn torch lead: smooth it, and cut it into straights and arcs.

    Parameters
    ----------
    points : array of shape (n, 2)
        Points along the lead from machine to gun, at any spacing, in any one unit [1].
    length_m : float
        True length of the lead, which gives the scale [m].

    Returns
    -------
    DrawnRoute
        Pieces with length [m] and turning [rad], and the smoothed line.

    Raises
    ------
    InputError
        Fewer than three different points, numbers that are not finite, or no length.

    Source: own-derivation (docs/explanation/route.md); errors on curves that are known: tests/mechanics/test_drawn_route.py.

    >>> angles = np.linspace(0, 2 * np.pi, 60)
    >>> circle = drawn_route(np.column_stack([np.cos(angles), np.sin(angles)]), 3.0)
    >>> round(circle.turning_rad / (2 * np.pi), 2), round(circle.tightest_radius_m, 2)
    (1.0, 0.48)
    """
    kept = _checked(points, length_m)
    line = _smoothed(kept)
    heading = _heading(line)
    knots = _settled(heading, _fewest(line, heading))
    lengths, turnings = _joined(np.diff(knots) / STEPS, np.diff(_course(heading, knots)))
    return DrawnRoute(lengths * length_m, turnings, line)


def _checked(points: ArrayLike, length_m: float) -> Floats:
    problems = []
    try:
        kept = np.asarray(points, dtype=float)
    except (TypeError, ValueError):
        kept = np.empty(0)
    if kept.ndim != 2 or kept.shape[-1] != 2 or not np.isfinite(kept).all():
        problems.append(Problem("points", "are not pairs of finite numbers", "draw the lead again"))
        kept = np.empty((0, 2))
    elif len(kept) > MOST_POINTS:
        problems.append(Problem("points", f"are {len(kept)}", f"send at most {MOST_POINTS}"))
    if not (np.isfinite(length_m) and length_m > 0):
        problems.append(Problem("length", f"is {length_m:g} m", "give the length of the torch lead, as 4 m"))
    extent = float(np.max(np.ptp(kept, axis=0), initial=0.0)) if len(kept) else 0.0
    if not problems and (extent == 0 or not 1e-9 < extent < 1e9):
        problems.append(Problem("points", "lie all in one place", "draw the lead from the machine to the gun"))
    if not problems:
        moved = np.hypot(*np.diff(kept, axis=0).T) > 1e-4 * extent
        kept = kept[np.concatenate([[True], moved])]
        if len(kept) < LEAST_POINTS:
            problems.append(Problem("points", "are too few", f"draw the lead, or tap at least {LEAST_POINTS} points"))
    if problems:
        raise InputError("route", problems)
    return kept


def _run(points: Floats) -> Floats:
    """Length walked up to each point."""
    return np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])


def _smoothed(points: Floats) -> Floats:
    """Even steps along a smooth curve through taps, or through averages of a drawing."""
    if len(points) <= TAPS:
        return _curve(points)
    for bins in BINS:
        line = _curve(_averages(points, bins))
        heading, lag = _heading(line), STEPS // bins
        # arcs and straights turn evenly from bin to bin: what does not is the hand
        turned = heading[lag:] - heading[:-lag]
        scatter = np.median(np.abs(turned[lag:] - turned[:-lag]))
        if scatter < MOST_SCATTER_RAD and np.abs(turned).max() < MOST_TURNED_RAD:
            break
    return line


def _averages(points: Floats, bins: int) -> Floats:
    """Mean of each of so many equal lengths of the drawing, and its two ends as their neighbours point to them."""
    run = _run(points)
    even = np.column_stack([np.interp(np.linspace(0, run[-1], bins * 16), run, axis) for axis in points.T])
    halves = even.reshape(bins * 2, 8, 2).mean(axis=1)
    first, last = 1.5 * halves[0] - 0.5 * halves[1], 1.5 * halves[-1] - 0.5 * halves[-2]
    return np.concatenate([[first], even.reshape(bins, 16, 2).mean(axis=1), [last]])


def _heading(line: Floats) -> Floats:
    """Which way each step of the line goes [rad], full turns counted on."""
    steps = np.diff(line, axis=0)
    return np.asarray(np.unwrap(np.arctan2(steps[:, 1], steps[:, 0])))


def _curve(knots: Floats) -> Floats:
    """Even steps along a smooth curve through the knots: half way between a cubic, which swings out at a lone corner, and
    Akima's, which flattens what is round.
    """
    from scipy.interpolate import Akima1DInterpolator, make_interp_spline  # scipy only where it is needed

    run = _run(knots)
    swings = make_interp_spline(run, knots, k=min(3, len(knots) - 1))
    hugs = Akima1DInterpolator(run, knots, method="makima")
    fine = np.linspace(0, run[-1], STEPS * 4 + 1)
    walked = _run((swings(fine) + hugs(fine)) / 2)
    even = np.interp(np.linspace(0, walked[-1], STEPS + 1), walked, fine)
    return np.asarray((swings(even) + hugs(even)) / 2, dtype=float)


def _fewest(line: Floats, heading: Floats) -> list[int]:
    """The fewest pieces that stay near the line: the steps at which they end."""
    wanted = NEAR_ENOUGH * float(np.hypot(*np.ptp(line, axis=0)))
    misfit = _misfits(heading)
    best, came = misfit[0], [np.zeros(STEPS + 1, dtype=int)]
    while True:
        knots = _ends(came)
        if len(came) == MOST_PIECES or _strays(line, np.interp(MIDDLES, knots, _course(heading, knots))) <= wanted:
            return knots
        total = best[:, None] + misfit
        came.append(np.argmin(total, axis=0))
        best = np.min(total, axis=0)


def _ends(came: list[NDArray[np.int_]]) -> list[int]:
    """Ends of the pieces, followed back from the last."""
    found = [STEPS]
    for step in reversed(came):
        found.append(int(step[found[-1]]))
    return sorted({*found, 0})


def _misfits(heading: Floats) -> Floats:
    """Sum of squared misfit of one even course from reading i to before j; infinite where that is fewer than two."""
    sums = [np.concatenate([[0.0], np.cumsum(item)]) for item in (MIDDLES, heading, MIDDLES**2, MIDDLES * heading)]
    squares = np.concatenate([[0.0], np.cumsum(heading**2)])
    n = np.arange(STEPS + 1)
    count = np.maximum(n[None, :] - n[:, None], 1)
    x, y, xx, xy, yy = (item[None, :] - item[:, None] for item in (*sums, squares))
    slope = (xy - x * y / count) / np.maximum(xx - x * x / count, 1e-9)
    misfit = np.maximum(yy - y * y / count - slope * (xy - x * y / count), 0.0)
    return np.where(n[None, :] - n[:, None] >= 2, misfit, np.inf)


def _course(heading: Floats, knots: list[int]) -> Floats:
    """Heading at the end of each piece of the unbroken course that fits best; a piece that hardly turns is straight."""
    hats = np.column_stack([np.interp(MIDDLES, knots, unit) for unit in np.eye(len(knots))])
    turning = np.diff(np.linalg.lstsq(hats, heading, rcond=None)[0])
    bent = np.abs(turning) >= LEAST_TURNING_RAD
    shared = np.eye(int(bent.sum()) + 1)[np.cumsum(np.concatenate([[0], bent]))]  # a straight ends as it began
    return np.asarray(shared @ np.linalg.lstsq(hats @ shared, heading, rcond=None)[0])


def _strays(line: Floats, course: Floats) -> float:
    """Root mean square distance of the line from the one that this course draws, laid on it as well as it goes."""
    step = float(np.hypot(*np.diff(line, axis=0).T).mean())
    seen = line @ np.array([1, 1j])
    made = np.concatenate([[0.0], np.cumsum(step * np.exp(1j * course))])
    seen, made = seen - seen.mean(), made - made.mean()
    apart = np.mean(np.abs(seen) ** 2) + np.mean(np.abs(made) ** 2) - 2 * np.abs(np.mean(seen * made.conj()))
    return float(np.sqrt(max(apart, 0.0)))


def _settled(heading: Floats, knots: list[int]) -> list[int]:
    """Ends of pieces moved to where the unbroken course fits best."""
    least = _misfit(heading, knots)
    for shift in SHIFTS * 2:
        for index in range(1, len(knots) - 1):
            moved = [*knots[:index], knots[index] + shift, *knots[index + 1 :]]
            if moved[index - 1] < moved[index] < moved[index + 1] and (found := _misfit(heading, moved)) < least:
                knots, least = moved, found
    return knots


def _misfit(heading: Floats, knots: list[int]) -> float:
    return float(np.sum((np.interp(MIDDLES, knots, _course(heading, knots)) - heading) ** 2))


def _joined(lengths: Floats, turnings: Floats) -> tuple[Floats, Floats]:
    """Straights side by side are one."""
    turnings = np.where(np.abs(turnings) < 1e-9, 0.0, turnings)
    first = np.concatenate([[True], (turnings[1:] != 0) | (turnings[:-1] != 0)])
    group = np.cumsum(first) - 1
    return np.bincount(group, lengths).astype(float), np.bincount(group, turnings).astype(float)
