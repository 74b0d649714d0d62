"""What is said of a fault from both ends of the data, each statement with the line in which it stands."""

from collections.abc import Iterator
from dataclasses import dataclass

from tipward.faults.blocks import Block
from tipward.faults.catalogue import Catalogue
from tipward.faults.figures import change_words, condition_words, percent
from tipward.faults.nouns import Check, Fault, Shows
from tipward.model import CatalogueLine

GUESS = "judgement"  # every figure of an action, a complaint or a "false" is one (head of each file)
NOWHERE = Block("not from a file", 0, ())


@dataclass(frozen=True, slots=True)
class At:
    """Where a table stands, so that each statement gets its own line."""

    catalogue: Catalogue
    kind: str
    id: str

    def line(
        self,
        what: str,
        value: str,
        *wanted: str,
        probability: float | None = None,
        grade: str = GUESS,
        reason: str = "",
        about: str = "",
    ) -> CatalogueLine:
        """One statement, at the first line of the table that holds all of ``wanted``."""
        block = self.catalogue.blocks.get(f"{self.kind} {self.id}", NOWHERE)
        return CatalogueLine(what, value, probability, grade, reason, block.file, block.line(*wanted), about)

    def chance(
        self,
        what: str,
        chance: float,
        *wanted: str,
        grade: str = GUESS,
        reason: str = "",
        about: str = "",
        outcome: str = "",
    ) -> CatalogueLine:
        """One probability, of ``outcome`` where it is that of a check."""
        value = f"{percent(chance)} {outcome}".rstrip()
        return self.line(what, value, *wanted, probability=chance, grade=grade, reason=reason, about=about)


def fault_lines(catalogue: Catalogue, fault: Fault) -> Iterator[CatalogueLine]:
    """Everything said of a fault, here and in the checks and actions that name it."""
    at, grade = At(catalogue, "fault", fault.id), fault.prior_grade
    yield at.chance("before any finding", fault.prior, "prior", grade=grade, reason=fault.prior_reason)
    for item in fault.raised_by:
        value = f"× {item.times:g} where {condition_words(item.when)}".replace("`", "")
        yield at.line("odds before any finding", value, item.when.field, item.reason, grade=grade, reason=item.reason)
    for change in fault.changes:
        yield at.line("changes the path", change_words(change).replace("`", ""), change.field, "op", grade=fault.grade)
    for key, chance in fault.complaints.items():
        yield at.chance("brings the complaint", chance, key, f"{chance:g}", grade=grade, about=key)
    yield from _seen(catalogue, at, fault)
    yield from _others(catalogue, at, fault)
    for action in catalogue.actions_for(fault.id):
        chance = next(item.success for item in action.clears if item.fault == fault.id)
        there = At(catalogue, "action", action.id)
        yield there.chance("cleared by", chance, fault.id, "success", about=action.id)
    yield at.chance("seen by the proof tests", fault.seen_by_proof, "seen_by_proof", grade=grade)
    yield at.line("keeps it away", fault.prevention, "prevention", grade=fault.grade)


def _seen(catalogue: Catalogue, at: At, fault: Fault) -> Iterator[CatalogueLine]:
    for check in catalogue.checks.values():
        if check.id in fault.shown_by:
            for outcome, chance in fault.shown_by[check.id].items():
                yield at.chance(
                    "shown by", chance, check.id, grade=fault.prior_grade, reason="stated with the fault",
                    about=check.id, outcome=outcome,
                )  # fmt: skip
            continue
        item = _shows(check, fault)
        if item is not None:
            there = At(catalogue, "check", check.id)
            for outcome, chance in item.outcomes.items():
                yield there.chance(
                    "shown by", chance, *wanted(item), outcome, grade=item.grade, reason=item.reason,
                    about=check.id, outcome=outcome,
                )  # fmt: skip


def _shows(check: Check, fault: Fault) -> Shows | None:
    """What a check says about a fault: a named fault goes before its station, the later before the earlier."""
    near = [item for item in check.shows if item.fault == fault.id or fault.station in item.stations]
    return max(near, key=lambda item: (item.fault is not None, check.shows.index(item)), default=None)


def wanted(item: Shows) -> tuple[str, ...]:
    """What is written beside the outcomes: the fault, or for whole stations the reason."""
    return (item.fault, "outcomes") if item.fault else (*item.stations, "outcomes", item.reason)


def _others(catalogue: Catalogue, at: At, fault: Fault) -> Iterator[CatalogueLine]:
    for later in fault.leads_to:
        yield at.chance(
            "leads to", later.probability, later.fault, "probability", grade=fault.prior_grade, reason=later.reason,
            about=later.fault,
        )  # fmt: skip
    for root in catalogue.faults.values():
        for later in root.leads_to:
            if later.fault == fault.id:
                there = At(catalogue, "fault", root.id)
                yield there.chance(
                    "comes from", later.probability, fault.id, "probability", grade=root.prior_grade,
                    reason=later.reason, about=root.id,
                )  # fmt: skip
    for other in fault.excludes:
        yield at.line("never together with", other, "excludes", grade=fault.grade, about=other)
    for action in catalogue.actions.values():
        for item in action.may_cause:
            if item.fault == fault.id:
                there = At(catalogue, "action", action.id)
                yield there.chance("may be brought in by", item.probability, fault.id, "probability", about=action.id)
