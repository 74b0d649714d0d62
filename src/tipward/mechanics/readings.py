"""What a spring scale, a marked roll or a micrometer should read on this path: every measured check of the trade."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from tipward.foundation import NotKnownError
from tipward.mechanics.arrays import Number, Values
from tipward.mechanics.dependence import GRIP, INLET, LEAD, LIE, PULL, SPOOL, TIP, fields_of
from tipward.mechanics.draws import Draws
from tipward.mechanics.limits import grip_of, ovality_of
from tipward.mechanics.march import back_force, pull_force, push_force, spool_tension, values_of
from tipward.mechanics.ranges import range_of
from tipward.mechanics.spool import overrun, spool_inertia
from tipward.model import FeedPath

Context = Mapping[str, str]
# Past its grip the wire slips more and more: the fed share dies away by e for each third of the grip [judgement].
SLIP_FALL_1 = 3.0
# A motor pushed past its force stalls as fast [judgement]; below it, a controlled motor keeps its speed [judgement].
STALL_FALL_1 = 3.0
# Spread of three timed runs: stopwatch and start-stop alone, and what slip adds at its worst [judgement].
QUIET_SPREAD_1, SLIP_SPREAD_1 = 0.006, 0.35
# Slip is steady below this share of the grip and wildest above that one [judgement].
STEADY_1, WILD_1 = 0.7, 1.3
# A pull once a turn, or a snag, shows in the spread by this share of its part of the grip [judgement].
PULSE_SPREAD_1 = 0.25


@dataclass(frozen=True, slots=True)
class ReadingSpec:
    """One reading: unit (SI), meaning, contexts, the fields it depends on, and how far its relation can be trusted."""

    unit: str
    meaning: str
    contexts: Mapping[str, tuple[str, ...]]
    base: frozenset[str]
    parts: tuple[tuple[str, str, frozenset[str]], ...]
    source: str
    grade: str

    def fields(self, context: Context) -> frozenset[str]:
        """Dotted fields that this reading depends on in a context."""
        found = set(self.base)
        for key, choice, fields in self.parts:
            if context.get(key, self.contexts[key][0]) == choice:
                found |= fields
        return frozenset(found)


_LIES = (("lead", "as-is", LIE), ("tip", "on", TIP))
_LEADS, _TIPS, _ON = ("as-is", "straight", "one-loop"), ("on", "off"), ("on", "off")


def _spec(
    unit: str,
    meaning: str,
    base: frozenset[str],
    source: str = "own-derivation",
    grade: str = "derivation",
    contexts: Mapping[str, tuple[str, ...]] | None = None,
    parts: tuple[tuple[str, str, frozenset[str]], ...] = (),
) -> ReadingSpec:
    return ReadingSpec(unit, meaning, contexts or {}, base, parts, source, grade)


_FEED = {"lead": _LEADS[:2], "tip": _TIPS}
READINGS: Mapping[str, ReadingSpec] = {
    "pull-off-spool": _spec("N", "pull of the wire off the spool", SPOOL),
    "pull-through-torch": _spec(
        "N",
        "pull of the wire at the gun, rolls open",
        LEAD,
        contexts={"tip": _TIPS, "lead": _LEADS, "spool": _ON},
        parts=(*_LIES, ("spool", "on", SPOOL | INLET)),
    ),
    "slip-pull": _spec("N", "pull at which the wire slips in the standing rolls", GRIP),
    "feed-ratio": _spec(
        "1",
        "wire fed per turn of the driven roll, path in use over torch off",
        LEAD | SPOOL | INLET | GRIP | PULL,
        "judgement",
        "judgement",
        _FEED,
        _LIES,
    ),
    "feed-spread": _spec(
        "1",
        "largest less smallest of three timed runs, over their mean",
        LEAD | SPOOL | INLET | GRIP | PULL | LIE | TIP,
        "judgement",
        "judgement",
    ),
    "fed-speed-ratio": _spec(
        "1",
        "fed speed over set speed",
        SPOOL | INLET | GRIP | fields_of("drive.speed_factor_1", "drive.motor_force_n"),
        "judgement",
        "judgement",
        {"torch": _ON},
        (("torch", "on", LEAD | LIE | TIP | PULL),),
    ),
    "ovality": _spec(
        "m",
        "largest less smallest diameter behind the rolls",
        fields_of("drive_rolls.clamp_force_n", "drive_rolls.diameter_m", "drive_rolls.groove_half_angle_rad")
        | fields_of("wire.yield_pa", "wire.diameter_m", "wire.sheath_thickness_m"),
    ),
    "wire-diameter": _spec("m", "diameter of the wire off the spool", fields_of("wire.diameter_m")),
    "coast": _spec(
        "m",
        "wire that runs slack after a stop",
        SPOOL - fields_of("spool.snag_drag_n") | fields_of("spool.wire_left_kg", "settings.feed_speed_m_per_s"),
    ),
    "free-loop": _spec("m", "diameter of the free loop", fields_of("wire.cast_diameter_m")),
    "helix-lift": _spec("m", "how far the end of the free loop lifts", fields_of("wire.helix_lift_m")),
    "return-resistance": _spec(
        "ohm", "resistance of the work return", fields_of("welding_circuit.return_resistance_ohm")
    ),
    "supply-drop": _spec("V", "drop of the mains at the plug under load", fields_of("drive.supply_drop_v")),
    "outlet-gap": _spec("m", "free gap from nip to outlet guide", fields_of("outlet_guide.gap_m")),
    "motor-load": _spec(
        "1",
        "push and spool's pull, at most the grip, over what the motor can push",
        LEAD | LIE | TIP | SPOOL | INLET | GRIP | PULL | fields_of("drive.motor_force_n"),
    ),
}


def measure(reading: str, draws_or_values: Draws | Values, path: FeedPath, context: Context | None = None) -> Number:
    """Say what a reading should be on this path.

    Parameters
    ----------
    reading : str
        One of ``READINGS``.
    draws_or_values : Draws or mapping
        Draws, or values by dotted field [SI]; arrays of any shapes that broadcast, for example (sets, draws).
    path : FeedPath
        The path: route, groove, gun.
    context : mapping of str to str or None
        How it was read, for example {"tip": "off", "lead": "straight"}; the first choice where a key is left out.

    Returns
    -------
    array
        Reading in the SI unit of its ``ReadingSpec``; infinite where nothing moves.

    Raises
    ------
    NotKnownError
        No such reading, key or choice; the message lists what there is.

    Source: ``READINGS``: each reading's own source and grade.

    >>> from tipward.mechanics.draws import draw
    >>> draws = draw(FeedPath())
    >>> bool(np.all(measure("pull-off-spool", draws, FeedPath()) > 0))
    True
    """
    spec = READINGS.get(reading)
    if spec is None:
        raise NotKnownError(f"no reading {reading!r}; there are: {', '.join(READINGS)}")
    given = dict(context or {})
    for key, choice in given.items():
        if choice not in spec.contexts.get(key, ()):
            known = "; ".join(f"{name}: {', '.join(choices)}" for name, choices in spec.contexts.items()) or "none"
            raise NotKnownError(f"reading {reading!r} has no context {key} = {choice!r}; there are: {known}")
    full = {key: given.get(key, choices[0]) for key, choices in spec.contexts.items()}
    return np.asarray(_READ[reading](values_of(draws_or_values), path, full))


def _pull_through_torch(values: Values, path: FeedPath, context: Context) -> Number:
    return pull_force(values, path, context["lead"], context["tip"] == "on", context["spool"] == "on")


def _use_of_grip(values: Values, path: FeedPath, lead: str = "as-is", tip: bool = True) -> Number:
    """Share of the grip that push and spool's pull take while jogging; the gun may take all of the push away."""
    push = np.maximum(push_force(values, path, hot=False, lead=lead, tip=tip, detail=False).push_n, 0.0)
    return _share(push + back_force(values), grip_of(values, path))


