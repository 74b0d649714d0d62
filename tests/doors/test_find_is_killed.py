"""The real ``tipward find`` is killed while it asks, and while it works: at most the answer being typed is lost."""

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tipward.model import Opened
from tipward.records import open_casebook

EXAMPLES = Path(__file__).parents[2] / "examples"
PROMPT = b"q leave (saved)"
SAYS = "the wire slips and surges when the lead is bent"


class Talk:
    """One running ``tipward find`` with a pipe to type into; answers 1 to every check and d to every fix."""

    def __init__(self, book, *words):
        self.heard = b""
        self.run = subprocess.Popen(
            [sys.executable, "-m", "tipward", "find", "--casebook", book, *words],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
        )
        os.set_blocking(self.run.stdout.fileno(), False)

    def until_asked(self, times=1, patience=60):
        """Wait for the next question; what was printed before it."""
        for _ in range(times):
            end = time.monotonic() + patience
            while PROMPT not in self.heard:
                assert time.monotonic() < end and self.run.poll() is None, self.heard.decode("utf-8", "replace")
                self.heard += self.run.stdout.read() or b""
                time.sleep(0.01)
            asked, self.heard = self.heard.split(PROMPT, 1)
        return asked.decode("utf-8")

    def type(self, text):
        self.run.stdin.write(text.encode("utf-8"))
        self.run.stdin.flush()

    def answer(self, asked):
        self.type("d\n" if "d done" in asked else "1\n")

    def kill(self):
        self.run.send_signal(signal.SIGKILL)
        self.run.wait()
        self.run.stdout.close()


def pages(book):
    """Entries in the casebook that are neither the first page nor declared by the set-up."""
    with open_casebook(book) as opened:
        rows = opened.cases()
        assert len(rows) == 1
        case = opened.case(rows[0].id)
    assert isinstance(case.pages[0].entry, Opened) and case.pages[0].entry.words == SAYS
    return [page for page in case.pages[1:] if getattr(page.entry, "by", "") != "declared"], case.id


@pytest.fixture
def new_case():
    return (EXAMPLES / "rig-steel-0.9.toml", "--at", "machine", "--says", SAYS)


def test_killed_while_it_asks_it_loses_only_what_was_being_typed(tmp_path, new_case):
    book = tmp_path / "book.db"
    talk = Talk(book, *new_case)
    for _ in range(4):
        talk.answer(talk.until_asked())
    talk.until_asked()
    talk.type("1")  # typed, not yet entered
    talk.kill()
    assert len(pages(book)[0]) == 4


def test_killed_before_the_first_answer_the_case_is_there(tmp_path, new_case):
    book = tmp_path / "book.db"
    talk = Talk(book, *new_case)
    talk.until_asked()
    talk.kill()
    assert pages(book)[0] == []


@pytest.mark.parametrize("wait_s", [0.0, 0.003, 0.02, 0.08, 0.3])
def test_killed_while_it_works_every_answer_before_the_last_is_kept(tmp_path, new_case, wait_s):
    book = tmp_path / "book.db"
    talk = Talk(book, *new_case)
    for _ in range(2):
        talk.answer(talk.until_asked())
    talk.answer(talk.until_asked())
    time.sleep(wait_s)
    talk.kill()
    assert len(pages(book)[0]) in {2, 3}


def test_a_killed_case_goes_on_where_it_was(tmp_path, new_case):
    book = tmp_path / "book.db"
    talk = Talk(book, *new_case)
    talk.answer(talk.until_asked())
    asked = talk.until_asked()
    talk.kill()
    before, case = pages(book)
    talk = Talk(book, "--case", case)
    again = talk.until_asked()
    talk.type("q\n")
    out, _ = talk.run.communicate(timeout=60)
    assert f"Go on with: tipward find --case {case}".encode() in talk.heard + out
    assert talk.run.returncode == 1 and pages(book)[0] == before
    name = next(line for line in asked.splitlines() if line.startswith(("CHECK", "FIX")))
    assert name in again
