"""The budget: stations in order, limits with margins, what cannot feed, what is out of range, what dominates."""

import math

import numpy as np
import pytest
from reference_path import reference_path, settled

from tipward.foundation import RangeError
from tipward.mechanics import feed_force, legs, push_force, total_turning
from tipward.model import (
    ContactTip,
    DriveRolls,
    FeedPath,
    Gun,
    Liner,
    Neck,
    OutletGuide,
    Piece,
    TorchLead,
    Wire,
    read_noun,
    to_data,
)
from tipward.reference import sources

USUAL = FeedPath(wire=Wire("er70s-6", 0.0009), torch_lead=TorchLead(4.0, 1.0))


def test_stations_rise_from_tip_to_rolls():
    budget = feed_force(USUAL)
    places = [station.from_tip_m for station in budget.stations]
    forces = [station.force_n.mid for station in budget.stations]
    assert [budget.stations[0].station, budget.stations[-1].station] == ["contact-tip", "drive-rolls"]
    assert {"neck", "torch-lead", "liner"} <= {station.station for station in budget.stations}
    assert places == sorted(places) and forces == sorted(forces)
    assert forces[-1] == budget.push_n.mid
    assert places[-1] == pytest.approx(4.0, rel=0.05)  # neck comes on top of the lead


def test_every_limit_has_its_own_margin_and_the_first_is_the_likeliest():
    budget = feed_force(USUAL)
    assert [limit.name for limit in budget.limits] == ["slip", "collapse", "lock-up", "crush", "motor"]
    likeliest = max(limit.probability for limit in budget.limits)
    assert next(limit for limit in budget.limits if limit.name == budget.first_limit).probability == likeliest
    for limit in budget.limits:
        assert 0 <= limit.probability <= 1 and limit.note


@pytest.mark.parametrize(
    ("changes", "first"),
    [
        ([("drive_rolls.grip_factor_1", "*", 0.05, 0.1, 0.2)], "slip"),
        ([("outlet_guide.offset_m", "=", 0.02, 0.03, 0.04)], "collapse"),
        ([("liner.bore_m", "*", 3.0, 3.0, 3.0), ("contact_tip.spatter_drag_n", "+", 60.0, 80.0, 90.0)], "lock-up"),
        ([("drive_rolls.clamp_force_n", "*", 5.0, 6.0, 7.0)], "crush"),
        ([("drive.motor_force_n", "*", 0.01, 0.02, 0.03)], "motor"),
    ],
)
def test_each_fault_bites_at_its_own_limit(changes, first):
    assert feed_force(USUAL, changes=changes).first_limit == first


def test_changes_raise_the_push_and_enter_the_influences():
    changed = feed_force(USUAL, changes=[("liner.friction_1", "*", 1.4, 2.0, 3.0)])
    assert changed.push_n.mid > 1.5 * feed_force(USUAL).push_n.mid
    assert changed.dominant_unknown == "liner.friction_1"


@pytest.mark.parametrize(
    ("parts", "what"),
    [
        ({"contact_tip": ContactTip(bore_m=0.0008)}, "contact tip"),
        ({"liner": Liner("steel", 0.0009)}, "liner"),
    ],
)
def test_a_bore_no_larger_than_the_wire_is_a_path_that_cannot_feed(parts, what):
    budget = feed_force(FeedPath(wire=Wire("er70s-6", 0.0009), torch_lead=TorchLead(4.0, 1.0), **parts))
    assert budget.lock_up_share == 1 and math.isinf(budget.push_n.mid) and budget.first_limit == "lock-up"
    assert any(mark == f"cannot feed: the bore of the {what} is no larger than the wire" for mark in budget.marks)


@pytest.mark.parametrize(
    ("path", "field"),
    [
        (FeedPath(wire=Wire(diameter_m=0.02)), "wire.diameter_m"),
        (FeedPath(torch_lead=TorchLead(length_m=400.0)), "torch_lead.length_m"),
        (FeedPath(liner=Liner(friction_1=3.0)), "liner.friction_1"),
        (
            FeedPath(torch_lead=TorchLead(route=(Piece(radius_m=0.005, turning_rad=1.0),))),
            "torch_lead.route.0.radius_m",
        ),
    ],
)
def test_out_of_range_is_refused_with_limit_and_source_or_marked(path, field):
    with pytest.raises(
        RangeError, match=rf"{field} = .* is outside .* \(\w+.*\); correct it, or ask for extrapolation"
    ):
        feed_force(path)
    marked = feed_force(path, 64, extrapolate=True)
    assert any(mark.startswith(f"extrapolated: {field}") for mark in marked.marks)


