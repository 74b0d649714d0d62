"""The real command: ``tipward ARGS`` in this process, its exit code and what it printed."""

import io
import sys
from dataclasses import dataclass
from pathlib import Path

import pytest

from tipward.cli import main

EXAMPLES = Path(__file__).parents[2] / "examples"


@dataclass
class Ran:
    """What a command left behind."""

    code: int
    out: str
    err: str


@pytest.fixture
def tipward(monkeypatch, capsys):
    """Run the command with these words, and with what is typed; the casebook is the one in the environment."""

    def run(*words, typed=""):
        monkeypatch.setattr(sys, "argv", ["tipward", *map(str, words)])
        monkeypatch.setattr(sys, "stdin", io.StringIO(typed))
        capsys.readouterr()
        with pytest.raises(SystemExit) as ended:
            main()
        told = capsys.readouterr()
        return Ran(ended.value.code or 0, told.out, told.err)

    return run


@pytest.fixture
def examples():
    """Folder of the invented workshop."""
    return EXAMPLES
