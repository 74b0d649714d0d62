"""The gates of the first thread: one catalogue feeds all, joint judgement, taking back, saving, three files."""

import re
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from plain_weighting import plain_posterior
from thread import CATALOGUE, OPENED, RIG, case_of, wider_catalogue

from tipward import tasks
from tipward.diagnosis import judge
from tipward.diagnosis.readings import DRAWS
from tipward.mechanics import change, draw, feed_force, measure, push_force
from tipward.model import Cannot, Finding, Moved, Page, Place, ProofTest, Repair, TakenBack, read_setup
from tipward.planning import next_step
from tipward.records import open_casebook

ROOT = Path(__file__).parents[2]
EXAMPLES = ROOT / "examples"
PAIR = frozenset({"lead-tight-loops", "liner-dirty"})
TEN_TIMES = 10 * DRAWS


# Gate 1: a fault and a check added in TOML alone change budget, questions and card.


@pytest.fixture
def shops(tmp_path):
    own = EXAMPLES / "own-catalogue.toml"
    return tasks.open_shop(tmp_path / "shipped.db"), tasks.open_shop(tmp_path / "own.db", [own])


@pytest.fixture
def rig():
    return read_setup(EXAMPLES / "rig-steel-0.9.toml")


def test_a_fault_in_toml_changes_the_budget(shops, rig):
    values = draw(rig).values
    for step in shops[1].catalogue.faults["lead-swivel-dirty"].changes:
        values = change(values, step.field, step.op, step.mode)
    assert float(np.median(push_force(values, rig).push_n)) > feed_force(rig).push_n.mid + 5.0


def test_a_fault_and_a_check_in_toml_change_questions_and_suspicions(shops, rig):
    asked, suspected = [], []
    for shop in shops:
        case = tasks.open_case(shop, rig, ("only-when-lead-bent",), place=Place("machine", ("spring scale",)))
        asked.append({check for check, _ in tasks.checks_now(shop, case.id)})
        suspected.append({item.fault for item in tasks.view(shop, case.id).judgement.suspicions})
    assert asked[1] - asked[0] == {"feel-lead-swivel"}
    assert suspected[1] - suspected[0] == {"lead-swivel-dirty"}


def test_a_measured_check_sees_a_fault_that_is_only_a_change_of_the_path(shops, rig):
    chances = {}
    for name, read in (("healthy", (1.5, 1.5)), ("held", (10.0, 9.5))):
        case = tasks.open_case(shops[1], rig, ("only-when-lead-bent",), place=Place("machine", ("spring scale",)))
        chances["before"] = tasks.view(shops[1], case.id).judgement.probability("lead-swivel-dirty")
        tasks.add(shops[1], case.id, Finding("pull-torch-straight-tip-off", readings=read))
        chances[name] = tasks.view(shops[1], case.id).judgement.probability("lead-swivel-dirty")
    assert chances["healthy"] < chances["before"] / 2 and chances["held"] > chances["before"]


def test_a_fault_and_a_check_in_toml_reach_fix_and_card(shops, rig):
    shop = shops[1]
    case = tasks.open_case(shop, rig, ("only-when-lead-bent",), place=Place("machine"))
    tasks.add(shop, case.id, Finding("feel-lead-swivel", "gritty"))
    assert "clean-lead-swivel" in {fix.action for fix in tasks.view(shop, case.id).fixes}
    tasks.add(shop, case.id, Repair("clean-lead-swivel"))
    card = " ".join(tasks.card_text(shop, tasks.view(shop, case.id)).split())
    assert "Take the swivel apart and clean it" in card and "it grates or catches" in card


# Gate 2: dirty liner plus tight loops is judged as joint Monte Carlo judges it.


def pair_told(judged):
    return sum(item.probability for item in judged.explanations if frozenset(item.faults) == PAIR)


def read_by_scale(rng, friction, turning):
    """What this rig with both faults of these sizes would read, with the scatter of reading it."""
    number = int(rng.integers(64))
    values = {name: np.atleast_1d(value)[number % np.size(value)] for name, value in draw(RIG, 64).values.items()}
    values = change(values, "liner.friction_1", "*", friction)
    values = change(values, "torch_lead.extra_turning_rad", "+", turning)
    for check in ("pull-as-used", "pull-straight"):
        reading = CATALOGUE.checks[check].reading
        true = float(measure(reading.name, values, RIG, dict(reading.context)))
        yield Finding(check, readings=(true * (1 + reading.repeat_share * rng.normal()),))


