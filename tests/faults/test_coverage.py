"""docs/catalogue.md is what the tables say, and every measured check is one that mechanics can read."""

from math import isfinite
from pathlib import Path

import numpy as np
import pytest

from tipward.faults import Catalogue, load_catalogue
from tipward.faults.coverage import catalogue_pages, fields_that_move
from tipward.faults.separation import separation
from tipward.mechanics import READINGS, draw, measure
from tipward.model import FeedPath, field_names

PAGE = Path(__file__).parents[2] / "docs" / "catalogue.md"


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return load_catalogue()


@pytest.fixture(scope="module")
def page(catalogue: Catalogue) -> str:
    return catalogue_pages(catalogue)


def test_the_page_is_current(page: str) -> None:
    assert PAGE.read_text("utf-8") == page, "run: python -m tipward.faults.coverage > docs/catalogue.md"


def test_the_page_holds_every_table(catalogue: Catalogue, page: str) -> None:
    for kind, table in (
        ("Fault", catalogue.faults),
        ("Check", catalogue.checks),
        ("Action", catalogue.actions),
        ("Complaint", catalogue.complaints),
    ):
        for key in table:
            assert page.count(f"\n### {kind} `{key}`: ") == 1, key
    for key in [*catalogue.cautions, *catalogue.set_ups]:
        assert f"\n- `{key}`: " in page, key


def test_every_probability_of_a_check_stands_with_grade_and_reason(catalogue: Catalogue, page: str) -> None:
    for check in catalogue.checks.values():
        for item in check.shows:
            assert f"({item.grade}: {item.reason})" in page, check.id
    for fault in catalogue.faults.values():
        assert f"({fault.prior_grade}: {fault.prior_reason})" in page, fault.id


def test_every_section_names_its_file(page: str) -> None:
    assert page.count("\n- file: `") == page.count("\n### ")
    assert "not from a file" not in page


def test_no_two_faults_are_left_that_nothing_tells_apart(catalogue: Catalogue) -> None:
    assert separation(catalogue, fields_that_move).inseparable == ()


def test_context_takes_fields_out_of_circuit(catalogue: Catalogue) -> None:
    used, tip_off, slack = (
        fields_that_move(reading)
        for key in ("pull-torch-as-used", "pull-torch-tip-off", "pull-torch-slack")
        if (reading := catalogue.check(key).reading) is not None
    )
    assert "contact_tip.spatter_drag_n" in used - tip_off
    assert "spool.rub_drag_n" in used - slack
    assert "liner.friction_1" in used & tip_off & slack


def test_mechanics_reads_every_measured_check_in_its_context(catalogue: Catalogue) -> None:
    draws = draw(FeedPath())
    for check in catalogue.checks.values():
        if check.reading is not None:
            assert READINGS[check.reading.name].unit == check.reading.unit, check.id
            value = measure(check.reading.name, draws, FeedPath(), check.reading.context)
            assert isfinite(float(np.median(value))), check.id


def test_fields_that_move_are_fields_of_the_path() -> None:
    for spec in READINGS.values():
        for context in ({}, {key: choices[-1] for key, choices in spec.contexts.items()}):
            assert spec.fields(context) <= set(field_names())
