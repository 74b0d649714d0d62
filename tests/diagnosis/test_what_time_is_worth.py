"""What time is worth: parts and waiting are weighed in minutes of work and standstill."""

from dataclasses import replace
from datetime import datetime

import pytest

from tipward.faults import load_catalogue
from tipward.model import Case, FeedPath, Finding, Opened, Page, Place
from tipward.planning import fixes, set_out
from tipward.planning.options import action_parts


def case_at(place: Place, *findings: tuple[str, str]) -> Case:
    entries = [Opened(FeedPath(), ("jog-works-trigger-not",), place), *(Finding(*said) for said in findings)]
    pages = tuple(Page(n, f"k{n}", datetime(2026, 1, 1), entry) for n, entry in enumerate(entries, 1))
    return Case("c", pages)


def test_parts_cost_fewer_minutes_where_an_hour_is_dearer():
    """Price of the parts over the money of a minute: by hand, 20 over (60 + 180) / 60 = 5 min."""
    action = load_catalogue().actions["fit-new-tip"]
    priced = replace(action, parts=(replace(action.parts[0], price_low=15.0, price_high=25.0),))
    assert action_parts(priced, Place()) == pytest.approx(20.0)
    assert action_parts(priced, Place(work_per_hour=60.0, standstill_per_hour=180.0)) == pytest.approx(5.0)


def test_the_wait_for_service_counts_only_where_the_machine_stands():
    """A wait of 12 h at 60 an hour of standstill costs 720; at (30 + 60) / 60 a minute that is 480 min."""
    action = load_catalogue().actions["send-torch-for-service"]
    free = replace(action, parts=(), away_hours=replace(action.away_hours, low=6.0, mode=12.0, high=18.0))
    assert action_parts(free, Place(work_per_hour=30.0)) == 0.0
    assert action_parts(free, Place(work_per_hour=30.0, standstill_per_hour=60.0)) == pytest.approx(480.0)


def test_every_service_says_how_long_the_machine_stands():
    actions = load_catalogue().actions.values()
    assert {item.id for item in actions if item.kind == "service"} == {item.id for item in actions if item.away_hours}


def test_a_torch_from_the_shelf_comes_first_where_the_machine_stands():
    """The repair of the torch is cheaper; where an hour of standstill costs 30, the wait for it is not."""
    said = (
        ("jog-inside", "feeds"),
        ("ohm-trigger-flexed", "opens"),
        ("hand-trigger-leads", "open"),
        ("look-trigger-contacts", "sound"),
    )
    catalogue = load_catalogue()
    first = {
        rate: fixes(catalogue, set_out(catalogue, case_at(Place(standstill_per_hour=rate), *said)))[0].action
        for rate in (0.0, 30.0)
    }
    assert first == {0.0: "send-torch-for-service", 30.0: "replace-torch"}
