"""What can be done now: checks and actions within the place, the tools, the spares and the qualification at hand."""

from collections.abc import Iterator, Sequence
from functools import lru_cache

from tipward.diagnosis.answers import answers_now, ruled_out_by
from tipward.diagnosis.believing import Belief
from tipward.diagnosis.touch import touching
from tipward.faults import Action, Catalogue, Check, holds
from tipward.model import Cannot, Case, FeedPath, Finding, Page, Place, ProofTest, Repair

MOST_TIMES = 3  # the same action again and again mends nothing [judgement]


def possible_checks(catalogue: Catalogue, case: Case, belief: Belief) -> tuple[Check, ...]:
    """Checks that can be done now and would be news.

    Parameters
    ----------
    catalogue : Catalogue
        The catalogue.
    case : Case
        The case.
    belief : Belief
        Belief of the case.

    Returns
    -------
    tuple of Check
        In catalogue order.

    Raises
    ------
    Nothing.

    Source: docs/decisions/0009.

    >>> from datetime import datetime
    >>> from tipward.diagnosis.believing import believe
    >>> from tipward.faults import build_catalogue
    >>> from tipward.model import FeedPath, Opened, Page
    >>> case = Case("c", (Page(1, "k", datetime(2026, 1, 1), Opened(FeedPath(), ())),))
    >>> possible_checks(build_catalogue([]), case, believe(build_catalogue([]), case))
    ()
    """
    place, path, pages = case.place(), case.path(), case.live()
    refused = {page.entry.what for page in pages if isinstance(page.entry, Cannot)}
    answers = answers_now(pages)
    asked = {page.entry.check: page.sequence for page in pages if isinstance(page.entry, Finding)}
    stale = {name for name, last in asked.items() if not _news_again(catalogue, belief, name, last)}
    return tuple(
        check
        for check in reachable(catalogue, place, path)
        if check.id not in refused and check.id not in stale and ruled_out_by(check, answers) is None
    )


MOST_REACHABLE = 64


@lru_cache(MOST_REACHABLE)
def reachable(catalogue: Catalogue, place: Place, path: FeedPath) -> tuple[Check, ...]:
    """Checks that this place and this path allow at all, worked out once."""
    return tuple(
        check
        for check in catalogue.checks.values()
        if within_reach(check, place) and all(holds(condition, path) for condition in check.only_if)
    )


def within_reach(check: Check, place: Place) -> bool:
    """Whether a check can be done at this place with what is at hand."""
    who = {"phone": {"customer"}}.get(place.at, {"customer", "technician"}) | (
        {"qualified"} if place.qualified else set()
    )
    return (
        place.at in check.at
        and check.who in who
        and set(check.tools) <= set(place.tools)
        and set(check.spares) <= set(place.spares)
    )


def possible_actions(catalogue: Catalogue, case: Case) -> Iterator[Action]:
    """Actions that can be done now and were not just done, nor in vain too often; service actions always can."""
    place, pages = case.place(), case.live()
    refused = {page.entry.what for page in pages if isinstance(page.entry, Cannot)} | _spent(pages)
    skills = {"customer"} if place.at == "phone" else {"customer", "technician"}
    skills |= {"qualified"} if place.qualified else set()
    for action in catalogue.actions.values():
        if action.id in refused:
            continue
        if action.kind == "service" or (place.at in action.at and action.skill in skills):
            yield action


def _spent(pages: Sequence[Page]) -> set[str]:
    """Actions done since anything was last looked at or proved, and those done so often that the cause lies elsewhere."""
    done: list[str] = []
    fresh: set[str] = set()
    for page in pages:
        if isinstance(page.entry, Repair):
            done.append(page.entry.action)
            fresh.add(page.entry.action)
        elif isinstance(page.entry, Finding | ProofTest):
            fresh = set()
    return fresh | {action for action in done if done.count(action) >= MOST_TIMES}


def set_ups_now(catalogue: Catalogue, case: Case) -> frozenset[str]:
    """The set-ups that the last finding left in place (tip off, rolls open)."""
    for page in reversed(case.live()):
        if isinstance(page.entry, Repair):
            break
        if isinstance(page.entry, Finding) and page.entry.check in catalogue.checks:
            return frozenset(catalogue.checks[page.entry.check].set_up)
    return frozenset()


def check_minutes(
    catalogue: Catalogue, check: Check, in_place: frozenset[str], made_anyway: frozenset[str] = frozenset()
) -> float:
    """Minutes of a check with the set-ups that it still needs and the undoing of those it cannot have.

    Set-ups ``made_anyway`` by the action that is about to follow count with that action.
    """
    changes = (frozenset(check.set_up) ^ in_place) - made_anyway
    return check.minutes.mean + sum(catalogue.set_ups[name].minutes for name in changes)


def action_minutes(catalogue: Catalogue, action: Action, in_place: frozenset[str]) -> float:
    """Minutes of an action less the set-ups that it makes anyway and finds in place."""
    saved = sum(catalogue.set_ups[name].minutes for name in action.set_up if name in in_place)
    return max(action.minutes.mean - saved, action.minutes.low)


def action_parts(action: Action, place: Place) -> float:
    """What an action costs beside its minutes, in minutes of work and standstill: its parts, and the customer's wait for it."""
    parts = sum((part.price_low + part.price_high) / 2 for part in action.parts)
    away = action.away_hours.mean * place.standstill_per_hour if action.away_hours else 0.0
    return (parts + away) / place.money_per_minute


def _news_again(catalogue: Catalogue, belief: Belief, name: str, last: int) -> bool:
    """Whether a repair since the last answer touched a fault that this check can notice."""
    mended = {fault for item in belief.found.mendings if item.page > last for fault, _ in (*item.clears, *item.causes)}
    check = catalogue.checks.get(name)
    if check is None or not mended or check.history:
        return False
    if check.reading is not None:
        return any(belief.network.index[fault] in mended for fault in touching(check, catalogue.faults))
    return not mended.isdisjoint(belief.network.checks[name].faults.tolist())
