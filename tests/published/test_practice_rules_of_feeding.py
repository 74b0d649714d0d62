"""Rules of the trade, end to end through the force budget. Source of every one: common practice, no source."""

import numpy as np
import pytest

from tipward.faults import load_catalogue
from tipward.mechanics import curl_bow, draw, feed_force
from tipward.model import ContactTip, DriveRolls, FeedPath, Gun, Liner, OutletGuide, TorchLead, Wire

COMMON_PRACTICE = "common practice, no source"


def path(wire_class="er70s-6", diameter_m=0.0009, length_m=4.0, turns=1.0, **parts):
    lead = TorchLead(length_m=length_m, turns=turns)
    return FeedPath(**{"wire": Wire(wire_class, diameter_m), "torch_lead": lead} | parts)


def margin(budget, name="slip"):
    return next(limit for limit in budget.limits if limit.name == name).margin.mid


def risk(budget):
    return max(limit.probability for limit in budget.limits)


def worst_margin(budget):
    return min(limit.margin.mid for limit in budget.limits)


def aluminium(wire_class="er4043", **parts):
    plain = {"liner": Liner("ptfe"), "drive_rolls": DriveRolls("u")}
    return path(wire_class, 0.0012, **plain | parts)


def test_three_metres_feed_easier_than_the_usual_four():
    three, four = feed_force(path(length_m=3.0)), feed_force(path(length_m=4.0))
    assert three.push_n.mid < four.push_n.mid, COMMON_PRACTICE
    assert margin(three) > margin(four)


def test_thin_wire_wants_the_short_lead():
    """From 3 to 4 m, thin wire loses more of its margin against lock-up and push than the usual size does."""
    cost = {}
    for diameter in (0.0006, 0.0009):
        three, four = (feed_force(path(diameter_m=diameter, length_m=length)) for length in (3.0, 4.0))
        cost[diameter] = four.push_n.mid / three.push_n.mid
    assert cost[0.0006] > cost[0.0009] > 1, COMMON_PRACTICE
    thin, usual = (feed_force(path(diameter_m=diameter)) for diameter in (0.0006, 0.0009))
    assert margin(thin, "lock-up") < margin(usual, "lock-up")


def test_softer_wire_struggles_sooner():
    """Same liner, groove and lead: the limits that know how soft a wire is, nesting and flattening, come nearer."""
    parts = {"liner": Liner("ptfe"), "drive_rolls": DriveRolls("u")}
    classes = ("er70s-6", "er5356", "er4043")
    budgets = [feed_force(path(name, 0.0012, **parts)) for name in classes]
    steel, hard, soft = (min(margin(budget, name) for name in ("collapse", "crush")) for budget in budgets)
    assert soft < hard < steel, COMMON_PRACTICE


def test_harder_aluminium_pushes_better_through_a_gap_at_the_same_stiffness():
    gap = OutletGuide(gap_m=0.010, offset_m=0.0008)
    hard, soft = (feed_force(aluminium(name, outlet_guide=gap)) for name in ("er5356", "er4043"))
    assert 1.3 < margin(hard, "collapse") / margin(soft, "collapse") < 2.2, "about 1.75 by yield: " + COMMON_PRACTICE


def test_a_tight_loop_costs_more_than_two_metres_of_length():
    base, loop, longer = (
        feed_force(path(torch_lead=TorchLead(length_m=length, turns=turns, turn_radius_m=0.15))).push_n.mid
        for length, turns in ((4.0, 0.5), (4.0, 1.5), (6.0, 0.5))
    )
    assert loop - base > longer - base, COMMON_PRACTICE


def test_a_push_pull_gun_helps_aluminium_most():
    def gained(of):
        push = feed_force(of()).push_n.mid
        return (push - feed_force(of(gun=Gun("push-pull", pull_force_n=6.0))).push_n.mid) / push

    assert gained(aluminium) > gained(path) > 0, COMMON_PRACTICE


@pytest.mark.parametrize("fault", ["groove-small", "groove-large"])
def test_groove_and_wire_want_the_same_size(fault):
    changes = [(c.field, c.op, c.low, c.mode, c.high) for c in load_catalogue().faults[fault].changes]
    right, wrong = feed_force(path()), feed_force(path(), changes=changes)
    assert margin(wrong) < margin(right), COMMON_PRACTICE
    assert risk(wrong) > risk(right)


def test_too_little_pressure_slips_and_too_much_flattens():
    light = feed_force(path(drive_rolls=DriveRolls("v", clamp_force_n=25.0)))
    heavy = feed_force(path(drive_rolls=DriveRolls("v", clamp_force_n=1500.0)))
    assert light.first_limit == "slip" and risk(light) > 0.5, COMMON_PRACTICE
    assert heavy.first_limit == "crush" and risk(heavy) > 0.5


def test_soft_wire_flattens_at_a_lighter_pressure():
    clamp = DriveRolls("u", clamp_force_n=250.0)
    soft, steel = feed_force(aluminium(drive_rolls=clamp)), feed_force(path(drive_rolls=clamp))
    crush = [next(item.probability for item in b.limits if item.name == "crush") for b in (soft, steel)]
    assert crush[0] > 0.5 > crush[1], COMMON_PRACTICE


def test_a_tip_two_tenths_too_small_stops_the_wire():
    budget = feed_force(path(diameter_m=0.0012, contact_tip=ContactTip(marked_size_m=0.0010)))
    assert budget.lock_up_share > 0.5 and budget.first_limit == "lock-up", COMMON_PRACTICE
    assert any("contact tip" in mark for mark in budget.marks)


def test_a_tip_one_step_too_large_touches_where_it_likes():
    """The curl presses the wire on the bore only while its bow is larger than the clearance."""
    pressed = {}
    for marked in (0.0009, 0.0012):
        values = draw(path(contact_tip=ContactTip(marked_size_m=marked))).values
        bow = curl_bow(values["wire.cast_diameter_m"], values["contact_tip.length_m"])
        pressed[marked] = np.mean(bow > values["contact_tip.bore_m"] - 0.0009)
    assert pressed[0.0009] > 0.6 and pressed[0.0012] < 0.5 * pressed[0.0009], COMMON_PRACTICE


def test_every_station_of_a_healthy_usual_rig_has_room_to_spare():
    budget = feed_force(path(length_m=3.0, turns=0.0))
    assert worst_margin(budget) > 2 and risk(budget) < 0.02, COMMON_PRACTICE
