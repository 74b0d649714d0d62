"""The pages of a case in words, and the line as pictures with its table."""

from tipward import reports
from tipward.foundation import show_quantity
from tipward.mechanics import feed_force
from tipward.model import (
    Cannot,
    Case,
    CaseView,
    Closed,
    FeedPath,
    Finding,
    LinePicture,
    Moved,
    Opened,
    Page,
    ProofTest,
    Repair,
    TakenBack,
    ToldPage,
)
from tipward.tasks.shop import Shop


def told_pages(shop: Shop, case: Case, inches: bool = False) -> tuple[ToldPage, ...]:
    """Tell the pages of a case in the words of the catalogue.

    Parameters
    ----------
    shop : Shop
        The shop.
    case : Case
        The case.
    inches : bool
        Inches, in/min and pounds-force.

    Returns
    -------
    tuple of ToldPage
        In order; ``about`` names the check, action or page, ``says`` the outcome or readings.

    Raises
    ------
    Nothing.

    Source: design.

    >>> import tempfile
    >>> from tipward.tasks.opening import open_case
    >>> from tipward.tasks.shop import open_shop
    >>> shop = open_shop(tempfile.mkdtemp() + "/book.db")
    >>> told_pages(shop, open_case(shop, FeedPath(), ("burns-back",)))[0].kind
    'opened'
    """
    counting = {page.sequence for page in case.live()}
    is_open = case.closed() is None
    return tuple(_told(shop, case, page, counting, is_open, inches) for page in case.pages)


def _told(shop: Shop, case: Case, page: Page, counting: set[int], is_open: bool, inches: bool) -> ToldPage:
    about, says, note = _words(shop, page, inches)
    counts = page.sequence in counting
    may = is_open and counts and page.sequence > 1
    kind: str = page.entry.kind
    if isinstance(page.entry, Finding) and page.entry.by in {"declared", "customer"}:
        kind = page.entry.by
    return ToldPage(page.sequence, page.at, page.author, kind, about, says, note, counts, may)


def _words(shop: Shop, page: Page, inches: bool) -> tuple[str, str, str]:
    entry, catalogue = page.entry, shop.catalogue
    if isinstance(entry, Finding):
        return _finding(shop, entry, inches)
    if isinstance(entry, Opened):
        names = [catalogue.complaints[item].name for item in entry.complaints if item in catalogue.complaints]
        return entry.words, "; ".join(names), ""
    if isinstance(entry, Repair):
        action = catalogue.actions.get(entry.action)
        return action.name if action else entry.action, "", entry.note
    if isinstance(entry, Cannot):
        known = catalogue.checks.get(entry.what) or catalogue.actions.get(entry.what)
        return known.name if known else entry.what, "", entry.why
    if isinstance(entry, TakenBack):
        return str(entry.sequence), "", entry.why
    if isinstance(entry, Moved):
        return entry.place.at, ", ".join((*entry.place.tools, *entry.place.spares)), ""
    if isinstance(entry, ProofTest):
        return "", "; ".join(f"{name}: {_values(values, '', inches)}" for name, values in entry.readings), ""
    assert isinstance(entry, Closed)
    return entry.how, "", entry.note


def _finding(shop: Shop, entry: Finding, inches: bool) -> tuple[str, str, str]:
    if entry.check.startswith("match:"):
        fault = shop.catalogue.faults.get(entry.check.removeprefix("match:"))
        return fault.name if fault else entry.check, entry.note, ""
    check = shop.catalogue.checks.get(entry.check)
    if check is None:
        return entry.check, entry.outcome or _values(entry.readings, "", inches), entry.note
    if check.reading is not None:
        return check.name, _values(entry.readings, check.reading.unit, inches), entry.note
    texts = {outcome.id: outcome.text for outcome in check.outcomes}
    return check.name, texts.get(entry.outcome, entry.outcome), entry.note


def _values(values: tuple[float, ...], unit: str, inches: bool) -> str:
    return ", ".join("stuck" if value == float("inf") else show_quantity(value, unit, inches) for value in values)


def line_pictures(view: CaseView, inches: bool = False) -> LinePicture:
    """Draw the line of a case: standing, lying and as a table, from one budget.

    Parameters
    ----------
    view : CaseView
        The case with its judgement.
    inches : bool
        Inches and pounds-force.

    Returns
    -------
    LinePicture
        With forces, limits and suspicion.

    Raises
    ------
    Nothing.

    Source: design (docs/explanation/the-line.md).

    >>> import tempfile
    >>> from tipward.tasks.opening import open_case
    >>> from tipward.tasks.shop import open_shop
    >>> from tipward.tasks.seeing import view
    >>> shop = open_shop(tempfile.mkdtemp() + "/book.db")
    >>> line_pictures(view(shop, open_case(shop, FeedPath(), ("burns-back",)).id)).wide[:4]
    '<svg'
    """
    return _pictures(view.case.path(), reports.station_suspicions(view.judgement), inches)


def path_pictures(path: FeedPath, inches: bool = False) -> LinePicture:
    """Draw the line of a path without suspicion; see ``line_pictures``.

    Parameters
    ----------
    path : FeedPath
        The path.
    inches : bool
        Inches and pounds-force.

    Returns
    -------
    LinePicture
        With forces and limits.

    Raises
    ------
    Nothing.

    Source: design (docs/explanation/the-line.md).

    >>> len(path_pictures(FeedPath()).rows)
    14
    """
    return _pictures(path, None, inches)


def _pictures(path: FeedPath, suspicions: dict[str, float] | None, inches: bool) -> LinePicture:
    budget = feed_force(path, extrapolate=True)
    return LinePicture(
        reports.line_svg(path, budget, suspicions, upright=True, inches=inches),
        reports.line_svg(path, budget, suspicions, inches=inches),
        reports.line_rows(path, budget, suspicions, inches),
        budget,
    )


def line_css() -> str:
    """The stylesheet that belongs to the drawings of the line.

    Returns
    -------
    str
        CSS; colours only.

    Raises
    ------
    Nothing.

    Source: design (docs/explanation/the-line.md).

    >>> ".tw-line" in line_css()
    True
    """
    return reports.LINE_CSS
