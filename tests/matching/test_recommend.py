"""The recommended set-up: whole, sourced, windows that follow from the physics, and free of own mismatches."""

import math

import numpy as np
import pytest
from matched_paths import HEALTHY, changed

from tipward.foundation import GRADES
from tipward.matching import fit, recommend
from tipward.matching.recommending import suited
from tipward.matching.windows import loads
from tipward.mechanics import draw, grip_of, ovality_of
from tipward.model import DriveRolls, FeedPath, Settings, Spool, TorchLead, Wire
from tipward.reference import sources

LINES = (
    "groove form", "groove size", "guides", "liner material", "liner bore", "tip bore", "tip mark", "polarity", "gas",
    "torch lead", "gun", "clamp force", "spool brake",
)  # fmt: skip
WIRES = [
    ("er70s-6", 0.0006), ("er70s-6", 0.0009), ("er70s-6", 0.0012), ("er316lsi", 0.0010), ("er4043", 0.0012),
    ("er5356", 0.0016), ("cusi3", 0.0010), ("e70c-6m", 0.0012), ("e71t-1m", 0.0012), ("e71t-11", 0.0009),
    ("E81T1-Ni1C", 0.0012), ("gasless", 0.0009), ("G 46 4 M21 3Si1", 0.0008),
]  # fmt: skip


def lines(wire, **parts):
    return {item.line: item for item in recommend(FeedPath(wire=wire, **parts)).lines}


@pytest.mark.parametrize(("wire_class", "wire_m"), WIRES)
def test_every_line_is_there_with_reason_grade_and_source(wire_class, wire_m):
    found = recommend(FeedPath(wire=Wire(wire_class, wire_m)))
    assert tuple(item.line for item in found.lines) == LINES
    for item in found.lines:
        assert item.text and item.reason.endswith(".") and item.grade in GRADES
        assert item.source in sources() and item.source in found.sources
        assert (item.low is None) == (item.high is None)
        assert item.low is None or (math.isfinite(item.low) and item.low <= item.high and item.unit)
    assert set(found.sources) <= set(sources())


@pytest.mark.parametrize(("wire_class", "wire_m"), WIRES)
def test_the_recommended_parts_have_no_mismatch(wire_class, wire_m):
    assert fit(suited(FeedPath(wire=Wire(wire_class, wire_m)))).mismatches == ()


def test_what_the_wire_leaves_open_is_left_out():
    assert tuple(lines(Wire())) == ("torch lead", "spool brake")
    assert "clamp force" not in lines(Wire("er70s-6")) and "groove form" in lines(Wire("er70s-6"))
    assert "tip bore" in lines(Wire(diameter_m=0.0009)) and "polarity" not in lines(Wire(diameter_m=0.0009))


FORMS = [
    ("er70s-6", "smooth V", "steel spiral", "steel"), ("er316lsi", "smooth V", "polyamide", "steel"),
    ("er4043", "U", "PTFE", "plastic"), ("e71t-11", "knurled", "steel spiral", "steel"),
    ("e70c-6m", "smooth V", "steel spiral", "steel"),
]  # fmt: skip


@pytest.mark.parametrize(("wire_class", "groove", "liner", "guides"), FORMS)
def test_groove_liner_and_guides_by_wire_form(wire_class, groove, liner, guides):
    """Common practice, no source."""
    found = lines(Wire(wire_class, 0.0012))
    assert found["groove form"].text == groove
    assert liner in found["liner material"].text and guides in found["guides"].text


def test_where_bands_overlap_the_smaller_bore_first_unless_cored_or_dusty():
    """Common practice, no source: 1.2 mm lies in two bands."""
    solid, cored, dusty, thin = (
        lines(wire)["liner bore"]
        for wire in (
            Wire("er70s-6", 0.0012),
            Wire("e71t-11", 0.0012),
            Wire("er70s-6", 0.0012, condition="dusty"),
            Wire("e71t-11", 0.0009),
        )
    )
    assert "2 mm" in solid.text and "red" in solid.text
    assert "2.5 mm" in cored.text and "2.5 mm" in dusty.text and "2 mm" in thin.text


