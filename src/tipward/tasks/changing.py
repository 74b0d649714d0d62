"""A change of wire, part by part: what must change and why, what is set anew, and the path when it is done."""

from collections.abc import Iterator, Sequence, Set
from dataclasses import dataclass, fields, replace
from typing import Any

from tipward.foundation import InputError, Problem, show_quantity, unit_of_field
from tipward.matching import fit as fit_of
from tipward.matching import recommend as recommend_for
from tipward.matching.kinds import WireKind, wire_kind
from tipward.matching.recommending import suited
from tipward.matching.rolls import GROOVES
from tipward.model import Advice, ChangeLine, ContactTip, FeedPath, Mismatch, Standing, Wire, field_value
from tipward.tasks.what_if import LINERS, with_wire

GROOVE_FAULTS = frozenset({"groove-form-wrong"}), frozenset({"groove-small", "groove-large"})
MATERIAL_FAULTS = frozenset({"liner-material-wrong", "liner-metal-carried"})
BORE_FAULTS = frozenset({"liner-bore-small", "liner-bore-large"})
TIP_FAULTS = frozenset({"tip-bore-small", "tip-bore-large"})
MAKE_FAULTS = frozenset({"tip-steel-for-aluminium", "tip-aluminium-for-steel"})


@dataclass(frozen=True, slots=True)
class Topic:
    """One line of a change: its name in the recommended set-up, the faults and fields that it answers, its step."""

    part: str
    step: str
    field: str = ""
    faults: Set[str] = frozenset()
    set_anew: bool = False


TOPICS = (
    Topic("groove form", "rolls", "drive_rolls.groove", GROOVE_FAULTS[0]),
    Topic("groove size", "rolls", "drive_rolls.groove_size_m", GROOVE_FAULTS[1]),
    Topic("guides", "guides"),
    Topic("liner material", "liner", "liner.material", MATERIAL_FAULTS),
    Topic("liner bore", "liner", "liner.bore_m", BORE_FAULTS),
    Topic("torch lead", "lead", "torch_lead.length_m", frozenset({"lead-too-long", "lead-folded"})),
    Topic("gun", "lead", "gun.kind", frozenset({"gun-not-drivable"})),
    Topic("spool brake", "spool", "spool.brake_torque_n_m", set_anew=True),
    Topic("polarity", "circuit", "welding_circuit.polarity", frozenset({"polarity-wrong"})),
    Topic("gas", "circuit", "settings.gas", frozenset({"gas-missing", "gas-wrong"})),
    Topic("clamp force", "clamp", "drive_rolls.clamp_force_n", set_anew=True),
    Topic("tip bore", "tip", "contact_tip.bore_m", TIP_FAULTS),
    Topic("tip mark", "tip", "contact_tip.marked_size_m", MAKE_FAULTS),
)


def planned(path: FeedPath, new: FeedPath) -> FeedPath:
    """The path with the new wire, and with each part that the new set-up describes; InputError where the wire is not said.

    >>> from tipward.model import DriveRolls, Wire
    >>> planned(FeedPath(drive_rolls=DriveRolls(pairs=2)), FeedPath(wire=Wire("er4043", 0.0012))).drive_rolls.pairs
    2
    """
    wire = new.wire
    problems = [
        Problem(f"wire.{name}", "is missing", "the new set-up must say class and diameter of the new wire")
        for name, value in (("wire_class", wire.wire_class), ("diameter", wire.diameter_m))
        if value is None
    ]
    if wire.wire_class is not None and wire_kind(wire.wire_class) is None:
        problems.append(
            Problem("wire.wire_class", f"{wire.wire_class!r} is not known here", "write it as on the spool")
        )
    if problems:
        raise InputError("new set-up", problems)
    blank, worn = FeedPath(), with_wire(path, wire)
    given = {item.name: getattr(new, item.name) for item in fields(new) if item.name not in {"name", "wire", "use"}}
    parts: dict[str, Any] = {name: part for name, part in given.items() if part != getattr(blank, name)}
    parts.setdefault("spool", replace(path.spool, wire_left_kg=None, brake_torque_n_m=None, take_off_radius_m=None))
    parts.setdefault("drive_rolls", replace(path.drive_rolls, clamp_force_n=None))
    if _size(wire) != _size(path.wire):  # speed and voltage were those of the old wire
        parts.setdefault("settings", replace(path.settings, feed_speed_m_per_s=None, voltage_v=None, current_a=None))
    liner = parts.get("liner", worn.liner)
    if (liner.material, liner.bore_m) == (path.liner.material, path.liner.bore_m):
        parts["liner"] = replace(liner, carried=worn.liner.carried)  # the same liner, whoever described it
    return replace(worn, **parts)


def _size(wire: Wire) -> tuple[str | None, float | None]:
    return wire.wire_class, wire.diameter_m


def changed(plan: FeedPath) -> FeedPath:
    """The path when every part of a plan that does not suit, or is not known, is the recommended one.

    >>> from tipward.model import DriveRolls, Wire
    >>> changed(FeedPath(wire=Wire("er4043", 0.0012), drive_rolls=DriveRolls(groove="v"))).drive_rolls.groove
    'u'
    """
    faults = {item.fault for item in fit_of(plan).mismatches}
    best, kind = suited(plan), wire_kind(plan.wire.wire_class)
    after = replace(_rolls(plan, best, faults), use=replace(plan.use, last_change=_last_change(plan, kind)))
    return _circuit(_tip(_liner(after, best, faults), best, kind, faults), faults)


