"""Every fact of the trade that the catalogue stands on, through the public tasks. Source of all: common practice, no source."""

import practice as of_cases
import practice_of_paths as of_paths
import pytest
from practice import ROWS, SOURCE, Practice

STATIONS = ("wire", "spool", "guides", "drive", "drive rolls", "liner", "contact tip", "trigger", "welding circuit")


@pytest.fixture(scope="module")
def practice(tmp_path_factory):
    return Practice(tmp_path_factory.mktemp("practice"))


def kind_of(row):
    name = row["kind"].replace("-", "_")
    return getattr(of_cases, name, None) or getattr(of_paths, name)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['of']}: {row['fact']}")
def test_common_practice_of_the_trade(practice, row):
    assert row["source"] == SOURCE
    kind_of(row)(practice, row)


def test_no_fact_stands_twice():
    seen = [str(sorted(row.items())) for row in ROWS]
    assert len(ROWS) >= 600 and len(seen) == len(set(seen))


def test_every_fault_is_suspected_and_mended_somewhere(practice):
    from tipward.tasks import list_catalogue

    faults = {name for kind, name, _ in list_catalogue(practice.shop) if kind == "fault"}
    suspected = {row["fault"] for row in ROWS if row["kind"] in {"suspects", "mismatch"}}
    assert faults - suspected == set()


def test_every_complaint_is_understood_somewhere(practice):
    said = {row["complaint"] for row in ROWS if row["kind"] == "words"}
    assert len(said) >= 36 and all(any(row["of"].startswith(name) for row in ROWS) for name in STATIONS)
