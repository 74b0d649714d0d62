"""What the closed cases of a shop say: which causes were behind them, how they ended, how well the odds held."""

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import partial
from typing import Any
from weakref import WeakKeyDictionary

from tipward import reports
from tipward.diagnosis import (
    calibrated,
    catalogue_mark,
    changed_numbers,
    count_case,
    merged,
    scored,
    stated,
)
from tipward.diagnosis.calibration import Scored
from tipward.faults import Catalogue
from tipward.foundation import NotKnownError
from tipward.model import (
    CaseRow,
    CauseCount,
    ChangedNumber,
    Counts,
    Learned,
    Learning,
    Lesson,
    Page,
    Tally,
    read_noun,
    to_data,
)
from tipward.records import list_lessons, save_lesson
from tipward.tasks.lessons import COUNTS, OWN, counts_of, in_use
from tipward.tasks.shop import Shop

NEWEST = 200  # closed cases that the page looks at
MOST_CASES = 100_000
WORTH_SHOWING = 0.05  # relative change
COUNTED = "case counted"
LIKELIER_THAN_NOT = 0.5
Looked = tuple[tuple[str, ...], Scored]
# A closed case never changes, so it is judged once for each shop.
_JUDGED: WeakKeyDictionary[Shop, dict[tuple[str, int], Looked]] = WeakKeyDictionary()


def what_we_learned(shop: Shop) -> Learned:
    """Count causes and endings of the closed cases, and compare what was said before each repair with what was there.

    A cause counts where a case was proved and its pages leave it likelier than not that the fault was there when the
    case began.

    Parameters
    ----------
    shop : Shop
        The shop.

    Returns
    -------
    Learned
        Of the newest 200 closed cases; causes by how often.

    Raises
    ------
    RecordError
        The casebook cannot be read.

    Source: design (docs/decisions/0013).

    >>> import tempfile
    >>> from tipward.tasks.shop import open_shop
    >>> what_we_learned(open_shop(tempfile.mkdtemp() + "/book.db")).causes
    ()
    """
    rows = [row for row in shop.book.cases() if row.closed][:NEWEST]
    lessons = list_lessons(shop.book, COUNTS, counting_only=False)
    known, looked = _JUDGED.setdefault(shop, {}), []
    for row in rows:
        if row.closed == "proved":
            key = (row.id, row.pages)
            if key not in known:
                known[key] = _look(shop, row, lessons)
            looked.append(known[key])
    held = calibrated(sums for _, sums in looked)
    causes = _causes(shop, [fault for found, _ in looked for fault in found])
    return Learned(_endings(rows), causes, held.rows if held else ())


def _look(shop: Shop, row: CaseRow, lessons: Sequence[Lesson]) -> Looked:
    """The causes of a proved case, and how well its odds before the first repair held."""
    case, at = shop.book.case(row.id), partial(_catalogue_at, shop, lessons)
    try:
        found = _likely(count_case(shop.plain, case))
        return found, scored(*stated(case, at(case.pages[-1]), at, first_repair_only=True))
    except NotKnownError:  # of a catalogue file that is no longer there
        return (), scored([], [])


def learn(shop: Shop, tell: Callable[[int, int], None] = lambda done, of: None, most_new: int = MOST_CASES) -> Learning:
    """Count every closed case of the shop, and say what that would change in its catalogue; nothing is changed.

    A case is counted once; its counts are kept in the casebook for the next time.

    Parameters
    ----------
    shop : Shop
        The shop.
    tell : callable
        Told how many cases are counted, of how many: the first time takes a second or two a case.
    most_new : int
        Count no more cases than this that were not counted before; the others are named as ``uncounted``.

    Returns
    -------
    Learning
        Endings, causes, calibration of every suspicion stated in proved cases, counts, changes, lessons in use, and how
        many closed cases are still uncounted.

    Raises
    ------
    RecordError
        The casebook cannot be read or written.

    Source: design (docs/decisions/0013).

    >>> import tempfile
    >>> from tipward.tasks.shop import open_shop
    >>> learn(open_shop(tempfile.mkdtemp() + "/book.db")).counts.cases
    0
    """
    rows = [row for row in shop.book.cases(limit=MOST_CASES) if row.closed]
    mark, told = catalogue_mark(shop.plain), _Counted(shop)
    cases: list[tuple[CaseRow, tuple[Tally, ...], Scored]] = []
    left_out, uncounted = [], 0
    for number, row in enumerate(rows):
        if told.new >= most_new and not told.kept_for(row, mark):
            uncounted += 1
            continue
        try:
            cases.append((row, *told.of(row, mark)))
        except NotKnownError:
            left_out.append(row.id)
        tell(number + 1, len(rows))
    counts = merged([Counts(1, tallies, (mark,)) for _, tallies, _ in cases if tallies])
    held = calibrated(sums for row, _, sums in cases if row.closed == "proved")
    found = [fault for row, tallies, _ in cases if row.closed == "proved" for fault in _likely(tallies)]
    live = in_use(told.lessons)
    others = counts_of([lesson for lesson in live if lesson.key != OWN])
    changes = changed_numbers(shop.plain, merged([counts, others]))
    stale = tuple(lesson.id for lesson in live if mark not in lesson.payload.get("catalogues", ()))
    return Learning(
        _endings(rows), _causes(shop, found), held, counts, changes, live, tuple(left_out), stale, uncounted
    )


