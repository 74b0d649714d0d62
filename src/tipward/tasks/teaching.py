"""Lessons taken into use, taken back, written to a file for other shops, read from one."""

import json
from dataclasses import replace
from hashlib import sha256
from pathlib import Path
from typing import Any

from tipward.diagnosis.counting import wire_classes
from tipward.faults import Catalogue, load_catalogue
from tipward.foundation import ConflictError, InputError, NotKnownError, Problem
from tipward.model import Counts, Lesson, Tally, read_noun, to_data
from tipward.records import list_lessons, reverse_lesson, save_lesson
from tipward.tasks.learning import learn
from tipward.tasks.lessons import COUNTS, OWN, lessons_in_use
from tipward.tasks.shop import Shop

FORMAT = "tipward counts 1"
GIVE = "give a file that tipward learn --export wrote"
LARGEST_FILE = 20_000_000
SLACK = 1e-6  # sums are rounded


def apply_lessons(shop: Shop, counts: Counts | None = None) -> Lesson:
    """Take the counts of this shop's own closed cases into use, in place of those in use before.

    Parameters
    ----------
    shop : Shop
        The shop.
    counts : Counts, optional
        As ``learn`` gave them; counted now where left out.

    Returns
    -------
    Lesson
        As kept, or the one in use where it says the same; taking it back brings the one before it into use again.

    Raises
    ------
    InputError
        No closed case to learn from.
    RecordError
        The casebook cannot be read or written.

    Source: design (docs/decisions/0013).

    >>> import tempfile
    >>> from tipward.tasks.shop import open_shop
    >>> apply_lessons(open_shop(tempfile.mkdtemp() + "/book.db"))
    Traceback (most recent call last):
    ...
    tipward.foundation.errors.InputError: learn: 1 problem
      - cases: there is no closed case to learn from; close a case first
    """
    counts = learn(shop).counts if counts is None else counts
    if not counts.cases:
        problem = Problem("cases", "there is no closed case to learn from", "close a case first")
        raise InputError("learn", [problem])
    return _keep(shop, OWN, counts)


def reverse_lessons(shop: Shop, number: int, why: str = "") -> Lesson:
    """Take a lesson back: the catalogue is as it would be without it.

    Parameters
    ----------
    shop : Shop
        The shop.
    number : int
        Number of the lesson.
    why : str
        Reason in words.

    Returns
    -------
    Lesson
        The one taken back.

    Raises
    ------
    NotKnownError
        No such lesson.
    ConflictError
        It was taken back before.

    Source: design (docs/decisions/0013).

    >>> import tempfile
    >>> from tipward.tasks.shop import open_shop
    >>> reverse_lessons(open_shop(tempfile.mkdtemp() + "/book.db"), 1)
    Traceback (most recent call last):
    ...
    tipward.foundation.errors.NotKnownError: no lesson 1; there are none
    """
    known = [lesson.id for lesson in list_lessons(shop.book, COUNTS)]
    if number not in {lesson.id for lesson in list_lessons(shop.book, COUNTS, counting_only=False)}:
        there = f"there are {', '.join(map(str, known))}" if known else "there are none"
        raise NotKnownError(f"no lesson {number}; {there}")
    lesson = reverse_lesson(shop.book, number, why)
    shop.look_again()
    return lesson


def export_counts(counts: Counts) -> str:
    """Write counts for another shop: numbers and the ids of the shipped catalogue, nothing else.

    Parameters
    ----------
    counts : Counts
        Of the shop's own cases. What was imported stays out, or it would be counted twice where files go round.

    Returns
    -------
    str
        JSON. The shop's own faults and checks are left out, since their names are the shop's own words.

    Raises
    ------
    Nothing.

    Source: design (docs/decisions/0013).

    >>> export_counts(Counts(3, (Tally("odds", "our-own-fault", 1.0, 0.5, 3.0),))).count("our-own-fault")
    0
    """
    shipped = load_catalogue()
    tallies = tuple(item for item in counts.tallies if _is_known(shipped, item))
    data = {"format": FORMAT, **to_data(replace(counts, tallies=tallies))}
    rows = ",\n  ".join(json.dumps(row) for row in data.pop("tallies"))
    head = json.dumps(data)[:-1]
    return f'{head}, "tallies": [\n  {rows}\n]}}\n'


def import_counts(shop: Shop, file: Path) -> Lesson:
    """Take the counts of another shop into use beside one's own: the counts add up.

    Parameters
    ----------
    shop : Shop
        The shop.
    file : Path
        As ``export_counts`` wrote it.

    Returns
    -------
    Lesson
        As kept.

    Raises
    ------
    InputError
        Every field that does not fit.
    ConflictError
        The same counts are in use already.

    Source: design (docs/decisions/0013).

    >>> import tempfile
    >>> from tipward.tasks.shop import open_shop
    >>> file = Path(tempfile.mkdtemp()) / "counts.json"
    >>> _ = file.write_text(export_counts(Counts(3, (Tally("odds", "liner-dirty", 1.0, 0.5, 3.0),))))
    >>> import_counts(open_shop(tempfile.mkdtemp() + "/book.db"), file).payload["cases"]
    3
    """
    return take_counts(shop, _json(file), str(file))


