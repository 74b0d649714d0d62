"""A shop's own file beside the shipped catalogue, and the how-to page that explains it."""

import re
from dataclasses import fields
from pathlib import Path

import pytest

from tipward.faults import (
    Action,
    Caution,
    Change,
    Check,
    Complaint,
    Condition,
    Fault,
    Part,
    Reading,
    SetUp,
    Synonym,
    load_catalogue,
    prior,
)
from tipward.foundation import CatalogueError
from tipward.model import FeedPath, Use

ROOT = Path(__file__).parents[2]
EXAMPLE = ROOT / "examples" / "own-catalogue.toml"
PAGE = ROOT / "docs" / "how-to" / "own-faults.md"


def test_own_tables_are_added_beside_the_shipped_ones() -> None:
    shipped, both = load_catalogue(), load_catalogue(EXAMPLE)
    assert set(both.faults) - set(shipped.faults) == {"lead-swivel-dirty"}
    assert set(both.checks) - set(shipped.checks) == {"feel-lead-swivel"}
    assert set(both.actions) - set(shipped.actions) == {"clean-lead-swivel"}
    assert both.shown["feel-lead-swivel"] == {"lead-swivel-dirty": {"gritty": 0.85}}
    assert [action.id for action in both.actions_for("lead-swivel-dirty")] == ["clean-lead-swivel"]


def test_own_table_with_a_shipped_id_replaces_it() -> None:
    assert load_catalogue(EXAMPLE).actions["replace-nozzle"].parts[0].price_low == 11.5
    assert load_catalogue().actions["replace-nozzle"].parts[0].price_low != 11.5


def test_own_conditions_act_on_the_odds() -> None:
    fault = load_catalogue(EXAMPLE).faults["lead-swivel-dirty"]
    odds = 2 * 0.03 / 0.97
    assert prior(fault, FeedPath()) == pytest.approx(0.03)
    assert prior(fault, FeedPath(use=Use(storage="dusty"))) == pytest.approx(odds / (1 + odds))


def test_a_mistake_in_an_own_file_is_named_with_its_place(tmp_path: Path) -> None:
    own = tmp_path / "own-catalogue.toml"
    own.write_text(EXAMPLE.read_text("utf-8").replace("slips-or-surges = 0.5", "slips = 0.5"), "utf-8")
    with pytest.raises(CatalogueError) as refused:
        load_catalogue(own)
    line = "own-catalogue.toml: fault lead-swivel-dirty: complaints: 'slips' is no complaint; "
    assert [str(problem) for problem in refused.value.problems] == [line + "correct it or add that table"]
    assert str(refused.value) in PAGE.read_text("utf-8")


def test_a_missing_own_file_is_named(tmp_path: Path) -> None:
    with pytest.raises(CatalogueError, match=r"nowhere\.toml: cannot be read; check the file"):
        load_catalogue(tmp_path / "nowhere.toml")


def test_the_page_shows_exactly_the_example() -> None:
    blocks = re.findall(r"```toml\n(.*?)```", PAGE.read_text("utf-8"), re.DOTALL)
    shown = [block for block in blocks if block.startswith("[[")]
    assert len(shown) == 4
    text = EXAMPLE.read_text("utf-8")
    assert all(block.rstrip("\n") in text for block in shown)
    assert sum(block.count("[[") for block in shown) == text.count("[[")


def test_the_python_of_the_page_prints_what_the_page_says(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(ROOT)
    code, output = re.search(r"```python\n(.*?)```\n\n```\n(.*?)```", PAGE.read_text("utf-8"), re.DOTALL).groups()  # type: ignore[union-attr]
    exec(code, {})
    assert capsys.readouterr().out == output


@pytest.mark.parametrize(
    "table", [Fault, Check, Action, Complaint, SetUp, Caution, Synonym, Change, Condition, Part, Reading]
)
def test_the_page_names_every_key(table: type) -> None:
    words = set(re.findall(r"[a-z_]+", PAGE.read_text("utf-8")))
    assert {item.name for item in fields(table)} <= words


def test_the_shown_by_line_of_the_page_loads(tmp_path: Path) -> None:
    line = re.search(r"^shown_by = .*$", PAGE.read_text("utf-8"), re.MULTILINE)
    assert line is not None
    text = EXAMPLE.read_text("utf-8").replace("seen_by_proof = 0.92", f"seen_by_proof = 0.92\n{line.group()}")
    own = tmp_path / "own.toml"
    own.write_text(text, "utf-8")
    assert load_catalogue(own).shown["look-lead-lie"]["lead-swivel-dirty"] == {"tight": 0.1}
