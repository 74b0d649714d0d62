"""The limits of the push: slip, collapse in the gap, lock-up, crush, motor."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tipward.mechanics.arrays import Floats, Number, Values
from tipward.mechanics.collapse import euler_load, hinge_collapse
from tipward.mechanics.draws import Draws
from tipward.mechanics.flattening import RING_LENGTH_DIAMETERS, crush_clamp, ovality, ring_collapse
from tipward.mechanics.grip import grip
from tipward.mechanics.march import March, back_force, values_of
from tipward.mechanics.section import bending_stiffness, plastic_moment, wire_area
from tipward.mechanics.walk import hole_of
from tipward.model import FeedPath

WEDGING = ("v", None)


@dataclass(frozen=True, slots=True, eq=False)
class LimitDraws:
    """One limit over all draws: force at which it bites, margin, whether it bites, and what to say of it."""

    name: str
    station: str
    force_n: Number
    margin_1: Number
    bites: NDArray[np.bool_]
    note: str = ""


def half_angle_of(values: Values, path: FeedPath) -> Number:
    """Half-angle with which the groove of this path wedges the wire.

    Parameters
    ----------
    values : mapping of str to float or array
        Values by dotted field [SI].
    path : FeedPath
        Form of the groove.

    Returns
    -------
    float or array
        Half-angle of a V groove, pi/2 for any other [rad].

    Raises
    ------
    Nothing.

    Source: geometry.

    >>> half_angle_of({"drive_rolls.groove_half_angle_rad": 0.7}, FeedPath())
    0.7
    """
    return values["drive_rolls.groove_half_angle_rad"] if path.drive_rolls.groove in WEDGING else np.pi / 2


def grip_of(draws_or_values: Draws | Values, path: FeedPath, clamp_n: Number | None = None) -> Number:
    """Grip of the drive rolls of this path.

    Parameters
    ----------
    draws_or_values : Draws or mapping
        Draws, or values by dotted field [SI].
    path : FeedPath
        Form of the groove, and whether the idler is driven.
    clamp_n : float or array or None
        Another clamp force than that of the path [N].

    Returns
    -------
    float or array
        Push plus back-tension at which the wire slips [N].

    Raises
    ------
    Nothing.

    Source: docs/explanation/feed-force.md (wedge rule of rajput).

    >>> from tipward.mechanics.draws import draw
    >>> bool(np.all(np.asarray(grip_of(draw(FeedPath()), FeedPath())) > 10))
    True
    """
    values = values_of(draws_or_values)
    return grip(
        values["drive_rolls.clamp_force_n"] if clamp_n is None else clamp_n,
        values["drive_rolls.friction_1"],
        half_angle_of(values, path),
        values["drive_rolls.pairs"],
        bool(path.drive_rolls.idler_driven),
        values["drive_rolls.grip_factor_1"],
    )


def collapse_of(draws_or_values: Draws | Values) -> Number:
    """Push at which the wire of this path folds in the gap behind the nip.

    Parameters
    ----------
    draws_or_values : Draws or mapping
        Draws, or values by dotted field [SI].

    Returns
    -------
    float or array
        Force [N].

    Raises
    ------
    Nothing.

    Source: own-derivation (docs/explanation/feed-force.md).

    >>> from tipward.mechanics.draws import draw
    >>> bool(np.all(collapse_of(draw(FeedPath())) > 5))
    True
    """
    values = values_of(draws_or_values)
    get, hole = values.__getitem__, hole_of(values)
    diameter, limit = get("wire.diameter_m"), get("wire.yield_pa")
    stiffness = bending_stiffness(get("wire.young_pa"), diameter, get("wire.stiffness_factor"))
    with np.errstate(divide="ignore"):
        gap = np.asarray(get("outlet_guide.gap_m"))
        euler = euler_load(stiffness, gap, values.get("mechanics.end_factor_1", 0.7))
    squash, moment = limit * wire_area(diameter, hole), plastic_moment(limit, diameter, hole)
    return hinge_collapse(squash, moment, euler, get("outlet_guide.offset_m"))


def ring_clamp_of(values: Values) -> Number:
    """Clamp force at which a tubular wire folds; infinite for solid wire.

    Parameters
    ----------
    values : mapping of str to float or array
        Values by dotted field [SI].

    Returns
    -------
    float or array
        Force [N].

    Raises
    ------
    Nothing.

    Source: memory (ring collapse, good to about 50 %); length that carries it: judgement.

    >>> from tipward.mechanics.draws import draw
    >>> from tipward.model import Wire
    >>> bool(np.all(np.isinf(ring_clamp_of(draw(FeedPath(wire=Wire("er70s-6"))).values))))
    True
    """
    diameter, sheath = values["wire.diameter_m"], values["wire.sheath_thickness_m"]
    per_length = ring_collapse(values["wire.yield_pa"], sheath, diameter)
    factor = values.get("mechanics.ring_factor_1", 1.0)
    holds = per_length * RING_LENGTH_DIAMETERS * diameter * factor
    return np.where(sheath < 0.45 * np.asarray(diameter), holds, np.inf)


def crush_of(draws_or_values: Draws | Values, path: FeedPath) -> Number:
    """Largest clamp force that leaves the wire of this path round enough for its tip.

    Parameters
    ----------
    draws_or_values : Draws or mapping
        Draws, or values by dotted field [SI].
    path : FeedPath
        Form of the groove.

    Returns
    -------
    float or array
        Clamp force of one pair [N].

    Raises
    ------
    Nothing.

    Source: own-derivation; allowed ovality: upper tolerance of ISO 544 (memory), at most the clearance of the tip.

    >>> from tipward.mechanics.draws import draw
    >>> bool(np.all(crush_of(draw(FeedPath()), FeedPath()) > 0))
    True
    """
    values = values_of(draws_or_values)
    diameter = values["wire.diameter_m"]
    room = np.maximum(values["contact_tip.bore_m"] - diameter, 1e-9)
    return crush_clamp(
        np.minimum(values.get("mechanics.allowed_ovality_m", 1e-5), room),
        values["wire.yield_pa"],
        diameter,
        values["drive_rolls.diameter_m"],
        half_angle_of(values, path),
        ring_clamp_of(values),
    )


def ovality_of(draws_or_values: Draws | Values, path: FeedPath) -> Number:
    """Ovality of the wire of this path behind its rolls.

    Parameters
    ----------
    draws_or_values : Draws or mapping
        Draws, or values by dotted field [SI].
    path : FeedPath
        Form of the groove.

    Returns
    -------
    float or array
        Largest less smallest diameter [m].

    Raises
    ------
    Nothing.

    Source: own-derivation (docs/explanation/feed-force.md).

    >>> from tipward.mechanics.draws import draw
    >>> bool(np.all(ovality_of(draw(FeedPath()), FeedPath()) > 0))
    True
    """
    values = values_of(draws_or_values)
    return ovality(
        values["drive_rolls.clamp_force_n"],
        values["wire.yield_pa"],
        values["wire.diameter_m"],
        values["drive_rolls.diameter_m"],
        half_angle_of(values, path),
        ring_clamp_of(values),
    )


def limits_of(draws_or_values: Draws | Values, path: FeedPath, march: March) -> tuple[LimitDraws, ...]:
    """Every limit of the push on this path, with its margin, over all draws.

    Parameters
    ----------
    draws_or_values : Draws or mapping
        Draws, or values by dotted field [SI].
    path : FeedPath
        The path.
    march : March
        Its push.

    Returns
    -------
    tuple of LimitDraws
        slip, collapse, lock-up, crush, motor. Draws that lock up count for lock-up alone.

    Raises
    ------
    Nothing.

    Source: docs/explanation/feed-force.md.

    >>> from tipward.mechanics.draws import draw
    >>> from tipward.mechanics.march import push_force
    >>> draws = draw(FeedPath())
    >>> [limit.name for limit in limits_of(draws, FeedPath(), push_force(draws, FeedPath()))]
    ['slip', 'collapse', 'lock-up', 'crush', 'motor']
    """
    values = values_of(draws_or_values)
    push, back = np.asarray(march.push_n), back_force(values)
    clamp, round_clamp = values["drive_rolls.clamp_force_n"], crush_of(values, path)
    firm = grip_of(values, path, round_clamp) - back
    locked = np.isinf(push)
    straight = np.where(locked & ~np.isfinite(march.straight_margin_1), 0.0, march.straight_margin_1)

    def of(name: str, station: str, force: Number, note: str = "") -> LimitDraws:
        return LimitDraws(name, station, force, margin(force, push), (push > force) & ~locked, note)

    crush = of("crush", "drive-rolls", firm, _crush_note(round_clamp, clamp))
    crushed = LimitDraws(
        crush.name, crush.station, firm, crush.margin_1, (crush.bites | (clamp > round_clamp)) & ~locked, crush.note
    )
    lock = LimitDraws("lock-up", "torch-lead", march.straight_limit_n, straight, locked, _LOCK_NOTE)
    return (
        of("slip", "drive-rolls", grip_of(values, path) - back, "Grip of the rolls less the spool's pull."),
        of("collapse", "outlet-guide", collapse_of(values), "Push that folds the wire between nip and outlet guide."),
        lock,
        crushed,
        of("motor", "drive", values["drive.motor_force_n"] - back, "What the motor can push less the spool's pull."),
    )


_LOCK_NOTE = "Push entering a straight at which its helix locks; compared with the push there, not at the rolls."


def _crush_note(round_clamp: Number, clamp: Number) -> str:
    most, have = float(np.median(round_clamp)), float(np.median(clamp))
    return f"Push that a clamp of {most:.0f} N holds, the most that leaves wire round; the clamp is about {have:.0f} N."


def margin(limit_n: Number, push_n: Number) -> Floats:
    """Ratio of a limit to the push.

    Parameters
    ----------
    limit_n : float or array
        Force at which the limit bites [N].
    push_n : float or array
        Push [N].

    Returns
    -------
    array
        Limit over push [1]; infinite where nothing is pushed, 0 where the wire cannot be pushed at all.

    Raises
    ------
    Nothing.

    Source: definition.

    >>> margin(30.0, 10.0).tolist()
    3.0
    """
    push = np.asarray(push_n)
    ratio: Floats = np.where(push > 0, np.maximum(limit_n, 0.0) / np.where(push > 0, push, 1.0), np.inf)
    return ratio
