"""Paper by typst: templates of this folder, data as JSON, so that nobody's text is ever markup."""

import json
import re
from pathlib import Path
from typing import Any, Literal

from tipward.reports.content import LOCAL_CODES

TEMPLATES = Path(__file__).parent / "templates"
Paper = Literal["a4", "letter"]
_PAPERS = {"a4": "a4", "letter": "us-letter"}
CARD_FONT = "Libertinus Serif"  # embedded in typst: the same page on every machine
_UNIT = re.compile(r"(?<=\d) (?=(?:N|mm|m|lbf|in|ft|min)\b|%)")  # a number and its unit stay on one line
TOO_LONG = "does not fit on one page"


class TooLongError(Exception):
    """The text of a card does not fit on its page; shorten it and try again."""


def print_paper(template: str, data: dict[str, Any], paper: str) -> bytes:
    """Set one document as PDF/UA-1, the same bytes for the same data."""
    import typst  # 40 MB of compiler: only when something is printed

    if paper not in _PAPERS:
        raise ValueError(f"paper {paper!r} is not known; choose one of {', '.join(_PAPERS)}")
    told = {"paper": _PAPERS[paper], "local-codes": LOCAL_CODES, "foot": "Tipward", **data}
    try:
        printed: bytes = typst.compile(
            TEMPLATES / f"{template}.typ",
            root=TEMPLATES,
            ignore_system_fonts=True,
            format="pdf",
            pdf_standards=["ua-1"],
            sys_inputs={"data": _UNIT.sub("\u00a0", json.dumps(told, ensure_ascii=False, sort_keys=True))},
        )
    except typst.TypstError as problem:
        if TOO_LONG in str(problem):
            raise TooLongError(template) from None
        raise
    return printed
