"""Inspection without a complaint: every look that applies, in one round from spool to arc, then what to mend."""

from collections.abc import Iterator, Mapping
from types import MappingProxyType

from tipward.diagnosis.believing import believe
from tipward.faults import Catalogue, Check, holds
from tipward.foundation import InputError, Problem
from tipward.model import (
    Cannot,
    Case,
    Closed,
    Finding,
    Inspected,
    Look,
    LookGroup,
    Round,
)
from tipward.planning.options import possible_checks, set_ups_now, within_reach
from tipward.tasks.mending import found_in, what_to_mend
from tipward.tasks.round_order import in_order
from tipward.tasks.seeing import see, with_everything
from tipward.tasks.shop import Shop

LOOKS = "look-"  # looks by the naming of the catalogue; a shop's own looks join in under such an id
CLOSER = 0.1  # a cause as likely as this, and not mended, is worth a closer look [design]
OCCASIONS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {"": (), "sale": (), "hire-return": (), "new-spool": ("wire", "spool", "inlet-guide")}
)


def looks_left(shop: Shop, case: Case, occasion: str = "") -> Round:
    """Say what is left to look at: every look that applies to this path and can be done here, set-ups shared.

    Parameters
    ----------
    shop : Shop
        The shop.
    case : Case
        A case without complaint; what it has answered is not asked again, what its answers rule out is skipped.
    occasion : str
        "sale", "hire-return" or "new-spool" (only wire, spool and inlet guide); "" for the whole path.

    Returns
    -------
    Round
        Groups in order, and what cannot be looked at here, with the reason.

    Raises
    ------
    InputError
        Unknown occasion.

    Source: design; common practice for the looks.

    >>> import tempfile
    >>> from tipward.model import FeedPath, Place
    >>> from tipward.tasks.opening import open_case
    >>> from tipward.tasks.shop import open_shop
    >>> shop = open_shop(tempfile.mkdtemp() + "/book.db")
    >>> case = open_case(shop, FeedPath(), place=Place("phone"))
    >>> looks_left(shop, case).groups[0].looks[0].check
    'look-wire-label'
    """
    if occasion not in OCCASIONS:
        known = ", ".join(name for name in OCCASIONS if name)
        raise InputError("inspection", [Problem("for", f"{occasion!r} is no occasion", f"one of {known}")])
    catalogue = shop.catalogue
    wanted = _wanted(catalogue, case, occasion)
    now = {check.id for check in possible_checks(catalogue, case, believe(catalogue, case))}
    answered = {page.entry.check for page in case.live() if isinstance(page.entry, Finding)}
    within = [check for check in wanted if within_reach(check, case.place())]
    rest = [
        (key, tuple(check for check in group if check.id in now)) for key, group in in_order(catalogue, within)
    ]  # the order of the whole round, so that an answer never moves what is still to come
    groups = tuple((key, group) for key, group in rest if group)
    left_out = tuple(_why_not(case, check) for check in wanted if check.id not in now | answered)
    return Round(tuple(_told(catalogue, case, groups)), left_out)


def _wanted(catalogue: Catalogue, case: Case, occasion: str) -> list[Check]:
    path, stations = case.path(), OCCASIONS[occasion]
    return [
        check
        for check in catalogue.checks.values()
        if check.id.startswith(LOOKS)
        and (not stations or check.station in stations)
        and all(holds(condition, path) for condition in check.only_if)
    ]


def _why_not(case: Case, check: Check) -> tuple[str, str]:
    place = case.place()
    if any(isinstance(page.entry, Cannot) and page.entry.what == check.id for page in case.live()):
        return check.name, "could not be done"
    if within_reach(check, place):
        return check.name, "ruled out by an earlier answer"
    if place.at not in check.at:
        return check.name, f"not at the {place.at}"
    missing = [name for name in (*check.tools, *check.spares) if name not in (*place.tools, *place.spares)]
    if missing:
        return check.name, f"without {', '.join(missing)}"
    return check.name, "for a qualified person" if check.who == "qualified" else "for a technician"


