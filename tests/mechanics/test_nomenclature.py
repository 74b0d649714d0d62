"""docs/nomenclature.md glosses every field, every model unknown, and every limit that a budget names."""

from pathlib import Path

from tipward.mechanics import MODEL_UNKNOWNS
from tipward.model import field_names

TEXT = (Path(__file__).parents[2] / "docs" / "nomenclature.md").read_text("utf-8")


def test_every_field_has_a_meaning():
    for field in (*field_names(), *MODEL_UNKNOWNS):
        row = next((line for line in TEXT.splitlines() if line.startswith(f"| `{field}` |")), "")
        assert len(row.split("|")) > 2 and row.split("|")[2].strip(), field


def test_no_field_is_glossed_that_does_not_exist():
    told = {line.split("`")[1] for line in TEXT.splitlines() if line.startswith("| `")}
    assert told == {*field_names(), *MODEL_UNKNOWNS}
