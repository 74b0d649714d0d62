"""The house: floors and owners kept, docstrings complete, sources known, sizes bounded, commands documented."""

import ast
import importlib
import inspect
import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
SOURCE = ROOT / "src" / "tipward"
ROOMS = [
    "foundation",
    "reference",
    "model",
    "mechanics",
    "faults",
    "matching",
    "diagnosis",
    "records",
    "reports",
    "tasks",
]
FILES = sorted(SOURCE.rglob("*.py"))


def exported():
    for room in ROOMS:
        module = importlib.import_module(f"tipward.{room}")
        for name in module.__all__:
            noun = getattr(module, name)
            if inspect.isfunction(noun):
                yield pytest.param(noun, id=f"{room}.{name}")


def test_floor_plan_is_kept():
    linter = Path(sys.executable).with_name("lint-imports")
    told = subprocess.run([linter], cwd=ROOT, capture_output=True, text=True, check=False)
    assert told.returncode == 0, told.stdout[-3000:]


@pytest.mark.parametrize("function", exported())
def test_public_functions_have_the_whole_form(function):
    text = inspect.getdoc(function) or ""
    parameters = [name for name in inspect.signature(function).parameters if name not in {"self", "cls"}]
    parts = ["Returns\n", "Raises\n", "Source:", ">>>"] + (["Parameters\n"] if parameters else [])
    missing = [part.strip() for part in parts if part not in text]
    missing += [name for name in parameters if not re.search(rf"\b{name}\b", text)]
    assert not missing, f"{function.__module__}.{function.__qualname__} lacks {missing}"


@pytest.mark.parametrize("file", FILES, ids=lambda file: str(file.relative_to(SOURCE)))
def test_files_and_bodies_stay_small(file):
    text = file.read_text("utf-8")
    assert text.count("\n") <= 400
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            body = node.body[1:] if ast.get_docstring(node) else node.body
            lines = body[-1].end_lineno - body[0].lineno + 1 if body else 0
            assert lines <= 40, f"{file.name}:{node.lineno} {node.name} has {lines} lines"


def test_no_room_is_a_drawer():
    names = {file.stem for file in FILES}
    assert not names & {"utils", "helpers", "common", "misc", "manager", "util", "helper"}


def test_every_source_key_in_the_tables_is_known():
    reference = importlib.import_module("tipward.reference")
    known = set(reference.sources())
    used = {
        (file.stem, row.source)
        for file in (SOURCE / "reference" / "tables").glob("*.csv")
        for row in reference.table(file.stem)
    }
    assert used and not {item for item in used if item[1] not in known}


def test_every_command_is_documented():
    from tipward.cli.main import COMMANDS

    told = (ROOT / "docs" / "commands.md").read_text("utf-8")
    assert [name for name in COMMANDS if f"## tipward {name}" not in told] == []


def test_every_error_is_in_the_tree_at_the_top_of_the_file():
    errors = importlib.import_module("tipward.foundation.errors")
    tree = errors.__doc__
    own = [name for name, item in vars(errors).items() if inspect.isclass(item) and issubclass(item, Exception)]
    assert own and [name for name in own if name not in tree] == []


def test_test_files_have_names_of_their_own():
    """pytest imports test files by their bare name: a second one of the same name is not collected at all."""
    names = [file.name for file in (ROOT / "tests").rglob("test_*.py")]
    assert sorted(names) == sorted(set(names))
