"""The case card on paper: one page, with the line."""

from dataclasses import asdict, replace
from typing import Any

from tipward.model import CardWords, CaseView, ForceBudget, Judgement
from tipward.reports.content import MOST_LINES, CardContent, case_content
from tipward.reports.line import line_svg
from tipward.reports.paper import CARD_FONT, TooLongError, print_paper
from tipward.reports.scene import description, scene, shortened
from tipward.reports.suspicion import station_suspicions

# Longest text and most lines a section, tried in turn until the card fits on its one page.
TIGHTER = ((160, MOST_LINES), (160, 9), (160, 7), (130, 6), (110, 5), (90, 5), (70, 4), (44, 4), (30, 3))


def case_card_pdf(
    view: CaseView,
    words: CardWords,
    budget: ForceBudget | None = None,
    paper: str = "a4",
    inches: bool = False,
    before: Judgement | None = None,
) -> bytes:
    """Print the case card: one page, with the line, what was found, done and proved, cautions and sources.

    Parameters
    ----------
    view : CaseView
        The case with its judgement and proof.
    words : CardWords
        Words of the catalogue by id; a missing word is shown as its id.
    budget : ForceBudget or None
        Forces of the path as it is now [N]; None leaves them out of the line.
    paper : str
        "a4" or "letter".
    inches : bool
        Inches, in/min and pounds-force.
    before : Judgement or None
        The judgement before the first repair, for "what it was"; None takes the present one.

    Returns
    -------
    bytes
        PDF/UA-1, one page, the same bytes for the same input.

    Raises
    ------
    ValueError
        Another paper, or a case without its first page.

    Source: design (docs/explanation/the-line.md).

    >>> from datetime import datetime
    >>> from tipward.model import Case, FeedPath, NextStep, Opened, Page, Proof
    >>> case = Case("7", (Page(1, "k", datetime(2026, 1, 2), Opened(FeedPath(), ("stubs",))),))
    >>> judged = Judgement((), (), 1.0, (), 0.0, "exact")
    >>> view = CaseView(case, judged, NextStep("check", ""), (), Proof((), False, (), 0.0, ()))
    >>> case_card_pdf(view, CardWords())[:5]
    b'%PDF-'
    """
    said = case_content(view, words, budget, before, inches)
    path, suspicions = view.case.path(), station_suspicions(before or view.judgement)
    drawn = {
        "line": line_svg(path, budget, suspicions, inches=inches, font_family=CARD_FONT),
        "line-says": description(scene(path, budget, suspicions, inches)),
    }
    for longest, most in TIGHTER[:-1]:
        try:
            return print_paper("case", {**_plain(tightened(said, longest, most)), **drawn}, paper)
        except TooLongError:
            continue
    shortest = _plain(tightened(said, *TIGHTER[-1]))
    return print_paper("case", {**shortest, **drawn, "may-flow": True}, paper)  # a caution is never cut for a page


def _plain(said: CardContent) -> dict[str, Any]:
    return {key.replace("_", "-"): value for key, value in asdict(said).items()}


def tightened(said: CardContent, longest: int, most: int) -> CardContent:
    """The same card in fewer words; what is cut is said."""
    names = ("complaint", "found", "was", "done", "proved", "remains", "prevention")
    cut: dict[str, Any] = {name: _cut(getattr(said, name), longest, most) for name in names}
    facts = tuple((name, shortened(text, max(longest // 2, 24))) for name, text in said.facts)
    proof_line = shortened(said.proof_line, 2 * longest)
    return replace(said, facts=facts, proof_line=proof_line, explained=shortened(said.explained, 2 * longest), **cut)


def _cut(items: tuple[Any, ...], longest: int, most: int) -> tuple[Any, ...]:
    short = [
        shortened(item, longest) if isinstance(item, str) else tuple(shortened(part, longest) for part in item)
        for item in items[:most]
    ]
    if len(items) > most and short:
        note = f"and {len(items) - most + 1} more, in the case on the machine"
        short[-1] = note if isinstance(items[0], str) else (note, *[""] * (len(items[0]) - 1))
    return tuple(short)
