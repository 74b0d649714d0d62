"""The catalogue as Markdown: every table, every probability with its grade, its reason and the file it stands in."""

from collections.abc import Iterable, Iterator

from tipward.faults.catalogue import Catalogue
from tipward.faults.figures import (
    HISTORY,
    change_words,
    condition_words,
    hours_words,
    minutes_words,
    outcomes_words,
    percent,
)
from tipward.faults.nouns import Action, Check, Complaint, Fault, Shows
from tipward.faults.separation import Separation
from tipward.model.stations import STATIONS


def catalogue_text(catalogue: Catalogue, found: Separation) -> str:
    """Write the whole catalogue as Markdown.

    Parameters
    ----------
    catalogue : Catalogue
        What is written.
    found : Separation
        Which checks tell its faults apart.

    Returns
    -------
    str
        The same text for the same catalogue, to the byte.

    Raises
    ------
    Nothing.

    Source: design (docs/decisions/0006).

    >>> catalogue_text(Catalogue({}, {}, {}, {}, {}, {}, ()), Separation({}, {}, (), ())).splitlines()[0]
    '# The catalogue'
    """
    lines = [*_head(catalogue, found), *_stations(catalogue), *_complaints(catalogue), *_cautions(catalogue)]
    lines += [*_set_ups(catalogue), *_words(catalogue), *_coverage(catalogue, found)]
    return "\n".join(lines).rstrip() + "\n"


def _head(catalogue: Catalogue, found: Separation) -> Iterator[str]:
    measured = sum(check.reading is not None for check in catalogue.checks.values())
    yield from (
        "# The catalogue",
        "",
        "Written by `python -m tipward.faults.coverage`; change the tables under `src/tipward/faults/catalogue`, never",
        "this page. Every probability is followed by its grade, its reason and its file: `judgement` is the judgement",
        "of the makers, to be replaced by cases; what is said without a source is common practice of the trade.",
        "",
        f"{len(catalogue.faults)} faults · {len(catalogue.checks)} checks, {measured} of them measured ·"
        f" {len(catalogue.actions)} actions · {len(catalogue.complaints)} complaints ·"
        f" {len(found.inseparable)} pairs of faults that no check tells apart",
        "",
        "Measured checks carry no probabilities: what a reading says follows from the force budget of the path as each",
        "fault would change it.",
        "",
    )


def _stations(catalogue: Catalogue) -> Iterator[str]:
    for station, name in STATIONS.items():
        yield from (f"## Station: {name}", "")
        for fault in catalogue.faults.values():
            if fault.station == station:
                yield from _fault(catalogue, fault)
        for check in catalogue.checks.values():
            if check.station == station:
                yield from _check(catalogue, check)
        for action in catalogue.actions.values():
            if action.station == station:
                yield from _action(catalogue, action)


def _fault(catalogue: Catalogue, fault: Fault) -> Iterator[str]:
    yield from (f"### Fault `{fault.id}`: {fault.name}", "", fault.why, "")
    yield f"- before any finding: {percent(fault.prior)} ({fault.prior_grade}: {fault.prior_reason})"
    for item in fault.raised_by:
        yield f"- odds × {item.times:g} where {condition_words(item.when)} ({fault.prior_grade}: {item.reason})"
    for change in fault.changes:
        yield f"- changes the path: {change_words(change)} ({fault.grade})"
    if fault.complaints:
        said = ", ".join(f"`{key}` {percent(value)}" for key, value in fault.complaints.items())
        yield f"- brings the complaints: {said} ({fault.prior_grade})"
    for key, outcomes in fault.shown_by.items():
        yield f"- shown by `{key}`: {outcomes_words(outcomes)} ({fault.prior_grade}; stated with the fault)"
    seen = [key for key, faults in catalogue.shown.items() if faults.get(fault.id)]
    if seen:
        yield f"- seen by: {_keys(seen)}"
    for later in fault.leads_to:
        yield f"- leads to `{later.fault}`: {percent(later.probability)} ({fault.prior_grade}: {later.reason})"
    if fault.excludes:
        yield f"- never together with: {_keys(fault.excludes)}"
    yield f"- cleared by: {_keys(item.id for item in catalogue.actions_for(fault.id))}"
    yield f"- seen by the proof tests: {percent(fault.seen_by_proof)} ({fault.prior_grade})"
    if fault.service_only:
        yield "- for the service shop only"
    yield f"- keeps it away: {fault.prevention}"
    yield from (f"- file: {_file(catalogue, 'fault', fault.id)}; grade of the practice: {fault.grade}", "")


def _check(catalogue: Catalogue, check: Check) -> Iterator[str]:
    yield from (f"### Check `{check.id}`: {check.name}", "", check.instructions, "")
    yield f"- {minutes_words(check.minutes)}; {check.who}; at: {', '.join(check.at)}"
    for name, values in (("tools", check.tools), ("spares", check.spares)):
        if values:
            yield f"- {name}: {', '.join(values)}"
    for name, ids in (("set-up", check.set_up), ("cautions", check.cautions)):
        if ids:
            yield f"- {name}: {_keys(ids)}"
    if check.history:
        yield f"- asked {HISTORY}"
    if check.only_if:
        yield f"- only where {' and '.join(map(condition_words, check.only_if))}"
    for after in check.impossible_after:
        yield f"- not after `{after.check}` = {' or '.join(after.outcomes)}: {after.reason}"
    if check.reading is not None:
        context = ", ".join(f"{key} {value}" for key, value in check.reading.context.items()) or "as it is"
        yield (
            f"- reading `{check.reading.name}` [{check.reading.unit}] ({context}); repeats within"
            f" {percent(check.reading.repeat_share)} and {check.reading.repeat_absolute:g} {check.reading.unit}"
            " (judgement of the tool)"
        )
    for outcome in check.outcomes:
        chance = (
            f"; without any fault {percent(check.false[outcome.id])} (judgement)" if outcome.id in check.false else ""
        )
        yield f"- outcome `{outcome.id}`: {outcome.text}{chance}"
    for item in check.shows:
        yield f"- {_shows(item)}"
    yield from (f"- file: {_file(catalogue, 'check', check.id)}; grade of the practice: {check.grade}", "")