def test_nothing_known_still_works_with_a_wider_band():
    nothing, known = feed_force(FeedPath()), feed_force(USUAL)
    assert nothing.push_n.high / nothing.push_n.low > known.push_n.high / known.push_n.low
    assert "wire.diameter_m" in nothing.assumed and any("torch_lead.route" in item for item in nothing.assumed)


def test_everything_given_leaves_nothing_to_dominate():
    budget = feed_force(reference_path(1), 16)
    assert budget.push_n.low == pytest.approx(budget.push_n.high, rel=0.05)  # the model's own doubt alone is left
    assert {item.field for item in budget.influences} <= {"mechanics.junction_factor_1"}


def test_friction_dominates_then_tip_then_turning_when_all_are_open():
    path = FeedPath(wire=Wire("er70s-6", 0.0009), liner=Liner("steel", 0.002), torch_lead=TorchLead(4.0))
    found = [item.field for item in feed_force(path).influences]
    assert {"liner.friction_1", "contact_tip.bridge_force_n", "torch_lead.turns"} == set(found[:3])
    assert all(-1 <= item.rank_correlation <= 1 for item in feed_force(path).influences)


def test_push_pull_leaves_less_and_may_pull_the_wire_through_the_rolls():
    def budget(pull):
        return feed_force(
            FeedPath(wire=Wire("er4043", 0.0012), torch_lead=TorchLead(4.0, 1.0), gun=Gun("push-pull", pull))
        )

    assert budget(3.0).push_n.mid < budget(0.5).push_n.mid
    strong = budget(200.0)
    assert strong.push_n.high < 0 and math.isinf(strong.limits[0].margin.mid)
    assert any("pulls the wire through the drive rolls" in mark for mark in strong.marks)


def test_spool_gun_has_no_lead_to_push_through():
    gun = feed_force(FeedPath(wire=Wire("er4043", 0.0008), gun=Gun("spool gun")))
    lead = feed_force(FeedPath(wire=Wire("er4043", 0.0008)))
    assert gun.push_n.mid < lead.push_n.mid and gun.stations[-1].from_tip_m < 0.6


def test_route_is_walked_from_the_gun_back_and_turning_is_its_sum():
    route = (Piece(1.0), Piece(radius_m=0.3, turning_rad=2.0), Piece(length_m=0.6, radius_m=0.3), Piece(0.5))
    path = FeedPath(neck=Neck(0.8, 0.08), torch_lead=TorchLead(route=route))
    way = legs(path, settled(path))
    assert [round(float(leg.length_m), 3) for leg in way if np.any(np.asarray(leg.length_m) > 0.01)][:3] == [
        0.064,
        0.5,
        0.6,
    ]
    assert total_turning(way) == pytest.approx(0.8 + 2.0 + 2.0)


def test_backlash_is_clearance_times_all_turning():
    budget = feed_force(reference_path(1), 16)
    turning = math.radians(50) + math.pi / 2 + 2 * math.pi
    assert budget.backlash_m.mid == pytest.approx(0.6e-3 * turning)


def test_two_pairs_and_a_driven_idler_hold_more():
    slip = [
        feed_force(FeedPath(wire=Wire("er70s-6", 0.0009), drive_rolls=rolls)).limits[0].force_n.mid
        for rolls in (DriveRolls("v"), DriveRolls("v", idler_driven=True), DriveRolls("v", pairs=2))
    ]
    assert slip[0] < slip[1] < slip[2]


def test_a_wide_gap_nests_sooner():
    near, far = (
        next(limit for limit in feed_force(FeedPath(outlet_guide=OutletGuide(gap))).limits if limit.name == "collapse")
        for gap in (0.003, 0.030)
    )
    assert far.force_n.mid < near.force_n.mid


def test_sources_are_known_and_the_budget_survives_json():
    budget = feed_force(USUAL, 64)
    assert budget.sources and set(budget.sources) <= set(sources())
    assert read_noun(type(budget), to_data(budget), "budget") == budget


def test_same_seed_same_budget():
    assert feed_force(USUAL, 128, seed=4) == feed_force(USUAL, 128, seed=4) != feed_force(USUAL, 128, seed=5)


def test_quasi_random_draws_settle():
    """512 against 8192 draws: the middle and upper push agree within 3 %."""
    few, many = feed_force(USUAL, 512).push_n, feed_force(USUAL, 8192, seed=9).push_n
    assert few.mid == pytest.approx(many.mid, rel=0.03) and few.high == pytest.approx(many.high, rel=0.05)


def test_parts_add_up_to_the_push():
    path = reference_path(2)
    march = push_force(settled(path), path)
    assert sum(march.parts_n.values()) == pytest.approx(float(march.push_n))
