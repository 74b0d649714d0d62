"""The case card as text."""

import textwrap
from collections.abc import Iterable

from tipward.model import CardWords, CaseView, ForceBudget, Judgement
from tipward.reports.content import LOCAL_CODES, case_content
from tipward.reports.linetext import line_text
from tipward.reports.suspicion import station_suspicions

WIDTH = 78


def case_card_text(
    view: CaseView,
    words: CardWords,
    budget: ForceBudget | None = None,
    before: Judgement | None = None,
    inches: bool = False,
) -> str:
    """Write the case card as text, at most 80 columns wide.

    Parameters
    ----------
    view : CaseView
        The case with its judgement and proof.
    words : CardWords
        Words of the catalogue by id; a missing word is shown as its id.
    budget : ForceBudget or None
        Forces of the path as it is now [N]; None leaves them out of the line.
    before : Judgement or None
        The judgement before the first repair, for "what it was"; None takes the present one.
    inches : bool
        Inches, in/min and pounds-force.

    Returns
    -------
    str
        The card, with the sources this case used.

    Raises
    ------
    ValueError
        A case without its first page.

    Source: design (docs/explanation/the-line.md).

    >>> from datetime import datetime
    >>> from tipward.model import Case, FeedPath, NextStep, Opened, Page, Proof
    >>> case = Case("7", (Page(1, "k", datetime(2026, 1, 2), Opened(FeedPath(), ("stubs",))),))
    >>> judged = Judgement((), (), 1.0, (), 0.0, "exact")
    >>> view = CaseView(case, judged, NextStep("check", ""), (), Proof((), False, (), 0.0, ()))
    >>> case_card_text(view, CardWords()).splitlines()[0]
    'CASE 7 · Open, a check is next'
    """
    said = case_content(view, words, budget, before, inches)
    drawn = line_text(view.case.path(), budget, station_suspicions(before or view.judgement), inches)
    parts = [f"{said.heading.upper()} · {said.state}", *_pairs(said.facts), "", "COMPLAINT", *_items(said.complaint)]
    parts += ["", "THE LINE", drawn, *_section("WHAT WAS FOUND", _pairs(said.found))]
    parts += _section(said.was_heading.upper(), [*_pairs(said.was), *_wrapped(said.explained)])
    parts += _section("WHAT WAS DONE", _pairs(said.done))
    proved = [(text, f"{got}: {met}" if got else met) for text, got, met in said.proved]
    parts += _section("WHAT WAS PROVED", [*_pairs(proved), *_wrapped(said.proof_line)])
    parts += _section("WHAT REMAINS", _pairs(said.remains))
    parts += _section("TO KEEP IT FROM COMING BACK", _items(said.prevention))
    parts += _section("CAUTIONS", _items((*said.cautions, LOCAL_CODES)))
    parts += _section("SOURCES THIS CASE USED", _items(said.sources))
    return "\n".join(parts) + "\n"


def _section(heading: str, lines: list[str]) -> list[str]:
    return ["", heading, *lines] if lines else []


def _wrapped(text: str, first: str = "  ", rest: str = "  ") -> list[str]:
    return textwrap.wrap(text, WIDTH, initial_indent=first, subsequent_indent=rest) if text else []


def _items(texts: Iterable[str]) -> list[str]:
    return [line for text in texts for line in _wrapped(text, "  – ", "    ")]


def _pairs(pairs: Iterable[tuple[str, str]]) -> list[str]:
    return [line for name, text in pairs for line in _wrapped(f"{name}: {text}" if text else name, "  ", "      ")]