def _action(catalogue: Catalogue, action: Action) -> Iterator[str]:
    yield from (f"### Action `{action.id}`: {action.name}", "", action.instructions, "")
    yield f"- {action.kind}; {minutes_words(action.minutes)}; {action.skill}; at: {', '.join(action.at)}"
    for part in action.parts:
        yield f"- part: {part.name}, {part.price_low:g} to {part.price_high:g} in the shop's currency (judgement)"
    if action.away_hours:
        yield f"- the machine stands meanwhile: {hours_words(action.away_hours)}"
    cleared = ", ".join(f"`{item.fault}` {percent(item.success)}" for item in action.clears)
    yield f"- clears: {cleared} (judgement)"
    if action.may_cause:
        caused = ", ".join(f"`{item.fault}` {percent(item.probability)}" for item in action.may_cause)
        yield f"- may bring in: {caused} (judgement)"
    for name, ids in (("set-up", action.set_up), ("cautions", action.cautions)):
        if ids:
            yield f"- {name}: {_keys(ids)}"
    yield from (f"- file: {_file(catalogue, 'action', action.id)}; grade of the practice: {action.grade}", "")


def _complaints(catalogue: Catalogue) -> Iterator[str]:
    yield from ("## Complaints", "")
    for complaint in catalogue.complaints.values():
        yield from _complaint(catalogue, complaint)


def _complaint(catalogue: Catalogue, complaint: Complaint) -> Iterator[str]:
    yield from (f"### Complaint `{complaint.id}`: {complaint.name}", "")
    if complaint.says:
        yield from (complaint.says, "")
    yield f"- kind: {complaint.kind}; said without any listed fault: {percent(complaint.false)} (judgement)"
    if complaint.condition:
        yield f"- brought out by: {complaint.condition}"
    if complaint.words:
        yield f"- customers' words: {'; '.join(complaint.words)}"
    brought = sorted(
        (-fault.complaints[complaint.id], fault.id)
        for fault in catalogue.faults.values()
        if complaint.id in fault.complaints
    )
    if brought:
        yield "- brought by: " + ", ".join(f"`{fault}` {percent(-chance)}" for chance, fault in brought)
    yield from (f"- file: {_file(catalogue, 'complaint', complaint.id)}", "")


def _cautions(catalogue: Catalogue) -> Iterator[str]:
    yield from ("## Cautions", "")
    for caution in catalogue.cautions.values():
        yield f"- `{caution.id}`: {caution.text} (Who says so: {caution.source}.)"
    yield ""


def _set_ups(catalogue: Catalogue) -> Iterator[str]:
    yield from ("## Set-ups that checks share", "")
    for item in catalogue.set_ups.values():
        yield f"- `{item.id}`: {item.name}, {item.minutes:g} min (judgement)"
    yield ""


def _words(catalogue: Catalogue) -> Iterator[str]:
    yield from ("## Words that mean the same", "")
    for item in catalogue.synonyms:
        yield f"- {item.word}: {', '.join(item.also)}"
    yield ""


def _coverage(catalogue: Catalogue, found: Separation) -> Iterator[str]:
    yield from (
        "## Coverage: what tells each fault from all others",
        "",
        "For each fault a cheap set of checks (greedy, by faults told apart per minute, set-ups counted once) that",
        "tells it from every other fault, each taken alone: some outcome differs by a probability of at least .5, or a",
        "reading is moved by one of the two only. In a case fewer are needed: the complaint has ruled most faults out.",
        "",
        "| fault | checks | minutes |",
        "|---|---|---|",
    )
    for fault in catalogue.faults:
        yield f"| `{fault}` | {_keys(found.checks.get(fault, ()))} | {found.minutes.get(fault, 0.0):.1f} |"
    yield from ("", f"Told apart by the size of measured readings only: {_pairs(found.by_size)}", "")
    yield from (f"Told apart by no check: {_pairs(found.inseparable)}", "")


def _pairs(pairs: Iterable[tuple[str, str]]) -> str:
    return "; ".join(f"`{one}` and `{other}`" for one, other in pairs) or "none"


def _shows(item: Shows) -> str:
    subject = f"fault `{item.fault}`" if item.fault else f"any fault of {', '.join(item.stations)}"
    return f"{subject}: {outcomes_words(item.outcomes)} ({item.grade}: {item.reason})"


def _keys(ids: Iterable[str]) -> str:
    return ", ".join(f"`{key}`" for key in ids)


def _file(catalogue: Catalogue, kind: str, key: str) -> str:
    return f"`{catalogue.places.get(f'{kind} {key}', 'not from a file')}`"
