"""Telling: the line, the card and the cautions, in words taken from the catalogue."""

from dataclasses import replace
from pathlib import Path

from tipward import reports
from tipward.diagnosis import judge
from tipward.faults import load_catalogue
from tipward.mechanics import feed_force
from tipward.model import CardWords, Case, CaseRow, CaseView, FeedPath, ForceBudget, Judgement, Repair, Suspicion
from tipward.tasks.shop import Shop

LOCAL_CODES = "Local codes and licensed practice come first."


def odds_in_words(probability: float) -> str:
    """A probability as odds in words and a percentage.

    Parameters
    ----------
    probability : float
        Probability [1].

    Returns
    -------
    str
        For example "about 3 in 10 (30 %)".

    Raises
    ------
    Nothing.

    Source: design (docs/explanation/the-line.md).

    >>> "3 in 10" in odds_in_words(0.3)
    True
    """
    return reports.suspicion_in_words(probability)


def line_of(path: FeedPath, budget: ForceBudget, inches: bool = False) -> str:
    """The line of a path as text: force and limits along it.

    Parameters
    ----------
    path : FeedPath
        The path.
    budget : ForceBudget
        Its budget.
    inches : bool
        Inches and pounds-force.

    Returns
    -------
    str
        At most 80 columns.

    Raises
    ------
    Nothing.

    Source: design (docs/explanation/the-line.md).

    >>> from tipward.model import TorchLead, Wire
    >>> path = FeedPath(wire=Wire("er70s-6", 0.0009), torch_lead=TorchLead(length_m=4.0, turns=1))
    >>> max(map(len, line_of(path, feed_force(path)).splitlines())) <= 80
    True
    """
    return reports.line_text(path, budget, None, inches=inches)


def line_of_view(view: CaseView, inches: bool = False) -> str:
    """The line of a case as text: force and limits, and suspicion beside them.

    Parameters
    ----------
    view : CaseView
        The case with its judgement.
    inches : bool
        Inches and pounds-force.

    Returns
    -------
    str
        At most 80 columns.

    Raises
    ------
    Nothing.

    Source: design (docs/explanation/the-line.md).

    >>> import tempfile
    >>> from pathlib import Path
    >>> from tipward.tasks.shop import open_shop
    >>> shop = open_shop(Path(tempfile.mkdtemp()) / "book.db")
    >>> from tipward.model import FeedPath
    >>> from tipward.tasks.opening import open_case
    >>> from tipward.tasks.seeing import view
    >>> told = view(shop, open_case(shop, FeedPath(), ("burns-back",)).id)
    >>> "contact tip" in line_of_view(told)
    True
    """
    path = view.case.path()
    budget = feed_force(path, extrapolate=True)
    return reports.line_text(path, budget, reports.station_suspicions(view.judgement), inches=inches)


def line_picture(view: CaseView, upright: bool = False, inches: bool = False) -> str:
    """The line of a case as inline SVG.

    Parameters
    ----------
    view : CaseView
        The case with its judgement.
    upright : bool
        Upright, for a phone.
    inches : bool
        Inches and pounds-force.

    Returns
    -------
    str
        SVG without style attributes.

    Raises
    ------
    Nothing.

    Source: design (docs/explanation/the-line.md).

    >>> import tempfile
    >>> from pathlib import Path
    >>> from tipward.tasks.shop import open_shop
    >>> shop = open_shop(Path(tempfile.mkdtemp()) / "book.db")
    >>> from tipward.model import FeedPath
    >>> from tipward.tasks.opening import open_case
    >>> from tipward.tasks.seeing import view
    >>> told = view(shop, open_case(shop, FeedPath(), ("burns-back",)).id)
    >>> line_picture(told).startswith("<svg")
    True
    """
    path = view.case.path()
    budget = feed_force(path, extrapolate=True)
    return reports.line_svg(path, budget, reports.station_suspicions(view.judgement), upright=upright, inches=inches)


def card_words(shop: Shop) -> CardWords:
    """The words of the catalogue that a card needs."""
    catalogue = shop.catalogue
    grades = {check.id: check.grade for check in catalogue.checks.values()}
    grades |= {action.id: action.grade for action in catalogue.actions.values()}
    grades |= {fault.id: fault.grade for fault in catalogue.faults.values()}
    return CardWords(
        checks={check.id: check.name for check in catalogue.checks.values()},
        outcomes={c.id: {o.id: o.text for o in c.outcomes} for c in catalogue.checks.values()},
        units={c.id: c.reading.unit for c in catalogue.checks.values() if c.reading is not None},
        faults={fault.id: fault.name for fault in catalogue.faults.values()},
        actions={action.id: action.name for action in catalogue.actions.values()},
        complaints={item.id: item.name for item in catalogue.complaints.values()},
        cautions={item.id: item.text for item in catalogue.cautions.values()},
        prevention={fault.id: fault.prevention for fault in catalogue.faults.values()},
        cautions_of={check.id: check.cautions for check in catalogue.checks.values()}
        | {action.id: action.cautions for action in catalogue.actions.values()},
        sources_of={name: (grade.replace(" ", "-"),) for name, grade in grades.items()}
        | {item.id: (item.source,) for item in catalogue.cautions.values()},
    )


