"""One table of the catalogue laid open: each figure with grade, reason, file and line, from both ends of the data."""

from collections.abc import Iterator, Mapping
from difflib import get_close_matches

from tipward.faults.catalogue import Catalogue
from tipward.faults.figures import HISTORY, condition_words, hours_words, minutes_words, percent
from tipward.faults.nouns import Action, Caution, Check, Complaint, Fault, SetUp
from tipward.faults.statements import At, fault_lines, wanted
from tipward.foundation import NotKnownError
from tipward.model import CatalogueEntry, CatalogueLine


def facts(catalogue: Catalogue, name: str) -> CatalogueEntry:
    """Lay open everything that the catalogue says about one fault, check, action, complaint, caution or set-up.

    Parameters
    ----------
    catalogue : Catalogue
        The catalogue.
    name : str
        Id of the table.

    Returns
    -------
    CatalogueEntry
        One line for each statement, with grade, reason, file and line.

    Raises
    ------
    NotKnownError
        No table of that id; near ids are named.

    Source: the catalogue.

    >>> from tipward.faults import load_catalogue
    >>> facts(load_catalogue(), "liner-dirty").lines[0].what
    'before any finding'
    """
    for kind, table in tables(catalogue).items():
        if name in table:
            return _entry(catalogue, kind, table[name])
    known = [item for table in tables(catalogue).values() for item in table]
    near = get_close_matches(name, known, 3, 0.5)
    step = f"did you mean {' or '.join(near)}?" if near else "tipward catalogue lists all ids"
    raise NotKnownError(f"{name!r} is no fault, check, action, complaint or caution; {step}")


def tables(catalogue: Catalogue) -> Mapping[str, Mapping[str, object]]:
    """The tables that have ids, by kind.

    Parameters
    ----------
    catalogue : Catalogue
        The catalogue.

    Returns
    -------
    Mapping
        Kind → id → noun.

    Raises
    ------
    Nothing.

    Source: design (docs/decisions/0006).

    >>> list(tables(Catalogue({}, {}, {}, {}, {}, {}, ())))[:2]
    ['fault', 'check']
    """
    return {
        "fault": catalogue.faults,
        "check": catalogue.checks,
        "action": catalogue.actions,
        "complaint": catalogue.complaints,
        "caution": catalogue.cautions,
        "set_up": catalogue.set_ups,
    }


def _entry(catalogue: Catalogue, kind: str, noun: object) -> CatalogueEntry:
    if isinstance(noun, Fault):
        return CatalogueEntry(kind, noun.id, noun.name, noun.why, tuple(fault_lines(catalogue, noun)))
    if isinstance(noun, Check):
        return CatalogueEntry(kind, noun.id, noun.name, noun.instructions, tuple(_check(catalogue, noun)))
    if isinstance(noun, Action):
        return CatalogueEntry(kind, noun.id, noun.name, noun.instructions, tuple(_action(catalogue, noun)))
    if isinstance(noun, Complaint):
        return CatalogueEntry(kind, noun.id, noun.name, noun.says, tuple(_complaint(catalogue, noun)))
    if isinstance(noun, Caution):
        return CatalogueEntry(kind, noun.id, noun.id, noun.text, tuple(_caution(catalogue, noun)))
    assert isinstance(noun, SetUp)
    at = At(catalogue, kind, noun.id)
    return CatalogueEntry(kind, noun.id, noun.name, "", (at.line("minutes", f"{noun.minutes:g}", "minutes"),))


