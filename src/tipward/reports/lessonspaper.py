"""The lessons sheet: what the closed cases of a shop say, how well the odds held, and what that would change."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from tipward.foundation import show_share
from tipward.model import STATIONS, Calibration, ChangedNumber, Learning
from tipward.reports.drawing import clean
from tipward.reports.paper import CARD_FONT, print_paper
from tipward.reports.reliability import reliability_in_words, reliability_svg

MOST_CHANGES = 30
KINDS = {"odds": "how common", "shows": "shows it", "false": "shows without cause"}


def lessons_sheet_pdf(learning: Learning, changes: Sequence[ChangedNumber], paper: str = "a4") -> bytes:
    """Print what the closed cases say: endings, causes, reliability table and scores, the largest changes, lessons in use.

    Parameters
    ----------
    learning : Learning
        What the closed cases teach.
    changes : sequence of ChangedNumber
        The largest changes first; the first 30 are printed.
    paper : str
        "a4" or "letter".

    Returns
    -------
    bytes
        PDF/UA-1, the same bytes for the same input.

    Raises
    ------
    ValueError
        Another paper.

    Source: design (docs/decisions/0013); Brier 1950, Good 1952, Murphy 1973 for the scores.

    >>> from tipward.model import Counts
    >>> lessons_sheet_pdf(Learning((), (), None, Counts(), (), (), (), ()), ())[:5]
    b'%PDF-'
    """
    told = {
        "heading": "What the closed cases say",
        "facts": [[how, str(count)] for how, count in learning.endings],
        "causes": [
            [clean(item.name), STATIONS.get(item.station, item.station), item.cases] for item in learning.causes
        ],
        "held": None if learning.calibration is None else _held(learning.calibration),
        "changes": [_change(item) for item in changes[:MOST_CHANGES]],
        "changes-left": len(learning.changes) - len(changes[:MOST_CHANGES]),
        "in-use": [_lesson(item.id, f"{item.at:%Y-%m-%d}", item.key, item.payload) for item in learning.in_use],
        "notes": list(_notes(learning)),
    }
    return print_paper("lessons", told, paper)


def _held(held: Calibration) -> dict[str, Any]:
    rows = [
        [f"{100 * row.low:.0f} to {100 * row.high:.0f} %", f"{row.said * row.of:.1f}", f"{row.found:.1f}", f"{row.of}"]
        for row in held.rows
    ]
    scores = [
        ["Brier score", f"{held.brier:.4f} (mean squared error; 0 is perfect)"],
        ["Log score", f"{held.log_score_nat:.4f} nat (mean surprise; 0 is perfect)"],
        ["Calibration error", f"{held.error:.3f}; between 5 and 95 % {held.error_inside:.3f}"],
        ["In doubt to the end", f"{100 * held.unsettled:.0f} % of those between 5 and 95 %"],
    ]
    return {
        "rows": rows,
        "scores": scores,
        "of": f"{held.stated} suspicions stated in {held.cases} proved {'case' if held.cases == 1 else 'cases'}",
        "picture": reliability_svg(held.rows, CARD_FONT),
        "says": reliability_in_words(held.rows),
    }


def _change(item: ChangedNumber) -> list[str]:
    where = f", {item.where}" if item.where else ""
    return [
        clean(f"{item.name}{where}"),
        KINDS[item.kind],
        show_share(item.before),
        show_share(item.after),
        f"{show_share(item.low)} to {show_share(item.high)}",
        f"{item.found:.1f} ({item.expected:.1f})",
    ]


def _lesson(number: int, since: str, key: str, payload: Mapping[str, Any]) -> list[str]:
    whose = "this shop" if key == "own" else "another shop"
    return [f"Lesson {number}", f"{payload['cases']} closed cases of {whose}, since {since}"]


def _notes(learning: Learning) -> Iterator[str]:
    for number in learning.stale:
        yield f"Lesson {number} was counted against another catalogue: apply it, or import it anew."
    for case in learning.left_out:
        yield clean(f"Case {case} names what this catalogue does not hold.")
    if learning.uncounted:
        yield f"{learning.uncounted} closed cases are still to be counted."
