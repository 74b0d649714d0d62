"""Healthy readings of a rig: judged, kept, used by the proof of its later cases, and set aside when its parts change."""

from dataclasses import replace
from pathlib import Path

import pytest

from tipward import tasks
from tipward.foundation import NotKnownError
from tipward.model import ProofTest, Wire, read_setup

STEEL = read_setup(Path(__file__).parents[2] / "examples" / "rig-steel-0.9.toml")
HEALTHY = {"pull-torch-straight": [6.0, 7.0], "pull-torch-one-loop": [3.0], "measure-feed-ratio": [0.996]}


@pytest.fixture
def shop(tmp_path):
    return tasks.open_shop(tmp_path / "book.db")


@pytest.fixture
def rig(shop):
    return tasks.save_rig(shop, "Bay 2", STEEL)


def targets(shop, rig, path=STEEL):
    case = tasks.open_case(shop, path, ("slips-or-surges",), rig=rig)
    return case, {target.id: target for target in tasks.view(shop, case.id, explain=False).proof.targets}


def test_the_proof_takes_each_reading_of_the_baseline(shop, rig):
    _, before = targets(shop, rig.id)
    tasks.save_baseline(shop, rig.id, HEALTHY)
    _, after = targets(shop, rig.id)
    assert set(after) - set(before) == {"pull-torch-straight", "pull-torch-one-loop"}
    straight, loop = after["pull-torch-straight"], after["pull-torch-one-loop"]
    assert straight.low < 6.5 < straight.high and loop.low < 3.0 < loop.high
    assert "own healthy baseline" in straight.text and straight.unit == "N" and "eyes" in straight.cautions
    assert after["feed-ratio"].high == pytest.approx(1.016) and before["feed-ratio"].high == pytest.approx(1.02)


def test_the_pull_as_used_narrows_the_target_of_the_proof(shop, rig):
    _, before = targets(shop, rig.id)
    tasks.save_baseline(shop, rig.id, {"pull-torch-as-used": [11.0]})
    _, after = targets(shop, rig.id)
    was, now = before["pull-through-torch"], after["pull-through-torch"]
    assert was.low < now.low < 11.0 < now.high < was.high


def test_the_newest_reading_of_each_check_counts(shop, rig):
    tasks.save_baseline(shop, rig.id, HEALTHY)
    _, old = targets(shop, rig.id)
    tasks.save_baseline(shop, rig.id, {"pull-torch-straight": [5.0]})
    _, new = targets(shop, rig.id)
    assert new["pull-torch-straight"].high < old["pull-torch-straight"].high
    assert new["pull-torch-one-loop"] == old["pull-torch-one-loop"]


def test_a_proof_far_from_the_rigs_own_day_fails_and_near_it_passes(shop, rig):
    tasks.save_baseline(shop, rig.id, HEALTHY)
    case, _ = targets(shop, rig.id)
    for value, met in ((30.0, False), (6.4, True)):
        case = tasks.add(shop, case.id, ProofTest((("pull-torch-straight", (value,)),)))
        proof = tasks.view(shop, case.id, explain=False).proof
        assert {target.id: target.met for target in proof.targets}["pull-torch-straight"] is met


def test_a_healthy_day_outside_the_budget_makes_no_impossible_target(shop, rig):
    tasks.save_baseline(shop, rig.id, {"pull-torch-as-used": [2.0]})
    _, found = targets(shop, rig.id)
    pull = found["pull-through-torch"]
    assert pull.low < 2.0 < pull.high and "outside the budget" in pull.text


def test_another_wire_on_the_rig_sets_its_readings_aside(shop, rig):
    tasks.save_baseline(shop, rig.id, HEALTHY)
    tasks.save_rig(shop, "Bay two", STEEL, known_as=rig.id)
    assert len(tasks.see_rig(shop, rig.id).baselines) == 1, "a new name is no new path"
    other = replace(STEEL, wire=Wire("er70s-6", 0.0012))
    tasks.save_rig(shop, "Bay 2", other, known_as=rig.id)
    assert tasks.see_rig(shop, rig.id).baselines == ()
    assert "pull-torch-straight" not in targets(shop, rig.id, other)[1]
    tasks.save_baseline(shop, rig.id, {"pull-torch-straight": [8.0]})
    assert "pull-torch-straight" in targets(shop, rig.id, other)[1]


def test_a_case_with_another_path_or_only_a_written_name_takes_no_baseline(shop, rig):
    tasks.save_baseline(shop, rig.id, HEALTHY)
    other = replace(STEEL, wire=Wire("er4043", 0.0012))
    assert "pull-torch-straight" not in targets(shop, rig.id, other)[1]
    assert "pull-torch-straight" not in targets(shop, "the red one")[1]


def test_an_inspection_has_no_complaint_to_be_gone(shop):
    case = tasks.open_case(shop, STEEL)
    assert [t.id for t in tasks.view(shop, case.id, explain=False).proof.targets if t.id.startswith("gone:")] == []
    case = tasks.open_case(shop, STEEL, words="it does what it likes")
    assert "gone:complaint" in {t.id for t in tasks.view(shop, case.id, explain=False).proof.targets}


def test_readings_are_judged_by_what_healthy_parts_read(shop):
    judged = {item.check: item.healthy for item in tasks.judge_baseline(shop, STEEL, HEALTHY)}
    assert judged == dict.fromkeys(HEALTHY, True)
    bad = {"pull-torch-straight": [40.0], "pull-torch-one-loop": [30.0], "measure-feed-ratio": [0.8]}
    assert {item.healthy for item in tasks.judge_baseline(shop, STEEL, bad)} == {False}
    assert [item.healthy for item in tasks.judge_baseline(shop, STEEL)] == [None] * 3
    with pytest.raises(NotKnownError):
        tasks.judge_baseline(shop, STEEL, {"pull-tooth": [1.0]})


def test_a_rig_is_found_by_id_and_by_name(shop, rig):
    assert tasks.rig_named(shop, "bay-2") == tasks.rig_named(shop, "BAY 2") == rig
    with pytest.raises(NotKnownError, match="bay-2"):
        tasks.rig_named(shop, "bay 9")
