"""Looks, hand tests and questions of the shipped catalogue: complete, cautious, naming faults and parting twins."""

from collections.abc import Iterator
from itertools import combinations

import pytest

from tipward.faults import Catalogue, Check, load_catalogue
from tipward.model import STATIONS

KINDS = ("look-", "hand-", "ask-")
TOOLS = {
    "gloves",
    "torch light",
    "calliper",
    "block of wood",
    "white cloth",
    "pen",
    "spring scale",
    "ohmmeter",
    "steel rule",
    "compressed air",
    "multimeter",
    "mirror",
    "hex keys",
    "pliers",
    "side cutters",
}
SEEN = 0.8  # a direct look or hand test shows its fault at least so often (judgement)
APART = 0.6  # total variation between two faults in the check that tells them apart best (judgement)
TWINS = [
    ("liner-dirty", "liner-worn"),
    ("liner-dirty", "liner-kinked"),
    ("liner-worn", "liner-kinked"),
    ("pressure-low", "groove-worn"),
    ("pressure-low", "rolls-dirty"),
    ("pressure-low", "spring-tired"),
    ("motor-worn", "supply-weak"),
    ("motor-worn", "control-failure"),
    ("spool-brake-tight", "spool-rub"),
    ("tip-worn", "tip-bore-large"),
    ("lead-tight-loops", "lead-folded"),
    ("lead-tight-loops", "lead-crushed"),
    ("lead-folded", "lead-crushed"),
    ("liner-short", "liner-unseated"),
    ("liner-clamp-loose", "liner-unseated"),
    ("liner-clamp-tight", "liner-kinked"),
    ("gun-motor-weak", "push-pull-out-of-step"),
]


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return load_catalogue()


@pytest.fixture(scope="module")
def checks(catalogue: Catalogue) -> list[Check]:
    return [check for check in catalogue.checks.values() if check.id.startswith(KINDS) and check.reading is None]


def spread(catalogue: Catalogue, check: Check, fault: str) -> list[float]:
    """Probability of each outcome where this fault alone is present."""
    shown = catalogue.shown[check.id].get(fault, {})
    abnormal = [shown.get(outcome.id, 0.0) for outcome in check.outcomes[1:]]
    return [1 - sum(abnormal), *abnormal]


def apart(catalogue: Catalogue, checks: list[Check], one: str, other: str) -> float:
    """How far apart two faults stand in the check that tells them apart best: total variation, 0 to 1."""
    pairs = ((spread(catalogue, check, one), spread(catalogue, check, other)) for check in checks)
    return max(sum(abs(a - b) for a, b in zip(*pair, strict=True)) / 2 for pair in pairs)


def direct(checks: list[Check]) -> Iterator[Check]:
    return (check for check in checks if not check.id.startswith("ask-"))


def test_at_least_sixty_and_every_station(checks: list[Check]) -> None:
    assert len(checks) >= 60
    assert {check.station for check in direct(checks)} == set(STATIONS)


def test_every_outcome_but_the_first_can_show_falsely(checks: list[Check]) -> None:
    for check in checks:
        assert 2 <= len(check.outcomes) <= 4, check.id
        assert set(check.false) == {outcome.id for outcome in check.outcomes[1:]}, check.id
        assert sum(check.false.values()) < 0.5, check.id  # normal is the usual answer
        if not check.id.startswith("ask-"):
            assert all(0.002 <= share <= 0.15 for share in check.false.values()), check.id


def test_every_outcome_but_the_first_is_caused_by_some_fault(catalogue: Catalogue, checks: list[Check]) -> None:
    for check in checks:
        caused = {outcome for outcomes in catalogue.shown[check.id].values() for outcome in outcomes}
        assert {outcome.id for outcome in check.outcomes[1:]} <= caused, check.id


def test_what_would_not_run_is_the_last_outcome(checks: list[Check]) -> None:
    for check in checks:
        names = [outcome.id for outcome in check.outcomes]
        assert "would-not-run" not in names[:-1], check.id


def test_cautions_stand_where_they_belong(checks: list[Check]) -> None:
    for check in checks:
        needed: set[str] = set()
        if check.runs_wire:
            needed |= {"jog-only", "live-wire", "wire-end", "eyes", "nip"}
        if check.opens_machine:
            needed |= {"power-off"}
        if "tip-off" in check.set_up:
            needed |= {"hot"}
        if "side cutters" in check.tools:
            needed |= {"eyes"}
        if "compressed air" in check.tools:
            needed |= {"air-blow", "eyes"}
        if check.who == "qualified":
            needed |= {"qualified-only"}
        assert needed <= set(check.cautions), f"{check.id} lacks {sorted(needed - set(check.cautions))}"


def test_a_customer_opens_nothing_and_only_a_customer_is_asked_by_phone(checks: list[Check]) -> None:
    for check in checks:
        assert ("phone" in check.at) == (check.who == "customer"), check.id
        if check.who == "customer":
            assert not check.opens_machine and not {"cover-open", "torch-unplugged"} & set(check.set_up), check.id


def test_the_compartment_is_opened_with_its_caution_and_questions_stay_short(checks: list[Check]) -> None:
    for check in checks:
        if "cover-open" in check.set_up:
            assert check.opens_machine or "jog-only" in check.cautions, check.id
        if check.id.startswith("ask-"):
            assert check.minutes.high <= 1 and check.who == "customer" and not check.tools, check.id


def test_tools_come_from_one_list(checks: list[Check]) -> None:
    assert {tool for check in checks for tool in check.tools} <= TOOLS


def test_running_checks_are_impossible_without_a_turning_drive(checks: list[Check]) -> None:
    for check in checks:
        runs_without = {"hand-gun-motor"}  # the gun's own motor, tried by itself
        if check.runs_wire and check.id not in runs_without:
            assert any(after.check == "jog-inside" for after in check.impossible_after), check.id


def test_every_fault_is_seen_by_a_direct_check(catalogue: Catalogue, checks: list[Check]) -> None:
    unseen = [
        fault
        for fault in catalogue.faults
        if max(sum(spread(catalogue, check, fault)[1:]) for check in direct(checks)) < SEEN
    ]
    assert unseen == []


@pytest.mark.parametrize(("one", "other"), TWINS)
def test_near_twins_are_told_apart(catalogue: Catalogue, checks: list[Check], one: str, other: str) -> None:
    assert {one, other} <= set(catalogue.faults)
    assert apart(catalogue, checks, one, other) >= APART


def test_any_two_faults_are_told_apart(catalogue: Catalogue, checks: list[Check]) -> None:
    near = [pair for pair in combinations(catalogue.faults, 2) if apart(catalogue, checks, *pair) < APART]
    assert near == []