def _share(force: Number, limit: Number) -> Number:
    with np.errstate(divide="ignore", invalid="ignore"):
        share: Number = np.divide(force, np.asarray(limit, dtype=float))
    return share


def _fed(use: Number, values: Values, path: FeedPath) -> Number:
    """Wire fed per turn of the roll: creep in proportion to the share of the grip, then slip."""
    creep = values.get("mechanics.creep_1")
    creep = range_of("mechanics.creep_1", path).number.value if creep is None else creep
    return (1 - creep * np.minimum(use, 1.0)) * np.exp(-SLIP_FALL_1 * np.maximum(np.asarray(use) - 1.0, 0.0))


def _feed_ratio(values: Values, path: FeedPath, context: Context) -> Number:
    use = _use_of_grip(values, path, context["lead"], context["tip"] == "on")
    free = _fed(_share(back_force(values), grip_of(values, path)), values, path)
    return np.where(free > 0, _fed(use, values, path) / np.where(free > 0, free, 1.0), 0.0)


def _feed_spread(values: Values, path: FeedPath, context: Context) -> Number:
    use = np.clip((_use_of_grip(values, path) - STEADY_1) / (WILD_1 - STEADY_1), 0.0, 1.0)
    pulses = _share(values["spool.rub_drag_n"] + values["spool.snag_drag_n"], grip_of(values, path))
    slip = SLIP_SPREAD_1 * use**2 * (3 - 2 * use)
    spread: Number = QUIET_SPREAD_1 + slip + PULSE_SPREAD_1 * np.minimum(pulses, 1.0)
    return spread


