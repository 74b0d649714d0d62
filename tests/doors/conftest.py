"""The real command: ``tipward ARGS`` in this process, its exit code and what it printed."""

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
    """Run the command with these words; the casebook is the one in the environment or in the words."""

    def run(*words):
        monkeypatch.setattr(sys, "argv", ["tipward", *map(str, words)])
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
