"""Two writers lose nothing and double nothing; a killed process loses nothing that it acknowledged."""

import random
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from pathlib import Path

from tipward.foundation import ConflictError
from tipward.model import Cannot, FeedPath, Finding, Opened
from tipward.records import Casebook, open_casebook

CHILD = Path(__file__).with_name("writing_child.py")
KILLS = 20
AT_ONCE = 4
LONGEST_LIFE_S = 0.25


def child(place: str, case_id: str, prefix: str, how_many: int = 0) -> subprocess.Popen[str]:
    command = [sys.executable, str(CHILD), place, case_id, prefix, str(how_many)]
    return subprocess.Popen(command, stdout=subprocess.PIPE, text=True)


def in_threads(work: Callable[[int], object], how_many: int) -> list[object]:
    """Run ``work`` in threads that start together; what each gave, or its exception."""
    results: list[object] = [None] * how_many
    gate = threading.Barrier(how_many)

    def one(number: int) -> None:
        gate.wait()
        try:
            results[number] = work(number)
        except Exception as problem:
            results[number] = problem

    threads = [threading.Thread(target=one, args=(number,)) for number in range(how_many)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return results


def test_two_processes_on_one_case(place: str) -> None:
    each = 60
    with open_casebook(place) as casebook:
        case = casebook.new_case(Opened(FeedPath(), ()), "first")
        writers = [child(place, case.id, prefix, each) for prefix in ("left", "right")]
        said = [line.split() for writer in writers for line in writer.communicate(timeout=60)[0].splitlines()[1:]]
        pages = casebook.case(case.id).pages
    assert [writer.returncode for writer in writers] == [0, 0]
    assert [page.sequence for page in pages] == list(range(1, 2 * each + 2))
    assert {(str(page.sequence), page.key) for page in pages[1:]} == {(sequence, key) for sequence, key in said}
    assert len(said) == 2 * each


def test_threads_on_one_case(casebook: Casebook) -> None:
    each, writers = 15, 6
    case = casebook.new_case(Opened(FeedPath(), ()), "first")

    def write(number: int) -> int:
        for tap in range(each):
            casebook.append(case.id, Cannot("look-hub"), f"{number}-{tap}")
        return each

    assert in_threads(write, writers) == [each] * writers
    pages = casebook.case(case.id).pages
    assert [page.sequence for page in pages] == list(range(1, each * writers + 2))
    assert len({page.key for page in pages}) == len(pages)


def test_the_same_tap_from_many_threads_is_one_page(casebook: Casebook) -> None:
    case = casebook.new_case(Opened(FeedPath(), ()), "first")
    results = in_threads(lambda _: casebook.append(case.id, Finding("look-hub", "loose"), "tap", after=1), 6)
    assert results == [casebook.case(case.id)] * 6
    assert len(casebook.case(case.id).pages) == 2


def test_the_same_opening_from_many_threads_is_one_case(casebook: Casebook) -> None:
    results = in_threads(lambda _: casebook.new_case(Opened(FeedPath(), ()), "tap"), 6)
    assert results == [casebook.case(casebook.cases()[0].id)] * 6
    assert len(casebook.cases()) == 1


def test_of_two_phones_that_saw_the_same_page_one_is_told(casebook: Casebook) -> None:
    case = casebook.new_case(Opened(FeedPath(), ()), "first")
    results = in_threads(lambda number: casebook.append(case.id, Cannot("look-hub"), f"phone {number}", after=1), 4)
    refused = [result for result in results if isinstance(result, ConflictError)]
    assert len(refused) == 3
    assert all(problem.since == casebook.case(case.id).pages[1:] for problem in refused)


def test_many_openings_of_a_blank_place_make_one_casebook(blank: str) -> None:
    def make(number: int) -> int:
        with open_casebook(blank) as casebook:
            casebook.new_case(Opened(FeedPath(), ()), f"key {number}")
        return number

    assert in_threads(make, 6) == list(range(6))
    with open_casebook(blank) as casebook:
        assert len(casebook.cases()) == 6


def test_many_processes_that_open_a_blank_place_make_one_casebook(blank: str) -> None:
    code = (
        "import sys; import alembic.command; from tipward.records import open_casebook\n"
        "print('ready', flush=True); sys.stdin.readline(); open_casebook(sys.argv[1]).close()"
    )
    command = [sys.executable, "-c", code, blank]
    opening = [
        subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
        for _ in range(AT_ONCE)
    ]
    for one in opening:
        assert one.stdout is not None and one.stdout.readline() == "ready\n"
    for one in opening:
        assert one.stdin is not None
        one.stdin.write("go\n")
        one.stdin.flush()
    assert [one.communicate(timeout=60)[1] for one in opening] == [""] * AT_ONCE
    with open_casebook(blank) as casebook:
        assert casebook.cases() == ()


def test_many_casebooks_are_made_at_once(tmp_path: Path) -> None:
    def make(number: int) -> int:
        with open_casebook(tmp_path / f"{number}.sqlite") as casebook:
            return len(casebook.new_case(Opened(FeedPath(), ()), "key").pages)

    assert in_threads(make, 6) == [1] * 6


def test_a_killed_process_loses_nothing_that_it_acknowledged(place: str) -> None:
    chance = random.Random(20)
    kills, acknowledged = 0, 0
    with open_casebook(place) as casebook:
        case = casebook.new_case(Opened(FeedPath(), ()), "first")
        while kills < KILLS:
            writers = [child(place, case.id, f"{kills}-{number}") for number in range(AT_ONCE)]
            said = [line for writer in writers for line in _said_until_killed(writer, chance)]
            kills += sum(writer.returncode == -signal.SIGKILL for writer in writers)
            kept = {page.key: page.sequence for page in casebook.case(case.id).pages}
            assert all(kept[key] == int(sequence) for sequence, key in said)
            acknowledged += len(said)
        pages = casebook.case(case.id).pages
    assert [page.sequence for page in pages] == list(range(1, len(pages) + 1))
    # A page may be kept whose acknowledgement was cut off, at most one per kill.
    assert acknowledged <= len(pages) - 1 <= acknowledged + kills
    assert acknowledged > KILLS


def _said_until_killed(writer: subprocess.Popen[str], chance: random.Random) -> list[list[str]]:
    assert writer.stdout is not None
    assert writer.stdout.readline() == "ready\n"
    time.sleep(chance.uniform(0, LONGEST_LIFE_S))
    writer.kill()
    said = writer.stdout.read()  # not communicate(): it would pass over what readline() has read ahead
    writer.stdout.close()
    writer.wait(timeout=60)
    return [line.split() for line in said.splitlines(keepends=True) if line.endswith("\n")]


def test_a_file_that_saw_kills_is_sound(tmp_path: Path) -> None:
    place = str(tmp_path / "casebook.sqlite")
    with open_casebook(place) as casebook:
        case = casebook.new_case(Opened(FeedPath(), ()), "first")
        for number in range(3):
            _said_until_killed(child(place, case.id, f"round {number}"), random.Random(number))
        with casebook.store.reading() as connection:
            assert connection.exec_driver_sql("PRAGMA integrity_check").scalar() == "ok"


def test_a_page_sent_again_after_a_kill_is_there_once(place: str) -> None:
    key = "0-0"
    with open_casebook(place) as casebook:
        case = casebook.new_case(Opened(FeedPath(), ()), "first")
        assert _said_until_killed(child(place, case.id, "0"), random.Random(1)) is not None
        again = casebook.append(case.id, Finding("look-hub", "loose", note=key), key)
        assert [page.key for page in again.pages].count(key) == 1