def _told(
    catalogue: Catalogue, case: Case, groups: tuple[tuple[tuple[int, frozenset[str]], tuple[Check, ...]], ...]
) -> Iterator[LookGroup]:
    before = set_ups_now(catalogue, case)
    for (_, set_up), checks in groups:
        cautions = dict.fromkeys(caution for check in checks for caution in check.cautions)
        first, back = _names(catalogue, set_up - before), _names(catalogue, before - set_up)
        looks = tuple(_look(check) for check in checks)
        yield LookGroup(_names(catalogue, set_up), first, back, tuple(cautions), looks)
        before = set_up


def _names(catalogue: Catalogue, set_ups: frozenset[str]) -> tuple[str, ...]:
    return tuple(item.name for name, item in catalogue.set_ups.items() if name in set_ups)


def _look(check: Check) -> Look:
    outcomes = tuple((outcome.id, outcome.text) for outcome in check.outcomes)
    return Look(check.id, check.name, check.station, check.instructions, check.minutes.mean, check.tools, outcomes)


def inspected(shop: Shop, case: Case, occasion: str = "") -> Inspected:
    """Say what an inspection came to: what was found, what to mend first, what to look at more closely.

    Parameters
    ----------
    shop : Shop
        The shop.
    case : Case
        The case without complaint, with its findings.
    occasion : str
        As for ``looks_left``.

    Returns
    -------
    Inspected
        Findings that are not the normal ones; one action for each cause that was seen or is likely, likeliest first,
        wherever it can be done; causes of middling suspicion.

    Raises
    ------
    InputError
        Unknown occasion.

    Source: docs/decisions/0008; what is likely enough to mend: design.

    >>> import tempfile
    >>> from tipward.model import FeedPath
    >>> from tipward.tasks.adding import add
    >>> from tipward.tasks.opening import open_case
    >>> from tipward.tasks.shop import open_shop
    >>> shop = open_shop(tempfile.mkdtemp() + "/book.db")
    >>> case = add(shop, open_case(shop, FeedPath()).id, Finding("look-tip", "worn-oval"))
    >>> [fix.action for fix in inspected(shop, case).mend][:1]
    ['fit-new-tip']
    """
    view = see(shop, case)
    mend = what_to_mend(shop.catalogue, with_everything(shop, case))
    cleared = {fault for fix in mend for fault, _ in fix.clears}
    closer = tuple(
        item for item in view.judgement.suspicions if item.probability >= CLOSER and item.fault not in cleared
    )
    answered = {page.entry.check for page in case.live() if isinstance(page.entry, Finding)}
    looked = len(answered & set(shop.catalogue.checks))
    found = tuple(found for _, found in found_in(shop.catalogue, case))
    return Inspected(view, looked, found, mend, closer, looks_left(shop, case, occasion).left_out)


def end_inspection(shop: Shop, case: Case, result: Inspected) -> Case:
    """End an inspection: closed where nothing was found, else left open so that mending and proof can follow.

    Parameters
    ----------
    shop : Shop
        The shop.
    case : Case
        The case.
    result : Inspected
        What it came to.

    Returns
    -------
    Case
        Closed with an open end (nothing was proved) and a note, or as it was.

    Raises
    ------
    ConflictError
        Somebody else wrote meanwhile.

    Source: design; rules of proof (docs/explanation/proof.md).

    >>> import tempfile
    >>> from tipward.model import FeedPath, Place
    >>> from tipward.tasks.opening import open_case
    >>> from tipward.tasks.shop import open_shop
    >>> shop = open_shop(tempfile.mkdtemp() + "/book.db")
    >>> case = open_case(shop, FeedPath(), place=Place("phone"))
    >>> end_inspection(shop, case, inspected(shop, case)).closed().how
    'open end'
    """
    if result.found or result.mend or case.closed() is not None:
        return case
    note = f"Inspection without a complaint: nothing found in {result.looked} looks"
    return shop.book.append(case.id, Closed("open end", note), f"inspected:{case.pages[-1].key}", "", len(case.pages))
