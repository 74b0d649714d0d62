"""A remote case: what a customer can be asked from afar, and what the answers enter as."""

from dataclasses import replace

from tipward.faults import Check
from tipward.foundation import InputError, Problem
from tipward.model import Asked, Case, Finding, Moved, NextCheck
from tipward.planning import describe_check, offers, set_out
from tipward.tasks.adding import add
from tipward.tasks.shop import Shop

MOST_ANSWERS = 12  # more than that is an interrogation [design]
# What somebody without a tool in hand and nobody beside him may be warned of; anything past it is for the workshop.
CAUTIONS_FROM_AFAR = frozenset({"power-off", "hot", "wire-end"})
KEY = "customer:"


def may_be_asked(check: Check) -> bool:
    """Whether a customer may be asked this from afar.

    Parameters
    ----------
    check : Check
        Any check of the catalogue.

    Returns
    -------
    bool
        Only looks and questions of the phone: nothing is opened, run, measured or taken off, no tool, no spare.

    Raises
    ------
    Nothing.

    Source: design (docs/explanation/security.md).

    >>> from tipward.faults import load_catalogue
    >>> checks = load_catalogue().checks
    >>> may_be_asked(checks["look-lead-lie"]), may_be_asked(checks["jog-inside"])
    (True, False)
    """
    hands_on = check.opens_machine or check.runs_wire or check.tools or check.spares or check.set_up
    reached = check.who == "customer" and "phone" in check.at and check.reading is None
    return reached and not hands_on and set(check.cautions) <= CAUTIONS_FROM_AFAR


def ask_customer(shop: Shop, case: Case, skipped: frozenset[str] = frozenset(), most: int = 3) -> Asked:
    """Choose what to ask a customer from afar next.

    Parameters
    ----------
    shop : Shop
        The shop.
    case : Case
        The case.
    skipped : frozenset of str
        Checks that the customer could not answer.
    most : int
        Questions at once [1].

    Returns
    -------
    Asked
        The questions that tell most for their minutes, best first; none where the case is over or a stop was said.

    Raises
    ------
    Nothing.

    Source: docs/decisions/0009; which checks: ``may_be_asked``.

    >>> import tempfile
    >>> from tipward.model import FeedPath
    >>> from tipward.tasks.opening import open_case
    >>> from tipward.tasks.shop import open_shop
    >>> shop = open_shop(tempfile.mkdtemp() + "/book.db")
    >>> len(ask_customer(shop, open_case(shop, FeedPath(), ("burns-back",))).checks)
    3
    """
    said, stop, answered, over = _standing(shop, case)
    if stop or over:
        return Asked(said, (), answered, over, stop)
    checks = _questions(shop, case, skipped, most)
    return Asked(said, checks, answered, not checks)


def _standing(shop: Shop, case: Case) -> tuple[str, str, int, bool]:
    """What was said, a stop in it, how many answers the customer gave, and whether the questions are over."""
    opened = case.opened()
    answered = sum(page.key.startswith(KEY) for page in case.pages)
    known = [shop.catalogue.complaints[item] for item in opened.complaints if item in shop.catalogue.complaints]
    said = opened.words or "; ".join(item.name for item in known)
    stop = next((item.says or item.name for item in known if item.kind == "stop"), "")
    return said, stop, answered, case.closed() is not None or answered >= MOST_ANSWERS


def _questions(shop: Shop, case: Case, skipped: frozenset[str], most: int) -> tuple[NextCheck, ...]:
    board = set_out(shop.catalogue, _at_the_phone(case))
    ranked = [board.checks[offer.name] for offer in offers(board) if offer.name not in skipped]
    asked = [check for check in ranked if may_be_asked(check)][:most]
    return tuple(describe_check(shop.catalogue, board, check) for check in asked)


def _at_the_phone(case: Case) -> Case:
    last, place = case.pages[-1], replace(case.place(), at="phone", tools=(), spares=(), qualified=False)
    page = replace(last, sequence=last.sequence + 1, key=f"{last.key}:phone", entry=Moved(place))
    return case.with_page(page)


def answer_from_afar(shop: Shop, case_id: str, check: str, outcome: str, key: str, note: str = "") -> Case:
    """Enter the answer of a customer: reported by the customer, with the lower reliability of that.

    Parameters
    ----------
    shop : Shop
        The shop.
    case_id : str
        The case.
    check, outcome : str
        What was asked, and the answer.
    key : str
        Idempotency key: sent twice, it counts once.
    note : str
        In the customer's own words.

    Returns
    -------
    Case
        With the answer.

    Raises
    ------
    InputError
        A check that is not for customers, an unknown answer, or a case that has ended or holds enough answers.
    NotKnownError
        No such case.

    Source: design (docs/explanation/security.md).

    >>> import tempfile
    >>> from tipward.model import FeedPath
    >>> from tipward.tasks.opening import open_case
    >>> from tipward.tasks.shop import open_shop
    >>> shop = open_shop(tempfile.mkdtemp() + "/book.db")
    >>> case = open_case(shop, FeedPath(), ("burns-back",))
    >>> answer_from_afar(shop, case.id, "look-lead-lie", "tight", "tap-1").pages[-1].entry.by
    'customer'
    """
    case = shop.book.case(case_id)
    if any(page.key == KEY + key for page in case.pages):
        return case
    _, stop, _, over = _standing(shop, case)
    known = shop.catalogue.checks.get(check)
    if known is None or not may_be_asked(known) or stop:
        raise InputError("answer", [Problem("check", "is not one of the questions", "open the link again")])
    if over:
        raise InputError("answer", [Problem("check", "comes after the end of the questions", "call the workshop")])
    return add(shop, case_id, Finding(check, outcome, by="customer", note=note), KEY + key)
