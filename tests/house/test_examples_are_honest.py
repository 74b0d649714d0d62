"""The invented workshop: its rigs fit, its cases read what the physics says of them, and each case ends as it says."""

import json
import tomllib
from pathlib import Path

import numpy as np
import pytest

from tipward import tasks
from tipward.cli.answers import check_answers, read_answers, run_answers
from tipward.faults import load_catalogue, understand
from tipward.mechanics import change, draw, measure
from tipward.model import read_setup
from tipward.tasks import read_readings

EXAMPLES = Path(__file__).parents[2] / "examples"
CASES = sorted(EXAMPLES.glob("case-*.json"))
RIGS = sorted(EXAMPLES.glob("rig-*.toml"))


def test_there_are_rigs_and_cases_as_promised():
    rigs = {file.stem for file in RIGS}
    assert {"rig-steel-0.9", "rig-steel-0.6", "rig-aluminium-1.2", "rig-selfshielded"} <= rigs
    faults = [len(json.loads(file.read_text("utf-8"))["faults"]) for file in CASES]
    assert len(faults) >= 3 and max(faults) >= 2


@pytest.mark.parametrize("file", RIGS, ids=lambda file: file.stem)
def test_rigs_fit_except_the_one_that_was_half_changed(file):
    mismatches = tasks.fit(read_setup(file)).mismatches
    assert bool(mismatches) == (file.stem == "rig-after-change"), mismatches


def states(case):
    """Each table of an answers file with the faults that are still there when it holds."""
    script = tomllib.loads((EXAMPLES / case["answers"]).read_text("utf-8"))
    yield script["answers"], script.get("proof", {}), set(case["faults"])
    for key, table in script.get("after", {}).items():
        done = {name.strip() for name in key.split(",")}
        left = {fault for fault in case["faults"] if case["cleared_by"].get(fault) not in done}
        yield table, table.get("proof", {}), left


def with_faults(path, case, left):
    """The rig at the median of what is unknown, changed by the faults that are left."""
    values = {name: float(np.median(value)) for name, value in draw(path).values.items()}
    for fault in sorted(left):
        for step, size in zip(load_catalogue().faults[fault].changes, case["faults"][fault], strict=True):
            values = change(values, step.field, step.op, size)
    return values


def told(said, unit):
    texts = said if isinstance(said, list) else [said]
    return float(np.mean(read_readings(";".join(map(str, texts)), unit)))


@pytest.mark.parametrize("file", CASES, ids=lambda file: file.stem)
def test_readings_are_what_the_rig_would_show(file):
    case = json.loads(file.read_text("utf-8"))
    path, checks, compared = read_setup(EXAMPLES / case["rig"]), load_catalogue().checks, 0
    for answers, _, left in states(case):
        values = with_faults(path, case, left)
        for name, said in answers.items():
            if name == "proof" or checks[name].reading is None:
                continue
            reading = checks[name].reading
            true = float(measure(reading.name, values, path, dict(reading.context)))
            rounding = {"N": 0.3, "m": 0.001, "V": 0.1}.get(reading.unit, 0.01)
            assert told(said, reading.unit) == pytest.approx(true, rel=0.03, abs=rounding), (name, left)
            compared += 1
    assert compared > 20


@pytest.mark.parametrize("file", CASES, ids=lambda file: file.stem)
def test_the_proof_is_read_as_the_rig_would_show_it(file):
    case = json.loads(file.read_text("utf-8"))
    path = read_setup(EXAMPLES / case["rig"])
    units = {"feed-ratio": "", "pull-through-torch": "N", "slip-pull": "N", "ovality": "m"}
    for _, proof, left in states(case):
        values = with_faults(path, case, left)
        for name, said in proof.items():
            if name.startswith("gone:"):
                assert said is (not left), (name, left)
                continue
            true = float(measure(name, values, path, {}))
            assert told(said, units[name]) == pytest.approx(true, rel=0.03, abs=0.3 if units[name] == "N" else 1e-3)


@pytest.mark.parametrize("file", CASES, ids=lambda file: file.stem)
def test_each_case_ends_as_it_says_and_finds_every_fault(file, tmp_path):
    case, shop = json.loads(file.read_text("utf-8")), tasks.open_shop(tmp_path / "book.db")
    script = read_answers(EXAMPLES / case["answers"])
    check_answers(shop, script, file)
    place = tasks.place(shop, "machine", "all", "all", False)
    opened = tasks.open_case(shop, read_setup(EXAMPLES / case["rig"]), (), case["says"], place)
    ended = run_answers(shop, opened, script, quiet=True)
    assert ended.closed().how == case["ends"]
    done = {page.entry.action for page in ended.live() if page.entry.kind == "repair"}
    assert set(case["cleared_by"].values()) <= done
    proved = tasks.see(shop, ended, explain=False).proof.proved
    assert proved == (case["ends"] == "proved")


def test_the_complaints_of_a_case_are_all_answered_in_its_proof():
    catalogue = load_catalogue()
    for file in CASES:
        case = json.loads(file.read_text("utf-8"))
        proof = tomllib.loads((EXAMPLES / case["answers"]).read_text("utf-8"))["proof"]
        assert {f"gone:{item}" for item in understand(catalogue, case["says"])} <= set(proof), file.stem
