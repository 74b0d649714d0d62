"""The report for the customer: what was said, found, done and proved, and nothing of what stands behind."""

from tipward.diagnosis import judge
from tipward.foundation import NotKnownError
from tipward.model import Case, Closed, CustomerReport, Opened, ProofTarget, Repair
from tipward.planning import prove
from tipward.tasks.baselines import baseline_of
from tipward.tasks.shop import Shop

NOT_FINISHED = "this report is not finished; ask the workshop"


def customer_report(shop: Shop, case: Case) -> CustomerReport:
    """Tell a finished case in words for the customer.

    Parameters
    ----------
    shop : Shop
        The shop.
    case : Case
        A case that has ended.

    Returns
    -------
    CustomerReport
        No odds, no notes, no names of the staff, no ids.

    Raises
    ------
    NotKnownError
        The case has not ended.

    Source: design (docs/explanation/security.md).

    >>> import tempfile
    >>> from tipward.model import FeedPath
    >>> from tipward.tasks.opening import open_case
    >>> from tipward.tasks.shop import open_shop
    >>> shop = open_shop(tempfile.mkdtemp() + "/book.db")
    >>> customer_report(shop, open_case(shop, FeedPath(), ("burns-back",)))
    Traceback (most recent call last):
    ...
    tipward.foundation.errors.NotKnownError: this report is not finished; ask the workshop
    """
    ended = next((page for page in reversed(case.live()) if isinstance(page.entry, Closed)), None)
    if ended is None or not isinstance(ended.entry, Closed):
        raise NotKnownError(NOT_FINISHED)
    opened, catalogue = case.opened(), shop.catalogue
    repairs = [page.entry for page in case.live() if isinstance(page.entry, Repair)]
    found = _found(shop, case)
    targets = _tests(shop, case)
    return CustomerReport(
        customer=opened.customer,
        said=opened.words,
        complaints=_complaints(shop, opened),
        opened=case.pages[0].at,
        ended=ended.at,
        how=ended.entry.how,
        found=tuple(catalogue.faults[fault].name for fault in found),
        done=tuple(catalogue.actions[item.action].name for item in repairs if item.action in catalogue.actions),
        tests_met=sum(target.met is True for target in targets),
        tests=len(targets),
        keep_away=tuple(dict.fromkeys(catalogue.faults[fault].prevention for fault in found)),
    )


def _complaints(shop: Shop, opened: Opened) -> tuple[str, ...]:
    known = shop.catalogue.complaints
    return tuple(known[item].name for item in opened.complaints if item in known)


def _tests(shop: Shop, case: Case) -> tuple[ProofTarget, ...]:
    return tuple(target for target in prove(shop.catalogue, case, baseline_of(shop, case)).targets if target.readings)


def _found(shop: Shop, case: Case) -> tuple[str, ...]:
    """For each repair the likeliest, just before it, of the faults that it clears."""
    found: dict[str, None] = {}
    live = {page.sequence for page in case.live()}
    for number, page in enumerate(case.pages):
        action = shop.catalogue.actions.get(page.entry.action) if isinstance(page.entry, Repair) else None
        if action is not None and page.sequence in live:
            before = judge(shop.catalogue, Case(case.id, case.pages[:number]), explain=False)
            held = {item.fault: item.probability for item in before.suspicions}
            found[max((item.fault for item in action.clears), key=lambda fault: held.get(fault, 0.0))] = None
    return tuple(found)