def _last_change(plan: FeedPath, kind: WireKind | None) -> str:
    before = wire_kind(plan.liner.carried)
    return "metal" if before is not None and kind is not None and before.metal != kind.metal else "spool"


def _rolls(plan: FeedPath, best: FeedPath, faults: Set[str]) -> FeedPath:
    rolls = plan.drive_rolls
    if rolls.groove is None or faults & GROOVE_FAULTS[0]:
        rolls = replace(rolls, groove=best.drive_rolls.groove)
    if rolls.groove_size_m is None or faults & GROOVE_FAULTS[1]:
        rolls = replace(rolls, groove_size_m=best.drive_rolls.groove_size_m)
    return replace(plan, drive_rolls=rolls)


def _liner(plan: FeedPath, best: FeedPath, faults: Set[str]) -> FeedPath:
    liner = plan.liner
    if faults & (MATERIAL_FAULTS | BORE_FAULTS):
        liner = replace(liner, friction_1=None, kink_drag_n=0.0, carried=None)
    if liner.material is None or "liner-material-wrong" in faults:
        liner = replace(liner, material=best.liner.material)
    if liner.bore_m is None or faults & BORE_FAULTS:
        liner = replace(liner, bore_m=best.liner.bore_m)
    return replace(plan, liner=liner)


def _tip(plan: FeedPath, best: FeedPath, kind: WireKind | None, faults: Set[str]) -> FeedPath:
    tip = plan.contact_tip
    if tip.bore_m is not None and tip.marked_size_m is not None and not faults & (TIP_FAULTS | MAKE_FAULTS):
        return plan
    soft = kind is not None and kind.metal == "aluminium"
    new = ContactTip(best.contact_tip.marked_size_m, best.contact_tip.bore_m, tip.length_m, for_aluminium=soft)
    return replace(plan, contact_tip=new)


def _circuit(plan: FeedPath, faults: Set[str]) -> FeedPath:
    said = {line.line: line.text for line in recommend_for(plan).lines}
    circuit, settings = plan.welding_circuit, plan.settings
    polarity = said.get("polarity", "")
    if (circuit.polarity is None or "polarity-wrong" in faults) and polarity.startswith("electrode "):
        circuit = replace(circuit, polarity=polarity)  # type: ignore[arg-type]  # one of the two words of the table
    gas = said.get("gas", "")
    if (settings.gas is None or faults & {"gas-missing", "gas-wrong"}) and not gas.startswith("as marked"):
        settings = replace(settings, gas=gas.split(" or ")[0])
    return replace(plan, welding_circuit=circuit, settings=settings)


def lines_of(path: FeedPath, after: FeedPath) -> Iterator[tuple[str, ChangeLine]]:
    """Each part of a change of wire with the step it belongs to, in the order of the topics."""
    kept = fit_of(with_wire(path, after.wire)).mismatches  # surest first
    said = {line.line: line for line in recommend_for(after).lines}
    guides = next((line.text for line in recommend_for(path).lines if line.line == "guides"), None)
    for topic in TOPICS:
        advice = said.get(topic.part)
        if topic.part == "guides" and advice is not None:
            yield topic.step, _guides(advice, guides)
        elif advice is not None:
            yield topic.step, _line(topic, path, after, advice, kept)


def _line(topic: Topic, path: FeedPath, after: FeedPath, advice: Advice, kept: Sequence[Mismatch]) -> ChangeLine:
    now, then = field_value(path, topic.field), field_value(after, topic.field)
    wrong = next((item for item in kept if item.fault in topic.faults), None)
    standing: Standing = "stays"
    if topic.set_anew:
        standing = "set anew"
    elif wrong is not None or (now is not None and now != then):
        standing = "must change"
    elif now is None:
        standing = "look"
    other = standing == "must change" and then is not None and then != now
    wanted = _wanted(topic, then, advice) if other else advice.text
    by = wrong or advice
    return ChangeLine(topic.part, _shown(topic, now), wanted, standing, by.reason, by.grade, by.source)


def _wanted(topic: Topic, then: Any, advice: Advice) -> str:
    """What is planned, with what is recommended where that says more."""
    planned_text = _shown(topic, then)
    return advice.text if planned_text in advice.text else f"{planned_text} (recommended: {advice.text})"


def _guides(advice: Advice, before: str | None) -> ChangeLine:
    standing: Standing = "look" if before is None else "stays" if before == advice.text else "must change"
    now = "not known" if before is None else f"as for the old wire: {before}"
    return ChangeLine("guides", now, advice.text, standing, advice.reason, advice.grade, advice.source)


def _shown(topic: Topic, value: Any) -> str:
    if value is None:
        return "not known"
    if isinstance(value, float):
        return show_quantity(value, (unit_of_field(topic.field.partition(".")[2]) or ("", ""))[1])
    words: dict[str, str] = {**GROOVES, **{str(key): name for key, name in LINERS.items()}}
    return words.get(str(value), str(value))
