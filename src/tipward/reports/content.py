"""What a case card says, as plain text by section: the text card and the paper card are told the same."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from tipward.foundation import show_quantity
from tipward.model import (
    CardWords,
    Case,
    CaseView,
    Closed,
    Finding,
    ForceBudget,
    Judgement,
    ProofTarget,
    Repair,
    Suspicion,
)
from tipward.reference import sources
from tipward.reports.drawing import clean
from tipward.reports.scene import shortened, suspicion_in_words

LOCAL_CODES = "Local codes and licensed practice come first."
WORTH_NAMING = 0.05  # suspicion below which a cause is left to the list of what remains
LONGEST_NOTE, MOST_LINES = 160, 12
NEXT = {
    "check": "a check is next",
    "fix": "a repair is next",
    "prove": "the proof is next",
    "close": "ready to close",
    "service": "to be sent for service",
    "stop": "stopped: isolate and send for service",
}
STATES = {
    "proved": "Proved",
    "held": "Held in use",
    "service": "Sent for service",
    "open end": "Closed without proof",
}


@dataclass(frozen=True, slots=True)
class CardContent:
    """The card, section by section; every text is ready to be read, none is markup."""

    heading: str
    state: str
    facts: tuple[tuple[str, str], ...]
    complaint: tuple[str, ...]
    found: tuple[tuple[str, str], ...]
    was: tuple[tuple[str, str], ...]
    was_heading: str
    explained: str
    done: tuple[tuple[str, str], ...]
    proved: tuple[tuple[str, str, str], ...]
    proof_line: str
    remains: tuple[tuple[str, str], ...]
    prevention: tuple[str, ...]
    cautions: tuple[str, ...]
    sources: tuple[str, ...]


def case_content(
    view: CaseView,
    words: CardWords,
    budget: ForceBudget | None,
    before: Judgement | None,
    inches: bool,
) -> CardContent:
    """Collect what the card of a case says."""
    case, judgement = view.case, before or view.judgement
    causes = _causes(judgement)
    return CardContent(
        heading=f"Case {shortened(clean(case.id), 40)}",
        state=_state(view),
        facts=_facts(case, inches),
        complaint=_complaint(case, words),
        found=_capped(_findings(case, words, inches), ("and more", "the case on the machine has every entry")),
        was=tuple((item.name, suspicion_in_words(item.probability)) for item in causes),
        was_heading="What it was"
        if any(isinstance(page.entry, Repair | Closed) for page in case.live())
        else "What it may be",
        explained=_explained(judgement, words),
        done=_capped(tuple(_done(case, words)), ("and more", "the case on the machine has every repair")),
        proved=tuple(_target(target, inches) for target in view.proof.targets[:MOST_LINES]),
        proof_line=_proof_line(view),
        remains=_remains(view),
        prevention=_prevention(case, causes, words),
        cautions=tuple(_caution(words, key) for key in _cautions(view, words)),
        sources=_sources(view, causes, words, budget),
    )


def _note(text: str) -> str:
    return shortened(clean(text), LONGEST_NOTE)


def _named(names: Mapping[str, str], key: str) -> str:
    return _note(names.get(key) or key.replace("-", " "))


def _caution(words: CardWords, key: str) -> str:
    """A caution is never shortened."""
    return clean(words.cautions.get(key) or key)


def _capped(lines: tuple[tuple[str, str], ...], more: tuple[str, str]) -> tuple[tuple[str, str], ...]:
    return lines if len(lines) <= MOST_LINES else (*lines[: MOST_LINES - 1], more)


def _unique(keys: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(keys))


def _state(view: CaseView) -> str:
    closed = view.case.closed()
    if closed is None:
        return f"Open, {NEXT[view.next_step.what]}"
    if closed.how == "proved" and not view.proof.proved:
        return "Closed as proved, but the proof no longer stands"
    return STATES[closed.how]


def _facts(case: Case, inches: bool) -> tuple[tuple[str, str], ...]:
    opened, path = case.opened(), case.path()
    dates = [page.at for page in case.pages]
    when = f"{dates[0]:%Y-%m-%d}" + (f" to {dates[-1]:%Y-%m-%d}" if f"{dates[0]:%F}" != f"{dates[-1]:%F}" else "")
    liner = ", ".join(
        part
        for part in (
            path.liner.material or "",
            f"bore {show_quantity(path.liner.bore_m, 'm', inches)}" if path.liner.bore_m else "",
        )
        if part
    )
    rolls = path.drive_rolls
    size = show_quantity(rolls.groove_size_m, "m", inches) if rolls.groove_size_m else ""
    form = {"v": "V groove", "u": "U groove"}.get(rolls.groove or "", rolls.groove or "")
    groove = " ".join(filter(None, (form, size)))
    facts = (
        ("Rig", _note(opened.rig or path.name)),
        ("Customer", _note(opened.customer)),
        ("Liner", liner),
        ("Rolls", groove),
        ("Tip", show_quantity(path.contact_tip.bore_m, "m", inches) + " bore" if path.contact_tip.bore_m else ""),
        ("Date", when),
    )
    return tuple((name, text) for name, text in facts if text)


def _complaint(case: Case, words: CardWords) -> tuple[str, ...]:
    opened = case.opened()
    said = tuple(_named(words.complaints, key) for key in opened.complaints)
    said = (*said, f"“{_note(opened.words)}”") if opened.words.strip() else said
    return said or ("none: looked over without a complaint",)


def _findings(case: Case, words: CardWords, inches: bool) -> tuple[tuple[str, str], ...]:
    """What was found, in the order of the case; where the card cannot hold it all, the usual outcomes come last."""
    found = [page.entry for page in case.live() if isinstance(page.entry, Finding)]
    if len(found) > MOST_LINES:
        found.sort(key=lambda entry: _usual(entry, words))
    return tuple(_found(entry, words, inches) for entry in found)


def _usual(entry: Finding, words: CardWords) -> bool:
    """Whether a look came out as it does without any fault: the first of its outcomes."""
    return bool(entry.outcome) and entry.outcome == next(iter(words.outcomes.get(entry.check, {})), None)


def _found(entry: Finding, words: CardWords, inches: bool) -> tuple[str, str]:
    unit = words.units.get(entry.check, "")
    outcomes = words.outcomes.get(entry.check, {})
    said = _named(outcomes, entry.outcome) if entry.outcome else _readings(entry.readings, unit, inches)
    by = "" if entry.by == "technician" else f" ({entry.by})"
    note = f"; {_note(entry.note)}" if entry.note.strip() else ""
    return _named(words.checks, entry.check), f"{said}{by}{note}"


def _readings(readings: tuple[float, ...], unit: str, inches: bool) -> str:
    return ", ".join(reading_in_words(value, unit, inches) for value in readings)


def reading_in_words(value: float, unit: str, inches: bool) -> str:
    """One reading; a pure number as a share where it has no unit."""
    if unit in {"", "1"}:
        return f"{value:.3g}"
    return show_quantity(value, unit, inches)


def _causes(judgement: Judgement) -> tuple[Suspicion, ...]:
    ranked = sorted(judgement.suspicions, key=lambda item: -item.probability)
    return tuple(item for item in ranked if item.probability >= WORTH_NAMING)[:6]


def _was_heading(case: Case) -> str:
    over = any(isinstance(page.entry, Repair | Closed) for page in case.live())
    return "What it was" if over else "What it may be"


def _explained(judgement: Judgement, words: CardWords) -> str:
    if not judgement.explanations:
        return ""
    best = max(judgement.explanations, key=lambda item: item.probability)
    names = {item.fault: item.name for item in judgement.suspicions}
    if not best.faults:
        return f"Nothing wrong any more explains the case best, {suspicion_in_words(best.probability)}."
    together = " together with ".join(names.get(key) or _named(words.faults, key) for key in best.faults)
    return f"Best explanation: {together}, {suspicion_in_words(best.probability)}."


def _done(case: Case, words: CardWords) -> Iterable[tuple[str, str]]:
    for page in case.live():
        entry = page.entry
        if isinstance(entry, Repair):
            minutes = f"{entry.minutes:g} min" if entry.minutes is not None else ""
            cost = f"{entry.cost:.2f}" if entry.cost is not None else ""
            yield _named(words.actions, entry.action), ", ".join(filter(None, (minutes, cost, _note(entry.note))))


def _target(target: ProofTarget, inches: bool) -> tuple[str, str, str]:
    got = _target_reading(target, inches)
    met = {True: "met", False: "not met", None: "not tested"}[target.met]
    return _note(target.text), f"{got}{_target_band(target, inches)}", met


def _target_reading(target: ProofTarget, inches: bool) -> str:
    if _yes_or_no(target):
        return ", ".join("yes" if value else "no" for value in target.readings)
    return _readings(target.readings, target.unit, inches)


def _yes_or_no(target: ProofTarget) -> bool:
    return not target.unit and target.high is None and target.low in (None, 1.0)


def _target_band(target: ProofTarget, inches: bool) -> str:
    if _yes_or_no(target):
        return ""
    low, high = (
        None if edge is None else reading_in_words(edge, target.unit, inches) for edge in (target.low, target.high)
    )
    space = " " if target.readings else ""
    if low is not None and high is not None:
        return f"{space}(wanted {low} to {high})"
    if low is not None or high is not None:
        return f"{space}(wanted {'at least ' + low if low is not None else 'at most ' + str(high)})"
    return ""


def _proof_line(view: CaseView) -> str:
    if view.proof.proved:
        return "Proved: every target is met."
    missing = ", ".join(_note(item) for item in view.proof.missing[:4])
    return f"Not proved{': ' + missing if missing else ''}."


def _remains(view: CaseView) -> tuple[tuple[str, str], ...]:
    proof, closed = view.proof, view.case.closed()
    lines = [("Chance that a listed cause is left", suspicion_in_words(proof.left_probability))]
    lines += [(item.name, suspicion_in_words(item.probability)) for item in proof.left[:5]]
    lines += [("Said openly", _note(text)) for text in proof.openly[:3]]
    lines += [("Does not fit", _note(doubt.what)) for doubt in view.judgement.doubts[:3]]
    if isinstance(closed, Closed) and closed.note.strip():
        lines.append(("Note at closing", _note(closed.note)))
    return tuple(lines)


def _prevention(case: Case, causes: tuple[Suspicion, ...], words: CardWords) -> tuple[str, ...]:
    repaired = (page.entry.action for page in case.live() if isinstance(page.entry, Repair))
    keys = _unique((*repaired, *(item.fault for item in causes)))
    return _unique(_note(text) for key in keys if (text := words.prevention.get(key, "")))[:6]


def _used(case: Case) -> tuple[str, ...]:
    used = []
    for page in case.live():
        if isinstance(page.entry, Finding):
            used.append(page.entry.check)
        elif isinstance(page.entry, Repair):
            used.append(page.entry.action)
    return _unique(used)


def _cautions(view: CaseView, words: CardWords) -> tuple[str, ...]:
    keys = [key for used in _used(view.case) for key in words.cautions_of.get(used, ())]
    keys += view.next_step.cautions
    keys += [key for target in view.proof.targets for key in target.cautions]
    return _unique(key for key in keys if key != "local-codes")  # said on every card anyway


def _sources(
    view: CaseView, causes: tuple[Suspicion, ...], words: CardWords, budget: ForceBudget | None
) -> tuple[str, ...]:
    ids = (*_used(view.case), *(item.fault for item in causes), *_cautions(view, words))
    keys = [key for item in ids for key in words.sources_of.get(item, ())]
    return citations((*keys, *(budget.sources if budget else ())))


def citations(keys: Iterable[str]) -> tuple[str, ...]:
    """Source keys as citations, each once, in the order of use; a key that is not on the list stands as it is."""
    known = sources()
    return tuple(known.get(key, clean(key)) for key in _unique(keys))