def _check(catalogue: Catalogue, check: Check) -> Iterator[CatalogueLine]:
    at = At(catalogue, "check", check.id)
    yield at.line("takes", minutes_words(check.minutes), "minutes")
    yield at.line("done by", f"{check.who}; at: {', '.join(check.at)}", "who", grade=check.grade)
    for what, names in (("tool", check.tools), ("spare", check.spares), ("set-up", check.set_up)):
        for name in names:
            yield at.line(what, name, name, grade=check.grade, about=name if what == "set-up" else "")
    if check.history:
        yield at.line("asked", HISTORY, "history", grade=check.grade)
    for condition in check.only_if:
        yield at.line("only where", condition_words(condition).replace("`", ""), "only_if", grade=check.grade)
    for after in check.impossible_after:
        value = f"{after.check} = {' or '.join(after.outcomes)}"
        yield at.line("not after", value, after.check, grade=check.grade, reason=after.reason, about=after.check)
    if check.reading is not None:
        reading = check.reading
        yield at.line(
            "reads", f"{reading.name} [{reading.unit}], repeats within {percent(reading.repeat_share)} and"
            f" {reading.repeat_absolute:g} {reading.unit}".rstrip(), "reading",
            reason="what a reading says follows from the force budget of the path, not from this file",
        )  # fmt: skip
    for outcome in check.outcomes:
        yield at.line(f"outcome {outcome.id}", outcome.text, outcome.id, "text", grade=check.grade)
        if outcome.id in check.false:
            yield at.chance(f"{outcome.id} without any listed fault", check.false[outcome.id], "false")
    yield from _shown(catalogue, at, check)
    yield from _carried(at, check.cautions, check.grade)


def _shown(catalogue: Catalogue, at: At, check: Check) -> Iterator[CatalogueLine]:
    for item in check.shows:
        about = item.fault or f"any fault of {', '.join(item.stations)}"
        for outcome, chance in item.outcomes.items():
            yield at.chance(
                "shows", chance, *wanted(item), outcome, grade=item.grade,
                reason=item.reason, about=about, outcome=outcome,
            )  # fmt: skip
    for fault in catalogue.faults.values():
        for outcome, chance in fault.shown_by.get(check.id, {}).items():
            there = At(catalogue, "fault", fault.id)
            yield there.chance(
                "shows", chance, check.id, grade=fault.prior_grade, reason="stated with the fault",
                about=fault.id, outcome=outcome,
            )  # fmt: skip


def _carried(at: At, cautions: tuple[str, ...], grade: str) -> Iterator[CatalogueLine]:
    for name in cautions:
        yield at.line("caution", at.catalogue.cautions[name].text, "cautions", grade=grade, about=name)


def _action(catalogue: Catalogue, action: Action) -> Iterator[CatalogueLine]:
    at = At(catalogue, "action", action.id)
    yield at.line("takes", minutes_words(action.minutes), "minutes")
    yield at.line("done by", f"{action.kind}; {action.skill}; at: {', '.join(action.at)}", "kind", grade=action.grade)
    for name in action.set_up:
        yield at.line("set-up", name, name, grade=action.grade, about=name)
    for part in action.parts:
        yield at.line("part", f"{part.name}, {part.price_low:g} to {part.price_high:g}", part.name)
    if action.away_hours:
        yield at.line("machine stands", hours_words(action.away_hours), "away_hours")
    for item in action.clears:
        yield at.chance("clears", item.success, item.fault, "success", about=item.fault)
    for caused in action.may_cause:
        yield at.chance("may bring in", caused.probability, caused.fault, "probability", about=caused.fault)
    yield from _carried(at, action.cautions, action.grade)


def _complaint(catalogue: Catalogue, complaint: Complaint) -> Iterator[CatalogueLine]:
    at = At(catalogue, "complaint", complaint.id)
    yield at.line("kind", complaint.kind, "kind", grade="common practice")
    yield at.chance("said without any listed fault", complaint.false, "false")
    if complaint.condition:
        yield at.line("brought out by", complaint.condition, "condition", grade="common practice")
    for words in complaint.words:
        yield at.line("customers' words", words, words, grade="common practice")
    brought = [fault for fault in catalogue.faults.values() if complaint.id in fault.complaints]
    for fault in sorted(brought, key=lambda fault: -fault.complaints[complaint.id]):
        chance = fault.complaints[complaint.id]
        there = At(catalogue, "fault", fault.id)
        yield there.chance("brought by", chance, complaint.id, f"{chance:g}", grade=fault.prior_grade, about=fault.id)


def _caution(catalogue: Catalogue, caution: Caution) -> Iterator[CatalogueLine]:
    at = At(catalogue, "caution", caution.id)
    yield at.line("who says so", caution.source, "source", grade="common practice")
    for kind, table in (("check", catalogue.checks), ("action", catalogue.actions)):
        for item in table.values():
            if caution.id in item.cautions:
                there = At(catalogue, kind, item.id)
                yield there.line(f"shown at {kind}", item.name, "cautions", grade=item.grade, about=item.id)