def test_thin_wire_wants_the_3_m_lead():
    """Common practice, no source."""
    assert lines(Wire("er70s-6", 0.0006))["torch lead"].high == 3.0
    assert "push–pull" in lines(Wire("er70s-6", 0.0006), torch_lead=TorchLead(length_m=4.0))["gun"].text
    assert lines(Wire("er70s-6", 0.0009), torch_lead=TorchLead(length_m=4.0))["gun"].text == "push"


def test_push_pull_is_for_aluminium_past_its_length():
    """Common practice, no source: a push-pull gun helps aluminium most."""
    short, long = (lines(Wire("er4043", 0.0012), torch_lead=TorchLead(length_m=m))["gun"].text for m in (3.0, 5.0))
    assert short.startswith("push will do") and "push–pull" in long


def clamp(path):
    return next(item for item in recommend(path).lines if item.line == "clamp force")


def test_lower_end_of_the_clamp_holds_twice_the_drag_and_upper_end_leaves_the_wire_round():
    path = suited(HEALTHY["steel"])
    window, found = clamp(path), loads(path)
    grip = np.broadcast_to(grip_of(found.draws, path, window.low), (found.draws.n,))
    assert np.mean(grip >= 2 * found.drag_n) == pytest.approx(0.95, abs=0.01)
    at_high = changed(path, drive_rolls__clamp_force_n=window.high)
    drawn = draw(at_high, n=256, seed=1)
    room = np.minimum(drawn.values["mechanics.allowed_ovality_m"], drawn.values["contact_tip.bore_m"] - 0.0009)
    assert np.mean(ovality_of(drawn, at_high) <= room * (1 + 1e-6)) == pytest.approx(0.95, abs=0.01)


def test_softer_wire_bears_less_clamp_and_two_pairs_need_less_of_it():
    hard, soft = (clamp(FeedPath(wire=Wire(key, 0.0012))) for key in ("er70s-6", "er4043"))
    assert soft.high < hard.high
    one, two = (clamp(FeedPath(wire=Wire("er70s-6", 0.0009), drive_rolls=DriveRolls(pairs=pairs))) for pairs in (1, 2))
    assert two.low == pytest.approx(one.low / 2)


def test_more_turns_of_the_lead_ask_for_more_clamp():
    lows = [clamp(FeedPath(wire=Wire("er70s-6", 0.0009), torch_lead=TorchLead(4.0, turns))).low for turns in (0, 1, 2)]
    assert lows == sorted(lows) and lows[2] > 1.5 * lows[0]


def test_a_path_that_leaves_no_clamp_force_says_so():
    bound = FeedPath(wire=Wire("er4043", 0.0009), torch_lead=TorchLead(length_m=6.0, turns=3, turn_radius_m=0.15))
    window = clamp(bound)
    assert "No clamp force does both" in window.reason or "Narrow" in window.reason
    assert math.isfinite(window.low) and math.isfinite(window.high)


def brake(**parts):
    return lines(Wire("er70s-6", 0.0009), **parts)["spool brake"]


def test_brake_of_the_worked_example():
    """Own derivation, the worked figures of the spool: 15 kg, .145/.106 m, 10 m/min, overrun 20 mm: 1.1588 N m."""
    found = brake(spool=Spool("S300", wire_left_kg=15.0), settings=Settings(feed_speed_m_per_s=10 / 60))
    assert found.low == pytest.approx(1.1588, abs=5e-5)
    assert found.high == pytest.approx(2 * found.low)
    assert found.grade == "design"  # the slack that a stop may leave is a choice of this tool


def test_brake_rises_with_the_square_of_speed_and_falls_as_the_spool_empties():
    slow, fast = (brake(settings=Settings(feed_speed_m_per_s=speed)) for speed in (0.1, 0.2))
    assert fast.low == pytest.approx(4 * slow.low)
    full, empty = (brake(spool=Spool("S300", wire_left_kg=left)) for left in (15.0, 1.0))
    assert empty.low < full.low / 5


def test_a_drum_has_no_brake_and_an_empty_spool_needs_none():
    assert brake(spool=Spool("drum")).low is None
    assert brake(spool=Spool("S300", wire_left_kg=0.0)).low == 0.0
