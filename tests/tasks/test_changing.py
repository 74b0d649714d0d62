"""A change of wire as a walk: parts with reasons, order, cautions, and the path when it is done."""

from dataclasses import replace
from pathlib import Path

import pytest

from tipward import tasks
from tipward.foundation import InputError
from tipward.matching import fit
from tipward.model import ContactTip, DriveRolls, FeedPath, Liner, Wire, read_setup

EXAMPLES = Path(__file__).parents[2] / "examples"
STEEL = read_setup(EXAMPLES / "rig-steel-0.9.toml")
SOFT = FeedPath(wire=Wire("er4043", 0.0012))


@pytest.fixture
def shop(tmp_path):
    return tasks.open_shop(tmp_path / "book.db")


def standing(walk):
    return {line.part: line.standing for line in walk.lines()}


def test_steel_to_aluminium_changes_everything_that_marks_or_dirties_soft_wire(shop):
    walk = tasks.walk_wire(shop, STEEL, SOFT)
    must = {part for part, how in standing(walk).items() if how == "must change"}
    assert {"groove form", "groove size", "guides", "liner material", "tip bore", "tip mark", "gas"} <= must
    assert standing(walk)["polarity"] == "stays"
    assert {part for part, how in standing(walk).items() if how == "set anew"} == {"clamp force", "spool brake"}
    assert all(line.reason and line.grade and line.source for line in walk.lines())


def test_the_path_afterwards_suits_but_for_what_no_part_can_mend(shop):
    walk = tasks.walk_wire(shop, STEEL, SOFT)
    assert (
        [item.fault for item in walk.left] == ["lead-too-long"] == [item.fault for item in fit(walk.after).mismatches]
    )
    assert walk.after.liner.material != "steel" and walk.after.liner.carried is None
    assert walk.after.drive_rolls.clamp_force_n is None and walk.after.settings.feed_speed_m_per_s is None
    assert walk.kept_n.mid == float("inf") > walk.after_n.mid > 0


def test_a_full_new_set_up_is_followed_and_leaves_nothing(shop):
    new = read_setup(EXAMPLES / "rig-aluminium-1.2.toml")
    walk = tasks.walk_wire(shop, STEEL, new)
    assert walk.left == () and standing(walk)["torch lead"] == "must change"
    assert walk.after.torch_lead == new.torch_lead and walk.after.name == STEEL.name


def test_a_part_chosen_wrong_in_the_new_set_up_is_not_taken(shop):
    walk = tasks.walk_wire(shop, STEEL, replace(SOFT, drive_rolls=DriveRolls(groove="knurled", groove_size_m=0.0012)))
    assert walk.after.drive_rolls.groove == "u"


def test_a_liner_of_the_right_kind_that_carried_steel_is_replaced(shop):
    path = replace(STEEL, liner=Liner("ptfe", 0.002))
    walk = tasks.walk_wire(shop, path, replace(SOFT, liner=Liner("ptfe", 0.002)))
    line = next(line for line in walk.lines() if line.part == "liner material")
    assert line.standing == "must change" and "Dust of carbon steel" in line.reason


def test_unknown_parts_are_looked_at_not_called_wrong(shop):
    walk = tasks.walk_wire(shop, FeedPath(wire=Wire("er70s-6", 0.0009)), FeedPath(wire=Wire("er70s-6", 0.0012)))
    assert standing(walk)["groove size"] == standing(walk)["tip bore"] == "look"
    assert standing(walk)["guides"] == "stays"


def test_the_same_wire_again_keeps_its_speed_and_changes_nothing(shop):
    walk = tasks.walk_wire(shop, STEEL, FeedPath(wire=STEEL.wire))
    assert "must change" not in standing(walk).values()
    assert walk.after.settings == STEEL.settings and walk.after.contact_tip == STEEL.contact_tip


def test_the_order_threads_with_the_tip_off_and_the_lead_straight_and_measures_last(shop):
    order = [step.id for step in tasks.walk_wire(shop, STEEL, SOFT).steps]
    before = [("old-wire", "rolls"), ("lead", "thread"), ("liner", "thread"), ("circuit", "thread"), ("thread", "tip")]
    before += [("thread", "clamp"), ("pull-torch-one-loop", "tip"), ("tip", "pull-torch-straight")]
    assert [pair for pair in before if order.index(pair[0]) > order.index(pair[1])] == []
    assert order[-1] == "measure-feed-ratio"


def test_every_step_has_its_cautions_and_a_reading_its_band(shop):
    steps = {step.id: step for step in tasks.walk_wire(shop, STEEL, SOFT).steps}
    assert all(step.cautions and step.instructions for step in steps.values())
    assert set(steps["thread"].cautions) >= {"jog-only", "live-wire", "wire-end", "eyes", "nip"}
    assert all("power-off" in steps[name].cautions for name in ("ready", "rolls", "guides", "liner", "spool", "tip"))
    known = set(shop.catalogue.cautions)
    assert [one for step in steps.values() for one in step.cautions if one not in known] == []
    bands = [step.measured.expected for step in steps.values() if step.measured is not None]
    assert len(bands) == 3 and all(band.low < band.mid < band.high for band in bands)


def test_a_step_that_was_not_done_leaves_its_part_as_it_was(shop):
    walk = tasks.walk_wire(shop, STEEL, SOFT)
    path = tasks.path_after(walk, ["tip", "liner"])
    assert path.contact_tip == STEEL.contact_tip and path.drive_rolls.groove == "u"
    assert path.liner.material == "steel" and path.liner.carried == "er70s-6"
    assert {"tip-bore-small", "liner-material-wrong"} <= {item.fault for item in fit(path).mismatches}


@pytest.mark.parametrize(
    ("wire", "said"),
    [
        (Wire(), ["wire.wire_class: is missing", "wire.diameter: is missing"]),
        (Wire("er70s-6"), ["wire.diameter: is missing"]),
        (Wire("spaghetti", 0.0012), ["'spaghetti' is not known here"]),
    ],
)
def test_a_new_wire_that_is_not_said_is_refused(shop, wire, said):
    with pytest.raises(InputError) as refused:
        tasks.walk_wire(shop, STEEL, FeedPath(wire=wire, contact_tip=ContactTip(bore_m=0.0014)))
    assert [text for text in said if text not in str(refused.value)] == []
