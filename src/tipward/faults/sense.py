"""What the tables of a catalogue must hold towards each other; every breach is a problem with its place."""

from collections.abc import Iterator

from tipward.faults.catalogue import Catalogue
from tipward.faults.nouns import PROOF, PROOF_OUTCOMES, Check, Condition
from tipward.foundation import Problem
from tipward.model import field_names

_FIELDS = frozenset(field_names())


def cross_problems(catalogue: Catalogue) -> list[Problem]:
    """Find every breach between the tables: unknown ids, faults no check sees, checks no fault touches, missing cautions.

    Parameters
    ----------
    catalogue : Catalogue
        The tables as read.

    Returns
    -------
    list of Problem
        Empty when all is well.

    Raises
    ------
    Nothing.

    Source: design (docs/decisions/0006).

    >>> cross_problems(Catalogue({}, {}, {}, {}, {}, {}, ()))
    []
    """
    return [
        *_unknown_in_faults(catalogue),
        *_unknown_in_checks(catalogue),
        *_unknown_in_actions(catalogue),
        *_unseen(catalogue),
        *_cautions(catalogue),
    ]


def _where(catalogue: Catalogue, table: str, key: str) -> str:
    return f"{catalogue.places.get(table, 'catalogue')}: {table}: {key}"


def _unknown_in_faults(catalogue: Catalogue) -> Iterator[Problem]:
    for fault in catalogue.faults.values():
        table = f"fault {fault.id}"
        for complaint in fault.complaints:
            if complaint not in catalogue.complaints:
                yield _unknown(catalogue, table, "complaints", complaint, "complaint")
        for check, outcomes in fault.shown_by.items():
            if check not in catalogue.checks:
                yield _unknown(catalogue, table, "shown_by", check, "check")
            else:
                yield from _outcomes(catalogue, catalogue.checks[check], dict(outcomes), table, f"shown_by.{check}")
        for other in [*fault.excludes, *(item.fault for item in fault.leads_to)]:
            if other not in catalogue.faults or other == fault.id:
                yield _unknown(catalogue, table, "excludes or leads_to", other, "other fault")
        for field in [item.field for item in fault.changes] + [item.when.field for item in fault.raised_by]:
            if field not in _FIELDS:
                yield _unknown(catalogue, table, "field", field, "field of the feed path")


def _unknown_in_checks(catalogue: Catalogue) -> Iterator[Problem]:
    for check in catalogue.checks.values():
        table = f"check {check.id}"
        if (check.reading is None) == (not check.outcomes) or len(check.outcomes) == 1:
            where = _where(catalogue, table, "outcomes")
            yield Problem(where, "needs either a reading or two to four outcomes", "give one of them")
        for item in check.shows:
            if (item.fault is None) == (not item.stations):
                yield Problem(_where(catalogue, table, "shows"), "needs a fault or stations", "give one of them")
            if item.fault is not None and item.fault not in catalogue.faults:
                yield _unknown(catalogue, table, "shows", item.fault, "fault")
            yield from _outcomes(catalogue, check, dict(item.outcomes), table, f"shows.{item.fault or item.stations}")
        yield from _outcomes(catalogue, check, dict(check.false), table, "false")
        yield from _set_ups(catalogue, table, check.set_up)
        for after in check.impossible_after:
            known = catalogue.checks.get(after.check)
            outcomes = PROOF_OUTCOMES if known is None else tuple(outcome.id for outcome in known.outcomes)
            if known is None and after.check != PROOF:
                yield _unknown(catalogue, table, "impossible_after", after.check, "check")
            else:
                for outcome in sorted(set(after.outcomes) - set(outcomes)):
                    yield _unknown(catalogue, table, "impossible_after", outcome, f"outcome of {after.check}")
        yield from _conditions(catalogue, table, check.only_if)


def _set_ups(catalogue: Catalogue, table: str, names: tuple[str, ...]) -> Iterator[Problem]:
    for name in names:
        if name not in catalogue.set_ups:
            yield _unknown(catalogue, table, "set_up", name, "set_up")


def _conditions(catalogue: Catalogue, table: str, conditions: tuple[Condition, ...]) -> Iterator[Problem]:
    for condition in conditions:
        if condition.field not in _FIELDS:
            yield _unknown(catalogue, table, "only_if", condition.field, "field of the feed path")


def _unknown_in_actions(catalogue: Catalogue) -> Iterator[Problem]:
    for action in catalogue.actions.values():
        table = f"action {action.id}"
        for fault in [item.fault for item in action.clears] + [item.fault for item in action.may_cause]:
            if fault not in catalogue.faults:
                yield _unknown(catalogue, table, "clears or may_cause", fault, "fault")
        yield from _set_ups(catalogue, table, action.set_up)


def _outcomes(
    catalogue: Catalogue, check: Check, outcomes: dict[str, float], table: str, key: str
) -> Iterator[Problem]:
    known = {outcome.id for outcome in check.outcomes[1:]}
    for outcome in outcomes:
        if outcome not in known:
            yield _unknown(catalogue, table, key, outcome, f"abnormal outcome of {check.id}")
    if sum(outcomes.values()) > 1 + 1e-9:
        yield Problem(_where(catalogue, table, key), "adds to more than 1", "lower the probabilities")


def _unseen(catalogue: Catalogue) -> Iterator[Problem]:
    measured = any(check.reading is not None for check in catalogue.checks.values())
    seen = {fault for faults in catalogue.shown.values() for fault in faults}
    cleared = {item.fault for action in catalogue.actions.values() for item in action.clears}
    for fault in catalogue.faults.values():
        if fault.id not in seen and not (measured and fault.changes):
            yield Problem(
                _where(catalogue, f"fault {fault.id}", "id"), "no check can see it", "add a check or shown_by"
            )
        if fault.id not in cleared:
            yield Problem(_where(catalogue, f"fault {fault.id}", "id"), "no action clears it", "add an action")
    for check in catalogue.checks.values():
        if check.reading is None and not catalogue.shown.get(check.id):
            yield Problem(_where(catalogue, f"check {check.id}", "shows"), "no fault touches it", "add what it shows")


def _cautions(catalogue: Catalogue) -> Iterator[Problem]:
    for kind, table in (("check", catalogue.checks), ("action", catalogue.actions)):
        for item in table.values():
            for caution in item.cautions:
                if caution not in catalogue.cautions:
                    yield _unknown(catalogue, f"{kind} {item.id}", "cautions", caution, "caution")
            for needed, flag in (("jog-only", item.runs_wire), ("power-off", item.opens_machine)):
                if flag and needed not in item.cautions:
                    where = _where(catalogue, f"{kind} {item.id}", "cautions")
                    yield Problem(where, f"lacks the caution {needed}", "add it")


def _unknown(catalogue: Catalogue, table: str, key: str, name: str, kind: str) -> Problem:
    return Problem(_where(catalogue, table, key), f"{name!r} is no {kind}", "correct it or add that table")
