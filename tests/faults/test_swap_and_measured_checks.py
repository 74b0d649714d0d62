"""Swaps, bypasses, measured and logged checks: said safely, possible when asked, and silent on what is out."""

import pytest

from tipward.faults import Catalogue, Check, load_catalogue, prior
from tipward.model import FeedPath

READINGS = {
    "pull-off-spool": "N",
    "pull-through-torch": "N",
    "slip-pull": "N",
    "feed-ratio": "1",
    "feed-spread": "1",
    "fed-speed-ratio": "1",
    "ovality": "m",
    "wire-diameter": "m",
    "coast": "m",
    "free-loop": "m",
    "helix-lift": "m",
    "return-resistance": "ohm",
    "supply-drop": "V",
    "outlet-gap": "m",
    "motor-load": "1",
}
OWN = ("checks-swaps", "checks-bypasses", "checks-settings", "checks-measured", "checks-logged")


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return load_catalogue()


def own(catalogue: Catalogue) -> list[Check]:
    return [item for item in catalogue.checks.values() if catalogue.places[f"check {item.id}"].startswith(OWN)]


def test_there_are_enough(catalogue: Catalogue) -> None:
    assert len(own(catalogue)) >= 35
    assert len(catalogue.complaints) >= 30


def test_every_check_that_runs_wire_says_how(catalogue: Catalogue) -> None:
    for check in own(catalogue):
        if check.runs_wire:
            for words in ("jog, not the trigger", "verify that jog is dead", "clear of face, people and earthed metal"):
                assert words in check.instructions.lower(), (check.id, words)
            assert {"jog-only", "live-wire", "eyes"} <= set(check.cautions), check.id


def test_pulls_are_made_with_power_off_and_nothing_running(catalogue: Catalogue) -> None:
    pulls = [check for check in own(catalogue) if check.reading is not None and "pull" in check.reading.name]
    assert len(pulls) == 8
    for check in pulls:
        assert not check.runs_wire and check.opens_machine and "power-off" in check.cautions, check.id


def test_mains_and_motor_compartment_are_for_qualified_persons(catalogue: Catalogue) -> None:
    for key in ("measure-supply-drop", "measure-motor-load-clamp", "bridge-trigger-pins"):
        assert catalogue.check(key).who == "qualified"
        assert "qualified-only" in catalogue.check(key).cautions


def test_every_reading_has_a_check_with_its_unit_and_its_repeatability(catalogue: Catalogue) -> None:
    found = [check.reading for check in catalogue.checks.values() if check.reading is not None]
    assert {item.name: item.unit for item in found} == READINGS
    assert all(item.repeat_share > 0 or item.repeat_absolute > 0 for item in found)


def test_a_dead_feed_makes_what_needs_feed_impossible(catalogue: Catalogue) -> None:
    """Without feed the ratio, the coast and the swaps cannot be had; what needs none still can."""
    dead = {
        check.id
        for check in catalogue.checks.values()
        if any(after.check == "jog-inside" and "nothing-turns" in after.outcomes for after in check.impossible_after)
    }
    assert {"measure-feed-ratio", "measure-coast", "swap-tip-off", "swap-lead-straight", "log-sound-by-ear"} <= dead
    assert not dead & {"pull-spool", "pull-torch-as-used", "measure-free-loop", "ohm-trigger-pressed", "swap-torch"}


@pytest.mark.parametrize(
    ("check", "gone", "same"),
    [
        ("swap-tip", ["tip-worn", "tip-fused", "tip-bore-small"], ["liner-kinked", "motor-worn", "polarity-wrong"]),
        ("swap-spool", ["wire-rusty", "wire-random-wound", "spool-flange-bent"], ["liner-kinked", "tip-fused"]),
        (
            "swap-torch",
            ["liner-dirty", "tip-fused", "trigger-dead"],
            ["groove-worn", "motor-worn"],
        ),
        ("swap-torch-off", ["liner-dirty", "lead-crushed", "tip-fused"], ["motor-worn", "gear-stripped"]),
        ("swap-slack-wire", ["spool-brake-tight", "spool-rub"], ["liner-kinked", "tip-fused", "groove-worn"]),
        ("swap-work-clamp", ["work-clamp-on-paint"], ["polarity-wrong", "tip-worn", "feed-speed-high"]),
    ],
)
def test_the_fault_follows_what_is_swapped(catalogue: Catalogue, check: str, gone: list[str], same: list[str]) -> None:
    shown = catalogue.shown[check]
    worst = catalogue.check(check).outcomes[-1].id
    for fault in gone:
        assert shown.get(fault, {}).get(worst, 0.0) <= 0.15, fault
    for fault in same:
        assert shown[fault][worst] >= 0.3, fault
        assert sum(shown[fault].values()) >= 0.5, fault


def test_lead_straight_and_cool_down_name_what_they_bring_out(catalogue: Catalogue) -> None:
    assert "lead-tight-loops" not in catalogue.shown["swap-lead-straight"]
    assert catalogue.shown["swap-cool-down"]["thermal-cut-out"]["comes-back"] >= 0.8
    assert catalogue.shown["swap-supply"]["supply-weak"]["same"] <= 0.2


@pytest.mark.parametrize("check", ["log-feed-speed", "log-sound-trace"])
def test_periods_point_to_roll_or_spool(catalogue: Catalogue, check: str) -> None:
    shown = catalogue.shown[check]
    assert shown["spool-rub"]["spool-turn"] > 0.5 > shown["spool-rub"].get("roll-turn", 0.0)
    assert shown["rolls-misaligned"]["roll-turn"] > 0.5
    assert shown["wire-random-wound"]["random"] > 0.5


def test_the_expected_share_of_healthy_outcomes_stays_high(catalogue: Catalogue) -> None:
    """Without any fault a check shows its normal outcome at least four times in five."""
    for check in own(catalogue):
        assert sum(check.false.values()) <= 0.2, check.id


def test_complaints_that_stop_or_lead_elsewhere_say_so(catalogue: Catalogue) -> None:
    for complaint in catalogue.complaints.values():
        assert complaint.condition, complaint.id
        assert bool(complaint.says) == (complaint.kind != "feed"), complaint.id
    assert [item.id for item in catalogue.complaints.values() if item.kind == "stop"] == ["tingle"]


def test_every_feed_complaint_is_brought_by_some_fault(catalogue: Catalogue) -> None:
    brought = {key for fault in catalogue.faults.values() for key in fault.complaints}
    assert set(catalogue.complaints) <= brought


def test_every_caution_is_shown_somewhere_and_names_who_says_so(catalogue: Catalogue) -> None:
    used = {key for item in [*catalogue.checks.values(), *catalogue.actions.values()] for key in item.cautions}
    stands_on_every_report = {"local-codes", "shock-stop"}
    assert set(catalogue.cautions) - used <= stands_on_every_report
    assert all(caution.source for caution in catalogue.cautions.values())


def test_prior_stays_a_probability_for_an_unknown_path(catalogue: Catalogue) -> None:
    assert all(0 < prior(fault, FeedPath()) < 1 for fault in catalogue.faults.values())
