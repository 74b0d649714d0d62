"""Reading cases without judging them: cheap enough to ask every few seconds."""

from tipward.model import Case, Page
from tipward.tasks.shop import Shop


def read_case(shop: Shop, case_id: str) -> Case:
    """Read a case with all its pages.

    Parameters
    ----------
    shop : Shop
        The shop.
    case_id : str
        Its id, or a beginning that only one case has.

    Returns
    -------
    Case
        Not judged.

    Raises
    ------
    NotKnownError
        No such case.

    Source: design (docs/decisions/0005).

    >>> import tempfile
    >>> from tipward.model import FeedPath
    >>> from tipward.tasks.opening import open_case
    >>> from tipward.tasks.shop import open_shop
    >>> shop = open_shop(tempfile.mkdtemp() + "/book.db")
    >>> case = open_case(shop, FeedPath(), ("burns-back",))
    >>> read_case(shop, case.id[:6]).id == case.id
    True
    """
    return shop.book.case(case_id)


def pages_since(shop: Shop, case_id: str, after: int) -> tuple[Page, ...]:
    """The pages of a case that came after one that was seen.

    Parameters
    ----------
    shop : Shop
        The shop.
    case_id : str
        The case.
    after : int
        Sequence number of the last page seen.

    Returns
    -------
    tuple of Page
        Oldest first.

    Raises
    ------
    NotKnownError
        No such case.

    Source: design (docs/decisions/0005).

    >>> import tempfile
    >>> from tipward.model import FeedPath
    >>> from tipward.tasks.opening import open_case
    >>> from tipward.tasks.shop import open_shop
    >>> shop = open_shop(tempfile.mkdtemp() + "/book.db")
    >>> len(pages_since(shop, open_case(shop, FeedPath(), ("burns-back",)).id, 0))
    1
    """
    return tuple(page for page in shop.book.case(case_id).pages if page.sequence > after)


def case_mark(shop: Shop, case: Case) -> tuple[str, str, int, int]:
    """What the judgement of a case depends on, in short: while the mark stays, a judgement may be shown again.

    Parameters
    ----------
    shop : Shop
        The shop.
    case : Case
        The case.

    Returns
    -------
    tuple of (str, str, int, int)
        Case id, key of its last page, number of pages, number of healthy baselines of its rig.

    Raises
    ------
    Nothing.

    Source: design; judging is a pure function of the pages, the catalogue and the rig's baseline.

    >>> import tempfile
    >>> from tipward.model import FeedPath
    >>> from tipward.tasks.opening import open_case
    >>> from tipward.tasks.shop import open_shop
    >>> shop = open_shop(tempfile.mkdtemp() + "/book.db")
    >>> case_mark(shop, open_case(shop, FeedPath(), ("burns-back",)))[2:]
    (1, 0)
    """
    rig = case.opened().rig
    return case.id, case.pages[-1].key, len(case.pages), len(shop.book.baselines(rig)) if rig else 0


def unit_of_check(shop: Shop, check: str) -> str:
    """The SI unit in which a measured check is read.

    Parameters
    ----------
    shop : Shop
        The shop.
    check : str
        Check id.

    Returns
    -------
    str
        "" where it is a plain number, not measured, or no check at all.

    Raises
    ------
    Nothing.

    Source: the catalogue.

    >>> import tempfile
    >>> from tipward.tasks.shop import open_shop
    >>> unit_of_check(open_shop(tempfile.mkdtemp() + "/book.db"), "pull-torch-straight")
    'N'
    """
    known = shop.catalogue.checks.get(check)
    return known.reading.unit if known is not None and known.reading is not None else ""