def _fed_speed_ratio(values: Values, path: FeedPath, context: Context) -> Number:
    asked = back_force(values)
    if context["torch"] == "on":
        asked = asked + np.maximum(push_force(values, path, hot=False, detail=False).push_n, 0.0)
    firm = grip_of(values, path)
    load = _share(np.minimum(asked, firm), values["drive.motor_force_n"])
    turning = values["drive.speed_factor_1"] * np.exp(-STALL_FALL_1 * np.maximum(load - 1.0, 0.0))
    return turning * _fed(_share(asked, firm), values, path)


def _motor_load(values: Values, path: FeedPath, context: Context) -> Number:
    push = np.maximum(push_force(values, path, hot=False, detail=False).push_n, 0.0)
    return _share(np.minimum(push + back_force(values), grip_of(values, path)), values["drive.motor_force_n"])


def _coast(values: Values, path: FeedPath, context: Context) -> Number:
    radius = values["spool.take_off_radius_m"]
    barrel = np.minimum(range_of("spool.take_off_radius_m", path).number.low, radius)
    inertia = spool_inertia(values["spool.wire_left_kg"], radius, barrel)
    torque = values["spool.brake_torque_n_m"] + values["spool.rub_drag_n"] * radius
    return overrun(inertia, values["settings.feed_speed_m_per_s"], radius, torque)


def _plain(field: str) -> Callable[[Values, FeedPath, Context], Number]:
    return lambda values, path, context: values[field]


_READ: Mapping[str, Callable[[Values, FeedPath, Context], Number]] = {
    "pull-off-spool": lambda values, path, context: spool_tension(values),
    "pull-through-torch": _pull_through_torch,
    "slip-pull": lambda values, path, context: grip_of(values, path),
    "feed-ratio": _feed_ratio,
    "feed-spread": _feed_spread,
    "fed-speed-ratio": _fed_speed_ratio,
    "ovality": lambda values, path, context: ovality_of(values, path),
    "wire-diameter": _plain("wire.diameter_m"),
    "coast": _coast,
    "free-loop": _plain("wire.cast_diameter_m"),
    "helix-lift": _plain("wire.helix_lift_m"),
    "return-resistance": _plain("welding_circuit.return_resistance_ohm"),
    "supply-drop": _plain("drive.supply_drop_v"),
    "outlet-gap": _plain("outlet_guide.gap_m"),
    "motor-load": _motor_load,
}
