"""The casebook: one answer kept among many cases, on SQLite and PostgreSQL; kills; writers at once."""

import random
import signal
import sqlite3
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
from sqlalchemy import insert

from tipward.model import Case, FeedPath, Finding, Opened, TorchLead, Wire, entry_to_data
from tipward.records import Casebook, open_casebook
from tipward.records.tables import cases, pages
from tipward.records.writing import ID_LENGTH, ID_LETTERS

TESTS = Path(__file__).parents[1] / "tests" / "records"
sys.path.insert(0, str(TESTS))
from own_server import OwnServer, missing  # noqa: E402 (the tests' own server and writing process serve here too)

NAME = "records"
PAGES_PER_CASE = 8
AT_ONCE = 4
LONGEST_LIFE_S = 0.25
START = datetime(2026, 1, 1, tzinfo=UTC)
SEED = 5


def run(quick: bool) -> tuple[dict[str, float], list[str]]:
    """Measure on a SQLite file and, where a server can be started, on PostgreSQL (both waiting for the disk)."""
    how_many, answers, kills, each = (500, 150, 8, 25) if quick else (20_000, 2_000, 200, 250)
    figures: dict[str, float] = {"cases": how_many}
    notes = [f"each case has {PAGES_PER_CASE} pages before; {answers} answers to random cases, databases in turn"]
    with _places(notes) as places, ExitStack() as stack:
        books = {name: stack.enter_context(open_casebook(place)) for name, place in places.items()}
        for book in books.values():
            _fill(book, how_many)
        _answers(books, how_many, answers, figures, notes)
        rounds = [_kill(place, kills // len(places)) for place in places.values()]
        figures["kills"] = sum(killed for killed, _, _ in rounds)
        figures["acknowledged_lost"] = sum(lost for _, _, lost in rounds)
        notes.append(f"{sum(said for _, said, _ in rounds)} pages were acknowledged before the kills")
        figures["writers_errors"] = sum(_writers(place, each) for place in places.values())
        notes.append(f"writers: {AT_ONCE} processes, {each} pages each, one case, on each of {', '.join(places)}")
    return figures, notes


@contextmanager
def _places(notes: list[str]) -> Iterator[dict[str, str]]:
    with tempfile.TemporaryDirectory() as folder, ExitStack() as stack:
        places = {"sqlite": str(Path(folder) / "casebook.sqlite")}
        why = missing()
        if why:
            notes.append(why)
        else:
            server = stack.enter_context(OwnServer(durable=True))
            places["postgres"] = server.url(server.new_database())
        yield places


def _id(number: int) -> str:
    letters = ""
    for _ in range(ID_LENGTH):
        number, rest = divmod(number, len(ID_LETTERS))
        letters = ID_LETTERS[rest] + letters
    return f"{letters[:4]}-{letters[4:]}"


def _fill(book: Casebook, how_many: int) -> None:
    """Past cases, written in bulk: one at a time would take minutes and measure the disk only."""
    path = FeedPath(wire=Wire(wire_class="er70s-6", diameter_m=0.0009), torch_lead=TorchLead(length_m=4.0, turns=1))
    first = entry_to_data(Opened(path, ("burns-back",), rig="bay-1"))
    later = entry_to_data(Finding("pull-through-torch", readings=(12.0, 12.5, 13.0)))
    for begin in range(0, how_many, 1000):
        numbers = range(begin, min(begin + 1000, how_many))
        with book.store.writing() as connection:
            connection.execute(insert(cases), [_row(number) for number in numbers])
            connection.execute(
                insert(pages),
                [
                    {
                        "case_id": _id(number),
                        "sequence": sequence,
                        "key": str(sequence),
                        "at": START + timedelta(minutes=number),
                        "author": "anna",
                        "entry": first if sequence == 1 else later,
                    }
                    for number in numbers
                    for sequence in range(1, PAGES_PER_CASE + 1)
                ],
            )


def _row(number: int) -> dict[str, object]:
    return {
        "id": _id(number),
        "opening_key": f"key {number}",
        "opened_at": START + timedelta(minutes=number),
        "rig": f"bay-{number % 40}",
        "customer": f"customer {number % 300}",
        "complaints": ["burns-back"],
        "closed": "proved" if number % 10 else "",
        "last_sequence": PAGES_PER_CASE,
    }


def _answers(
    books: dict[str, Casebook], how_many: int, answers: int, figures: dict[str, float], notes: list[str]
) -> None:
    """Time of one kept answer, of reading a case and of the list; a bare insert and commit in turn beside it."""
    chance = random.Random(SEED)
    with tempfile.TemporaryDirectory() as folder:
        bare = _bare_file(Path(folder) / "bare.sqlite")
        times: dict[str, list[float]] = {"bare": []}
        for number in range(answers):
            case_id = _id(chance.randrange(how_many))
            times["bare"].append(_ms(lambda: _bare_commit(bare, number)))
            for name, book in books.items():
                times.setdefault(f"answer {name}", []).append(_ms(lambda: _answer(book, case_id, number)))
                times.setdefault(f"read {name}", []).append(_ms(lambda: book.case(case_id)))
                if number % 10 == 0:
                    times.setdefault(f"list {name}", []).append(_ms(lambda: book.cases(open_only=True)))
        bare.close()
    for name in books:
        figures[f"case_answer_ms_p95_{name}"] = _p95(times[f"answer {name}"])
        figures[f"case_answer_ms_median_{name}"] = float(np.median(times[f"answer {name}"]))
        figures[f"case_read_ms_p95_{name}"] = _p95(times[f"read {name}"])
        figures[f"case_list_ms_p95_{name}"] = _p95(times[f"list {name}"])
        error = _p95_standard_error(times[f"answer {name}"])
        notes.append(f"case_answer_ms_p95_{name}: n = {answers}, standard error {error:.2g} ms")
    ratios = np.array(times["answer sqlite"]) / np.array(times["bare"])
    low, middle, high = np.quantile(ratios, [0.25, 0.5, 0.75])
    figures["answer_ratio_to_bare_commit_sqlite"] = float(middle)
    notes.append(f"a bare insert and commit on this disk takes {np.median(times['bare']):.2g} ms (median)")
    notes.append(f"answer_ratio_to_bare_commit_sqlite: median of pairs, quartiles {low:.2f} to {high:.2f}")


def _answer(book: Casebook, case_id: str, number: int) -> Case:
    return book.append(case_id, Finding("look-hub", "loose"), f"answer {number}", "anna")


def _bare_file(file: Path) -> sqlite3.Connection:
    bare = sqlite3.connect(file, isolation_level=None)
    bare.execute("PRAGMA journal_mode=WAL")
    bare.execute("PRAGMA synchronous=FULL")
    bare.execute("CREATE TABLE pages (number INTEGER PRIMARY KEY, entry TEXT)")
    return bare


def _bare_commit(bare: sqlite3.Connection, number: int) -> None:
    bare.execute("BEGIN IMMEDIATE")
    bare.execute("INSERT INTO pages VALUES (?, ?)", (number, "x" * 150))
    bare.execute("COMMIT")


def _ms(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return (time.perf_counter() - start) * 1e3


def _p95(times: list[float]) -> float:
    return float(np.quantile(times, 0.95))


def _p95_standard_error(times: list[float]) -> float:
    drawn = np.random.default_rng(SEED).choice(times, (300, len(times)))
    return float(np.quantile(drawn, 0.95, axis=1).std(ddof=1))


def _child(place: str, case_id: str, prefix: str, how_many: int = 0) -> subprocess.Popen[str]:
    command = [sys.executable, str(TESTS / "writing_child.py"), place, case_id, prefix, str(how_many)]
    return subprocess.Popen(command, stdout=subprocess.PIPE, text=True)


def _said(writer: subprocess.Popen[str], kill_after_s: float | None = None) -> list[tuple[str, int]]:
    """Key and sequence number of every page that the process acknowledged, in whole lines."""
    assert writer.stdout is not None
    writer.stdout.readline()
    if kill_after_s is not None:
        time.sleep(kill_after_s)
        writer.kill()
    lines = [line.split() for line in writer.stdout.read().splitlines(keepends=True) if line.endswith("\n")]
    writer.stdout.close()
    writer.wait()
    return [(key, int(sequence)) for sequence, key in lines]


def _kill(place: str, wanted: int) -> tuple[int, int, int]:
    """Kill writers at random moments: how many kills, pages acknowledged, and of these lost."""
    chance = random.Random(SEED)
    killed, said = 0, []
    with open_casebook(place) as book:
        case_id = ""
        while killed < wanted:
            if killed % (AT_ONCE * 5) == 0:  # a fresh case now and then, so that none grows past what people write
                case_id = book.new_case(Opened(FeedPath(), ()), f"kill {killed}").id
            writers = [_child(place, case_id, f"{killed}-{number}") for number in range(AT_ONCE)]
            for writer in writers:
                said += [(case_id, *page) for page in _said(writer, chance.uniform(0, LONGEST_LIFE_S))]
            killed += sum(writer.returncode == -signal.SIGKILL for writer in writers)
        kept = {
            (case_id, page.key, page.sequence)
            for case_id in {one[0] for one in said}
            for page in book.case(case_id).pages
        }
    return killed, len(said), sum((case_id, key, sequence) not in kept for case_id, key, sequence in said)


def _writers(place: str, each: int) -> int:
    """Processes on one case at once: processes that failed, pages missing, numbers doubled or left out."""
    with open_casebook(place) as book:
        case_id = book.new_case(Opened(FeedPath(), ()), "writers").id
        writers = [_child(place, case_id, str(number), each) for number in range(AT_ONCE)]
        said = [page for writer in writers for page in _said(writer)]
        kept = book.case(case_id).pages
    failed = sum(writer.returncode != 0 for writer in writers)
    missing_pages = len({(key, sequence) for key, sequence in said} - {(page.key, page.sequence) for page in kept})
    unsaid = abs(AT_ONCE * each - len(said))
    gaps = len(set(range(1, AT_ONCE * each + 2)) ^ {page.sequence for page in kept})
    return failed + missing_pages + unsaid + gaps
