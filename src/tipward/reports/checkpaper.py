"""The check sheet: the next checks of one path on paper, for somebody without the tool."""

from typing import Any

from tipward.foundation import show_quantity
from tipward.model import CardWords, FeedPath, NextCheck
from tipward.reports.drawing import clean
from tipward.reports.line import line_svg
from tipward.reports.paper import CARD_FONT, print_paper
from tipward.reports.scene import description, scene, shortened

INTRO = (
    "Please do these checks in this order, tick what you see, and send the sheet back. "
    "Change nothing else meanwhile: each answer tells where to look next."
)


def check_sheet_pdf(
    path: FeedPath,
    checks: tuple[NextCheck, ...],
    words: CardWords | None = None,
    paper: str = "a4",
    inches: bool = False,
) -> bytes:
    """Print the checks of one path with boxes to tick, without odds, which would lead the eye.

    Parameters
    ----------
    path : FeedPath
        The path, drawn to scale on top.
    checks : tuple of NextCheck
        In the order in which they are to be done.
    words : CardWords or None
        Texts of the cautions by id; a caution that is not in it is printed as it stands.
    paper : str
        "a4" or "letter".
    inches : bool
        Inches and pounds-force.

    Returns
    -------
    bytes
        PDF/UA-1, the same bytes for the same input.

    Raises
    ------
    ValueError
        Another paper, or no checks.

    Source: design (docs/explanation/the-line.md).

    >>> check = NextCheck("a", "Look", "liner", "Look at it.", "", 1.0, 0.1, (), (), ())
    >>> check_sheet_pdf(FeedPath(), (check,))[:5]
    b'%PDF-'
    """
    if not checks:
        raise ValueError("a check sheet needs at least one check; ask for the next checks of the case first")
    told = {
        "heading": f"Check sheet: {shortened(clean(path.name), 50)}",
        "facts": [],
        "intro": INTRO,
        "line": line_svg(path, None, None, inches=inches, font_family=CARD_FONT),
        "line-says": description(scene(path, None, None, inches)),
        "checks": [_check(number, item, words or CardWords(), inches) for number, item in enumerate(checks, 1)],
    }
    return print_paper("checks", told, paper)


def _check(number: int, item: NextCheck, words: CardWords, inches: bool) -> dict[str, Any]:
    shown = show_quantity(1.0, item.unit, inches).partition(" ")[2] if item.unit not in {"", "1"} else ""
    return {
        "number": number,
        "name": clean(item.name),
        "minutes": f"about {item.minutes:.0f} min" if item.minutes >= 1 else "under a minute",
        "instructions": clean(item.instructions),
        "needs": clean(", ".join(item.tools)),
        "first": clean(", ".join(text.replace("-", " ") for text in item.set_up)),
        "cautions": [clean(words.cautions.get(key, key)) for key in item.cautions],
        "unit": shown or ("number" if item.reading else ""),
        "outcomes": [clean(outcome.text) for outcome in item.outcomes],
    }