def test_the_pair_is_judged_as_joint_monte_carlo_judges_it():
    rng = np.random.default_rng(5)
    gaps, chances = [], []
    for _ in range(20):
        findings = list(read_by_scale(rng, rng.uniform(1.5, 2.2), rng.uniform(3.5, 7.0)))
        chances.append(plain_posterior(CATALOGUE, findings, TEN_TIMES, int(rng.integers(1, 10**6)))[PAIR])
        gaps.append(abs(pair_told(judge(CATALOGUE, case_of(*findings))) - chances[-1]))
    assert max(chances) > 0.8 and min(chances) < 0.6, "the cases are too alike to tell anything"
    assert np.quantile(gaps, 0.95) <= 0.05, gaps


def test_the_pair_is_judged_so_with_looks_as_well():
    findings = [Finding("look-lead", "tight"), Finding("look-dust", "some"), Finding("hand-test", "smooth")]
    findings += read_by_scale(np.random.default_rng(8), 1.8, 5.0)
    plain = plain_posterior(CATALOGUE, findings, TEN_TIMES, 3)[PAIR]
    assert pair_told(judge(CATALOGUE, case_of(*findings))) == pytest.approx(plain, abs=0.05)


def test_the_pair_is_judged_so_among_more_sets_than_can_be_listed():
    catalogue = wider_catalogue()
    findings = [Finding("look-lead", "tight"), Finding("look-dust", "some")]
    findings += read_by_scale(np.random.default_rng(11), 1.8, 5.0)
    judged = judge(catalogue, case_of(*findings))
    plain = plain_posterior(catalogue, findings, TEN_TIMES, 3)
    assert judged.method == "sampled sets"
    assert pair_told(judged) == pytest.approx(plain[PAIR], abs=0.05) and plain[PAIR] > 0.1
    for fault in PAIR:
        marginal = sum(chance for chosen, chance in plain.items() if fault in chosen)
        assert judged.probability(fault) == pytest.approx(marginal, abs=0.05)


# Gate 3: judging without page k equals judging with k taken back.

looks = [Finding(check.id, outcome.id) for check in CATALOGUE.checks.values() for outcome in check.outcomes]
readings = st.builds(
    lambda check, values: Finding(check, readings=tuple(values)),
    st.sampled_from(["pull-as-used", "pull-straight"]),
    st.lists(st.floats(0.5, 80.0), min_size=1, max_size=3),
)
entries = st.one_of(
    st.sampled_from(looks),
    st.sampled_from([Finding(item.check, item.outcome, by="customer") for item in looks]),
    readings,
    st.sampled_from([Repair(action) for action in CATALOGUE.actions]),
    st.sampled_from([Cannot("look-dust"), Cannot("clean-liner"), Moved(Place("counter"))]),
    st.sampled_from([ProofTest((("passes", (1.0,)),)), ProofTest((("passes", (0.0,)),))]),
)


@settings(max_examples=60, deadline=None)
@given(st.lists(entries, min_size=1, max_size=7), st.data())
def test_judging_without_a_page_equals_judging_with_it_taken_back(written, data):
    case = case_of(*written)
    number = data.draw(st.integers(2, len(case.pages)))
    without = type(case)(case.id, tuple(page for page in case.pages if page.sequence != number))
    back = Page(len(case.pages) + 1, "back", datetime(2026, 3, 1, 9, tzinfo=UTC), TakenBack(number))
    taken_back = case.with_page(back)
    assert judge(CATALOGUE, taken_back) == judge(CATALOGUE, without)
    assert next_step(CATALOGUE, taken_back) == next_step(CATALOGUE, without)


# Gate 4: one new field of the path with its fault touches at most three files.


def test_a_field_that_only_a_fault_moves_stands_in_three_files():
    """The worked case of docs/decisions/0006: a speed control that is lost."""
    house = ROOT / "src" / "tipward"
    found = [
        str(file.relative_to(house))
        for file in sorted(house.rglob("*"))
        if file.suffix in {".py", ".toml", ".csv", ".typ"}
        and re.search(r"(?<![a-z_])speed_factor_1", file.read_text("utf-8"))
    ]
    assert found == ["faults/catalogue/drive.toml", "mechanics/readings.py", "model/path.py"]


# Gate 5: a case saved and loaded is judged identically.


@settings(max_examples=25, deadline=None)
@given(st.lists(entries, min_size=1, max_size=6))
def test_a_case_saved_and_loaded_is_judged_identically(tmp_path_factory, written):
    file = tmp_path_factory.mktemp("saved") / "book.db"
    with open_casebook(file) as book:
        case = book.new_case(OPENED, "key-1")
        for number, entry in enumerate(written, 2):
            case = book.append(case.id, entry, f"key-{number}")
    with open_casebook(file) as book:
        loaded = book.case(case.id)
    assert loaded.pages == case.pages
    in_memory = case_of(*written, case_id=case.id)
    assert judge(CATALOGUE, loaded) == judge(CATALOGUE, in_memory)
    assert next_step(CATALOGUE, loaded) == next_step(CATALOGUE, in_memory)
