"""From a figure of a verdict back to its line in the data: every figure that the look-up names stands in that line."""

import json
import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from tipward.cli.main import group
from tipward.tasks import list_catalogue, look_up, open_shop

ROOT = Path(__file__).parents[2]
FILES = ROOT / "src" / "tipward" / "faults" / "catalogue"
OWN = ROOT / "examples" / "own-catalogue.toml"
TEXTS = {file.name: file.read_text("utf-8").splitlines() for file in [*FILES.glob("*.toml"), OWN]}


@pytest.fixture(scope="module")
def shop(tmp_path_factory):
    return open_shop(tmp_path_factory.mktemp("lookup") / "book.db", [OWN])


def run(*words):
    return CliRunner().invoke(group, ["catalogue", *words])


def numbers(text):
    return {float(number) for number in re.findall(r"(?<![\w-])\d+(?:\.\d+)?", text)}


def test_every_probability_stands_in_the_line_that_is_named(shop):
    wrong, count = [], 0
    for _, name, _ in list_catalogue(shop):
        for line in look_up(shop, name).lines:
            if line.probability is None:
                continue
            count += 1
            text = TEXTS[line.file][line.line - 1]
            if line.probability not in numbers(text) or not line.grade:
                wrong.append(f"{name}: {line.what} {line.value} {line.about}: {line.file}:{line.line}: {text[:90]}")
    assert wrong == []
    assert count > 4000


def test_what_a_check_says_of_a_fault_is_the_same_from_both_ends(shop):
    """Except where a check speaks of whole stations, which its own table says once for all their faults."""
    of_checks = {
        (name, line.about, line.value): (line.file, line.line)
        for kind, name, _ in list_catalogue(shop)
        if kind == "check"
        for line in look_up(shop, name).lines
        if line.what == "shows" and not line.about.startswith("any fault")
    }
    of_faults = {
        (line.about, name, line.value): (line.file, line.line)
        for kind, name, _ in list_catalogue(shop)
        if kind == "fault"
        for line in look_up(shop, name).lines
        if line.what == "shown by"
    }
    assert len(of_checks) > 1000
    assert of_checks.items() <= of_faults.items()


def test_a_table_of_the_shop_is_found_in_the_shops_own_file(shop):
    lines = look_up(shop, "lead-swivel-dirty").lines
    prior = next(line for line in lines if line.what == "before any finding")
    assert (prior.file, TEXTS[OWN.name][prior.line - 1]) == (OWN.name, "prior = 0.03")


def test_without_an_id_everything_is_listed():
    told = run()
    assert told.exit_code == 0
    assert all(f"\n  {name}" in told.output for name in ("liner-dirty", "look-hub", "set-brake", "burns-back", "eyes"))
    assert all(len(line) <= 80 for line in told.output.splitlines())


@pytest.mark.parametrize(
    "name", ["liner-dirty", "look-hub", "pull-spool", "set-brake", "tingle", "jog-only", "tip-off"]
)
def test_one_id_is_laid_open_within_80_columns(name):
    told = run(name)
    assert told.exit_code == 0 and re.search(r"\.toml:\d+", told.output)
    assert all(len(line) <= 80 for line in told.output.splitlines()[1:])


def test_json_carries_file_and_line():
    told = json.loads(run("spool-off-peg", "--json").output)
    first = told["lines"][0]
    assert (told["kind"], first["what"], first["file"]) == ("fault", "before any finding", "spool.toml")
    assert TEXTS["spool.toml"][first["line"] - 1] == f"prior = {first['probability']}"
    assert {"kind": "caution", "id": "eyes"}.items() <= next(
        row for row in json.loads(run("--json").output) if row["id"] == "eyes"
    ).items()


def test_an_unknown_id_is_wrong_use_and_near_ids_are_named():
    told = run("liner-dirt")
    assert told.exit_code != 0 and "liner-dirty" in str(told.exception)
