"""The set-up card: for the lid of the machine."""

from collections.abc import Sequence
from typing import Any, Protocol

from tipward.model import FeedPath, Fit, ForceBudget
from tipward.reports.codes import qr_svg
from tipward.reports.content import citations
from tipward.reports.drawing import clean
from tipward.reports.line import line_svg
from tipward.reports.paper import CARD_FONT, TooLongError, print_paper
from tipward.reports.scene import description, scene, shortened

TIGHTER = ((220, 16), (140, 16), (90, 12), (60, 8))


class AdviceLine(Protocol):
    """One line of a recommended set-up: which part, what to fit or set, why, how sure, and who says so."""

    @property
    def line(self) -> str: ...
    @property
    def text(self) -> str: ...
    @property
    def reason(self) -> str: ...
    @property
    def grade(self) -> str: ...
    @property
    def source(self) -> str: ...


class Advice(Protocol):
    """A recommended set-up, line by line."""

    @property
    def lines(self) -> Sequence[AdviceLine]: ...


def setup_card_pdf(
    path: FeedPath,
    fit: Fit,
    recommended: Advice | None = None,
    budget: ForceBudget | None = None,
    paper: str = "a4",
    inches: bool = False,
    url: str = "",
) -> bytes:
    """Print the set-up card of a path: what to put right, how to set up, the line with its forces and limits.

    Parameters
    ----------
    path : FeedPath
        The path.
    fit : Fit
        How its parts suit its wire.
    recommended : Recommended or None
        The recommended set-up, line by line; None leaves it out.
    budget : ForceBudget or None
        Forces [N]; None leaves them out of the line.
    paper : str
        "a4" or "letter".
    inches : bool
        Inches and pounds-force.
    url : str
        Address of the rig's page for the QR label; "" prints none.

    Returns
    -------
    bytes
        PDF/UA-1, one page, the same bytes for the same input.

    Raises
    ------
    ValueError
        Another paper, or an address too long for a QR label.

    Source: design (docs/explanation/the-line.md).

    >>> setup_card_pdf(FeedPath(), Fit((), (), (), ()))[:5]
    b'%PDF-'
    """
    drawn = {
        "line": line_svg(path, budget, None, inches=inches, font_family=CARD_FONT),
        "line-says": description(scene(path, budget, None, inches)),
        "label": qr_svg(url) if url else "",
        "url": url,
    }
    for longest, most in TIGHTER[:-1]:
        try:
            return print_paper(
                "setup", {**_told(path, fit, recommended, budget, inches, longest, most), **drawn}, paper
            )
        except TooLongError:
            continue
    told = _told(path, fit, recommended, budget, inches, *TIGHTER[-1])
    return print_paper("setup", {**told, **drawn, "may-flow": True}, paper)


def _told(
    path: FeedPath,
    fit: Fit,
    recommended: Advice | None,
    budget: ForceBudget | None,
    inches: bool,
    longest: int,
    most: int,
) -> dict[str, Any]:
    def brief(text: str) -> str:
        return shortened(clean(text), longest)

    lines = tuple(recommended.lines) if recommended else ()
    keys = [*fit.sources, *(line.source for line in lines), *(budget.sources if budget else ())]
    return {
        "heading": f"Set-up: {shortened(clean(path.name), 50)}",
        "mismatches": [
            [brief(item.what), brief(item.fix), brief(f"{item.reason[:1].upper()}{item.reason[1:]} ({item.grade})")]
            for item in fit.mismatches[:most]
        ],
        "advice": [[brief(line.line), brief(line.text), brief(f"{line.reason} ({line.grade})")] for line in lines],
        "fitting": [brief(text) for text in fit.fitting[:most]],
        "not-judged": [brief(text) for text in fit.not_judged[:most]],
        "sources": list(citations(keys)),
    }
