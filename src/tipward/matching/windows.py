"""Windows that follow from the force budget: clamp of the rolls, brake of the spool."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from tipward.foundation import show_quantity
from tipward.matching.judged import GEOMETRY, PRACTICE, number
from tipward.matching.sizes import shown
from tipward.mechanics import (
    Draws,
    back_force,
    brake_for_overrun,
    crush_of,
    draw,
    grip_of,
    push_force,
    range_of,
    spool_inertia,
    take_off_radius,
)
from tipward.model import Advice, FeedPath

DRAWS, SEED = 256, 1
# Grip holds at twice the drag: the rule of proof of the trade.
DRAGS_HELD = 2.0
_CAUTIOUS = (0.95, 0.05)
Many = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Loads:
    """Draws of a path and the drag that its rolls must overcome: push and pull off the spool [N]."""

    path: FeedPath
    draws: Draws
    drag_n: Many

    def many(self, value: object) -> Many:
        """One value for each draw."""
        return np.broadcast_to(np.asarray(value, dtype=float), (self.draws.n,))


def loads(path: FeedPath) -> Loads:
    """The drag of a path over the sourced ranges of all that is unknown.

    >>> from tipward.model import Wire
    >>> found = loads(FeedPath(wire=Wire("er70s-6", 0.0009)))
    >>> bool(np.median(found.drag_n) > 3)
    True
    """
    draws = draw(path, n=DRAWS, seed=SEED)
    push = np.maximum(np.asarray(push_force(draws, path).push_n, dtype=float), 0.0)
    drag = np.broadcast_to(push + np.asarray(back_force(draws), dtype=float), (draws.n,))
    return Loads(path, draws, drag)


def clamp_advice(found: Loads) -> Advice:
    """Clamp force of one pair of rolls: grip at twice the drag below, flats that eat the tip's play above.

    >>> from tipward.model import DriveRolls, Wire
    >>> path = FeedPath(wire=Wire("er70s-6", 0.0009), drive_rolls=DriveRolls(groove="v"))
    >>> line = clamp_advice(loads(path))
    >>> 20 < line.low < line.high < 2000
    True
    """
    need = found.many(DRAGS_HELD * found.drag_n / grip_of(found.draws, found.path, 1.0))
    most = found.many(crush_of(found.draws, found.path))
    low, high, how = _ends(need, most)
    drag = float(np.median(found.drag_n))
    reason = (
        f"Lower end: grip at twice the drag (about {drag:.0f} N). Upper end: flats that the tip still passes. {how} "
        "Set by hand: the free wire runs smooth under a light grip and shows no flats."
    )
    text = f"{low:.0f} to {high:.0f} N on each pair, the least that does not slip"
    return Advice("clamp force", text, low, high, "N", reason, GEOMETRY.grade, GEOMETRY.source)


def _ends(need: Many, most: Many) -> tuple[float, float, str]:
    """Ends that hold in 19 of 20 draws; the middle of both where those leave no window."""
    low, high = float(np.quantile(need, _CAUTIOUS[0])), float(np.quantile(most, _CAUTIOUS[1]))
    if low < high:
        return low, high, "Both ends hold in 19 of 20 draws of what is unknown."
    share = float(np.mean(need < most))
    low, high = float(np.quantile(need, 0.5)), float(np.quantile(most, 0.5))
    if not low < high:
        return high, high, "No clamp force does both: cut the drag first (shorter or straighter torch lead, push–pull)."
    return low, high, f"Narrow: middle values; a clamp force that does both exists in {100 * share:.0f} % of the draws."


def brake_advice(path: FeedPath) -> Advice:
    """Brake torque that stops this spool within the slack that a stop may leave.

    >>> from tipward.model import Spool
    >>> from tipward.model import Settings
    >>> full = Spool(form="S300", wire_left_kg=15.0)
    >>> line = brake_advice(FeedPath(spool=full, settings=Settings(feed_speed_m_per_s=10 / 60)))
    >>> round(line.low, 2), round(line.high, 2)
    (1.16, 2.32)
    """
    form = path.spool.form or "S300"
    if form == "drum":
        text, reason = "none: a drum has no brake", "The coil stands still."
        return Advice("spool brake", text, None, None, "", reason, PRACTICE.grade, PRACTICE.source)
    spool = replace(path, spool=replace(path.spool, form=form, take_off_radius_m=None))
    mass_kg, outer_m, inner_m = _wound(spool)
    speed = path.settings.feed_speed_m_per_s or range_of("settings.feed_speed_m_per_s", spool).number.value
    rules = [number("brakes", rule=f"overrun {end}") for end in ("most", "least")]
    slack = [rule.value for rule in rules]
    inertia = spool_inertia(mass_kg, outer_m, inner_m)
    low, high = (float(brake_for_overrun(inertia, speed, outer_m, length)) for length in slack)
    text = f"{low:.2f} to {high:.2f} N·m, {low / outer_m:.1f} to {high / outer_m:.1f} N at the wire"
    reason = (
        f"Stops {mass_kg:.3g} kg on {'an ' + form if path.spool.form else 'a 300 mm'} spool from "
        f"{show_quantity(speed, 'm/s')} within {shown(slack[1])} to {shown(slack[0])} of wire; set it anew as the spool "
        "empties, since the same torque then pulls harder."
    )
    return Advice("spool brake", text, low, high, "N*m", reason, rules[0].grade, rules[0].source)


def _wound(path: FeedPath) -> tuple[float, float, float]:
    """Mass left, radius of the outermost wrap and of the barrel; a full spool where nobody said."""
    radii = range_of("spool.take_off_radius_m", path).number
    full_kg = range_of("spool.wire_left_kg", path).number.high
    left_kg = full_kg if path.spool.wire_left_kg is None else path.spool.wire_left_kg
    outer_m = float(take_off_radius(min(left_kg / full_kg, 1.0), radii.high, radii.low))
    return left_kg, outer_m, radii.low