def _before_repair(shop: Shop, case: Case) -> Judgement | None:
    """What it was: each cause as likely as it stood just before the repair at which it stood highest."""
    stood = [
        judge(shop.catalogue, Case(case.id, case.pages[:number]))
        for number, page in enumerate(case.pages)
        if isinstance(page.entry, Repair) and page in case.live()
    ]
    if len(stood) < 2:
        return stood[0] if stood else None
    highest: dict[str, Suspicion] = {}
    for item in (item for judgement in stood for item in judgement.suspicions):
        if item.fault not in highest or item.probability > highest[item.fault].probability:
            highest[item.fault] = item
    suspicions = tuple(sorted(highest.values(), key=lambda item: -item.probability))
    return replace(stood[0], suspicions=suspicions, explanations=())


def card_text(shop: Shop, view: CaseView, inches: bool = False) -> str:
    """The case card as text.

    Parameters
    ----------
    shop : Shop
        The shop.
    view : CaseView
        The case with its judgement.
    inches : bool
        Inches and pounds-force.

    Returns
    -------
    str
        At most 80 columns.

    Raises
    ------
    Nothing.

    Source: design.

    >>> import tempfile
    >>> from pathlib import Path
    >>> from tipward.tasks.shop import open_shop
    >>> shop = open_shop(Path(tempfile.mkdtemp()) / "book.db")
    >>> from tipward.model import FeedPath
    >>> from tipward.tasks.opening import open_case
    >>> from tipward.tasks.seeing import view
    >>> told = view(shop, open_case(shop, FeedPath(), ("burns-back",)).id)
    >>> "COMPLAINT" in card_text(shop, told)
    True
    """
    budget = feed_force(view.case.path(), extrapolate=True)
    before = _before_repair(shop, view.case)
    return reports.case_card_text(view, card_words(shop), budget, before=before, inches=inches)


def card_pdf(shop: Shop, view: CaseView, paper: str = "a4", inches: bool = False) -> bytes:
    """The case card as PDF, one page of A4 or Letter.

    Parameters
    ----------
    shop : Shop
        The shop.
    view : CaseView
        The case with its judgement.
    paper : str
        "a4" or "letter".
    inches : bool
        Inches and pounds-force.

    Returns
    -------
    bytes
        The PDF.

    Raises
    ------
    Nothing.

    Source: design.

    >>> import tempfile
    >>> from pathlib import Path
    >>> from tipward.tasks.shop import open_shop
    >>> shop = open_shop(Path(tempfile.mkdtemp()) / "book.db")
    >>> from tipward.model import FeedPath
    >>> from tipward.tasks.opening import open_case
    >>> from tipward.tasks.seeing import view
    >>> told = view(shop, open_case(shop, FeedPath(), ("burns-back",)).id)
    >>> card_pdf(shop, told)[:5]
    b'%PDF-'
    """
    budget = feed_force(view.case.path(), extrapolate=True)
    before = _before_repair(shop, view.case)
    return reports.case_card_pdf(view, card_words(shop), budget, paper=paper, inches=inches, before=before)


def caution_texts(ids: tuple[str, ...]) -> tuple[str, ...]:
    """Cautions in full, by their ids.

    Parameters
    ----------
    ids : tuple of str
        Caution ids; those unknown are left out.

    Returns
    -------
    tuple of str
        Texts.

    Raises
    ------
    Nothing.

    Source: the source of each caution stands in the catalogue.

    >>> "jog" in caution_texts(("jog-only",))[0]
    True
    """
    known = load_catalogue().cautions
    return tuple(known[item].text for item in ids if item in known)


def local_codes() -> str:
    """What each report and each case says first.

    Returns
    -------
    str
        One sentence.

    Raises
    ------
    Nothing.

    Source: design.

    >>> local_codes()
    'Local codes and licensed practice come first.'
    """
    return LOCAL_CODES


def list_cases(shop: Shop, open_only: bool = False) -> tuple[CaseRow, ...]:
    """The cases of a casebook, newest first.

    Parameters
    ----------
    shop : Shop
        The shop.
    open_only : bool
        Only those still open.

    Returns
    -------
    tuple of CaseRow
        One line a case.

    Raises
    ------
    Nothing.

    Source: design.

    >>> import tempfile
    >>> from pathlib import Path
    >>> from tipward.tasks.shop import open_shop
    >>> shop = open_shop(Path(tempfile.mkdtemp()) / "book.db")
    >>> list_cases(shop, open_only=True)
    ()
    """
    return shop.book.cases(open_only=open_only)


def demo_folder() -> Path:
    """Where the files of the invented workshop are.

    Returns
    -------
    Path
        Inside an installed package, or beside it in a checkout.

    Raises
    ------
    Nothing.

    Source: design.

    >>> (demo_folder() / "rig-steel-0.9.toml").is_file()
    True
    """
    inside = Path(__file__).parents[1] / "examples"
    return inside if inside.is_dir() else Path(__file__).parents[3] / "examples"