def largest_changes(changes: Sequence[ChangedNumber]) -> list[ChangedNumber]:
    """Sort what lessons change by how much, and leave out what hardly moves.

    Parameters
    ----------
    changes : sequence of ChangedNumber
        As ``learn`` tells them.

    Returns
    -------
    list of ChangedNumber
        Those that change by more than 5 % of what they were, largest first.

    Raises
    ------
    Nothing.

    Source: design (docs/decisions/0013).

    >>> largest_changes([])
    []
    """

    def size(item: ChangedNumber) -> float:
        return abs(item.after / item.before - 1)

    return sorted((item for item in changes if size(item) > WORTH_SHOWING), key=size, reverse=True)


def lessons_pdf(learning: Learning, paper: str = "a4") -> bytes:
    """What the closed cases say as PDF: causes, reliability table and scores, the largest changes, lessons in use.

    Parameters
    ----------
    learning : Learning
        As ``learn`` tells it.
    paper : str
        "a4" or "letter".

    Returns
    -------
    bytes
        The PDF.

    Raises
    ------
    ValueError
        Another paper.

    Source: design (docs/decisions/0013).

    >>> import tempfile
    >>> from tipward.tasks.shop import open_shop
    >>> lessons_pdf(learn(open_shop(tempfile.mkdtemp() + "/book.db")))[:5]
    b'%PDF-'
    """
    return reports.lessons_sheet_pdf(learning, largest_changes(learning.changes), paper)


def reliability_picture(learning: Learning) -> str:
    """How well the odds held, as a picture: stated chances against how often it was so.

    Parameters
    ----------
    learning : Learning
        As ``learn`` tells it.

    Returns
    -------
    str
        SVG with a description; empty where no case was proved.

    Raises
    ------
    Nothing.

    Source: reliability diagram, Murphy & Winkler 1977.

    >>> import tempfile
    >>> from tipward.tasks.shop import open_shop
    >>> reliability_picture(learn(open_shop(tempfile.mkdtemp() + "/book.db")))
    ''
    """
    return reports.reliability_svg(learning.calibration.rows) if learning.calibration else ""


class _Counted:
    """Cases as counted: kept in the casebook, counted anew where case or catalogue are no longer the same."""

    def __init__(self, shop: Shop) -> None:
        self.shop = shop
        self.lessons = list_lessons(shop.book, COUNTS, counting_only=False)
        self.kept = {lesson.key: lesson.payload for lesson in list_lessons(shop.book, COUNTED)}
        self.new = 0

    def kept_for(self, row: CaseRow, mark: str) -> Mapping[str, Any] | None:
        """What was counted of a case as it is, by this catalogue; None where it is still to be counted."""
        kept = self.kept.get(row.id)
        return kept if kept is not None and (kept["pages"], kept["catalogue"]) == (row.pages, mark) else None

    def of(self, row: CaseRow, mark: str) -> tuple[tuple[Tally, ...], Scored]:
        kept = self.kept_for(row, mark)
        if kept is None:
            self.new += 1
            kept = self._count(row, mark)
            save_lesson(self.shop.book, COUNTED, row.id, kept)
        tallies = tuple(read_noun(Tally, item, row.id) for item in kept["tallies"])
        return tallies, Scored(tuple(map(tuple, kept["scored"])))

    def _count(self, row: CaseRow, mark: str) -> dict[str, Any]:
        case = self.shop.book.case(row.id)
        tallies = count_case(self.shop.plain, case)
        sums = scored([], [])
        if row.closed == "proved":
            at = partial(_catalogue_at, self.shop, self.lessons)
            sums = scored(*stated(case, at(case.pages[-1]), at))
        return {"pages": row.pages, "catalogue": mark, "tallies": to_data(tallies), "scored": to_data(sums.sums)}


def _catalogue_at(shop: Shop, lessons: Sequence[Lesson], page: Page) -> Catalogue:
    """The catalogue with which the shop judged when a page was written."""
    return shop.taught_by(in_use(lessons, page.at))


def _likely(tallies: Iterable[Tally]) -> tuple[str, ...]:
    return tuple(item.key for item in tallies if item.kind == "odds" and item.found >= LIKELIER_THAN_NOT)


def _endings(rows: Sequence[CaseRow]) -> tuple[tuple[str, int], ...]:
    return tuple(Counter(row.closed for row in rows).most_common())


def _causes(shop: Shop, found: Sequence[str]) -> tuple[CauseCount, ...]:
    named = [(shop.plain.faults[fault], count) for fault, count in Counter(found).most_common()]
    return tuple(CauseCount(fault.id, fault.name, fault.station, count) for fault, count in named)