def take_counts(shop: Shop, data: Any, name: str = "counts") -> Lesson:
    """Take counts of another shop, as plain data, into use beside one's own.

    Parameters
    ----------
    shop : Shop
        The shop.
    data : object
        What the JSON of ``export_counts`` holds, or its text.
    name : str
        What error messages call it.

    Returns
    -------
    Lesson
        As kept.

    Raises
    ------
    InputError
        Every field that does not fit.
    ConflictError
        The same counts are in use already.

    Source: design (docs/decisions/0013).

    >>> import tempfile
    >>> from tipward.tasks.shop import open_shop
    >>> take_counts(open_shop(tempfile.mkdtemp() + "/book.db"), 3)
    Traceback (most recent call last):
    ...
    tipward.foundation.errors.InputError: counts: 1 problem
      - format: is not 'tipward counts 1'; give a file that tipward learn --export wrote
    """
    counts = check_counts(shop.plain, _plain(data, name) if isinstance(data, str) else data, name)
    return _keep(shop, f"import-{_digest(counts)}", counts)


def read_counts(catalogue: Catalogue, file: Path) -> Counts:
    """Read counts from a file and hold every field against the catalogue."""
    return check_counts(catalogue, _json(file), str(file))


def check_counts(catalogue: Catalogue, data: Any, name: str) -> Counts:
    """Read counts from plain data and hold every field against the catalogue."""
    if not isinstance(data, dict) or data.get("format") != FORMAT:
        raise InputError(name, [Problem("format", f"is not {FORMAT!r}", GIVE)])
    counts = read_noun(Counts, {key: value for key, value in data.items() if key != "format"}, name)
    problems = [] if counts.cases else [Problem("cases", "is 0: nothing is learned from it", GIVE)]
    problems += [
        problem for number, item in enumerate(counts.tallies) for problem in _wrong(catalogue, counts, number, item)
    ]
    if problems:
        raise InputError(name, problems)
    return counts


def _json(file: Path) -> Any:
    try:
        text = file.read_bytes()[: LARGEST_FILE + 1]
    except OSError as problem:
        problems = [Problem("file", f"cannot be read ({problem.strerror})", "check its name")]
        raise InputError(str(file), problems) from None
    if len(text) > LARGEST_FILE:
        raise InputError(str(file), [Problem("file", "is too large for counts", "check which file it is")])
    return _plain(text, str(file))


def _plain(text: str | bytes, name: str) -> Any:
    try:
        return json.loads(text.decode("utf-8") if isinstance(text, bytes) else text)
    except (ValueError, RecursionError):
        raise InputError(name, [Problem("file", "is not JSON", GIVE)]) from None


def _wrong(catalogue: Catalogue, counts: Counts, number: int, item: Tally) -> list[Problem]:
    where, found = f"tallies.{number}", []
    if not _is_known(catalogue, item):
        kind = "fault" if item.kind == "odds" else "check"
        found.append(Problem(f"{where}.key", f"{item.key!r} is no {kind} of this catalogue", "see docs/catalogue.md"))
    for name in ("found", "expected"):
        if getattr(item, name) > item.of + SLACK:
            found.append(Problem(f"{where}.{name}", f"is more than of, {item.of:g}", "count again"))
    if item.kind == "odds" and item.of > counts.cases + SLACK:
        found.append(Problem(f"{where}.of", f"is more than cases, {counts.cases}", "count again"))
    if item.kind != "odds" and (item.machine or item.wire):
        found.append(Problem(f"{where}.machine", "and wire are for odds only", "leave them empty"))
    if item.wire and item.wire not in wire_classes():
        found.append(Problem(f"{where}.wire", f"{item.wire!r} is no wire class", "leave it empty where unknown"))
    return found + _twice(counts, number, item)


def _twice(counts: Counts, number: int, item: Tally) -> list[Problem]:
    same = (item.kind, item.key, item.machine, item.wire)
    before = counts.tallies[number - 1] if number else None
    if before is not None and (before.kind, before.key, before.machine, before.wire) >= same:
        return [Problem(f"tallies.{number}", "stands twice or out of order", "sort by kind, key, machine, wire")]
    return []


def _is_known(catalogue: Catalogue, item: Tally) -> bool:
    return item.key in (catalogue.faults if item.kind == "odds" else catalogue.checks)


def _digest(counts: Counts) -> str:
    return sha256(json.dumps(to_data(counts), sort_keys=True).encode()).hexdigest()[:12]


def _keep(shop: Shop, key: str, counts: Counts) -> Lesson:
    for lesson in lessons_in_use(shop.book):
        if lesson.key == key and _digest(read_noun(Counts, dict(lesson.payload), key)) == _digest(counts):
            if key == OWN:
                return lesson
            raise ConflictError(f"these counts are in use already, as lesson {lesson.id}; nothing is left to do")
    lesson = save_lesson(shop.book, COUNTS, key, to_data(counts))
    shop.look_again()
    return lesson
