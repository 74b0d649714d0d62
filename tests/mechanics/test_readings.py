"""Readings: each depends on exactly the fields that it says, rises where it must, and refuses what it does not know."""

import numpy as np
import pytest

from tipward.foundation import NotKnownError
from tipward.mechanics import READINGS, change, draw, measure, numeric_fields
from tipward.model import DriveRolls, FeedPath, Gun, TorchLead, Wire

# A path on which every mechanism is awake: it slips in some draws, has a gun that pulls, rubs, kinks and extra bends.
AWAKE = FeedPath(
    wire=Wire("e71t-11"),
    gun=Gun("push-pull", pull_force_n=2.0),
    drive_rolls=DriveRolls("v"),
    torch_lead=TorchLead(4.0, 1.0),
)
NUDGED = {
    "spool.rub_drag_n": 3.0,
    "spool.snag_drag_n": 3.0,
    "liner.kink_drag_n": 5.0,
    "contact_tip.spatter_drag_n": 4.0,
    "torch_lead.extra_turning_rad": 2.0,
}


def awake():
    """Two sets of values: between them every mechanism is at work (a sharp groove, springy wire, a weak motor)."""
    values = draw(AWAKE, 256).values
    for field, size in NUDGED.items():
        values = change(values, field, "+", size)
    yield change(change(values, "drive_rolls.clamp_force_n", "*", 2.0), "drive.motor_force_n", "*", 0.5)
    sharp = change(values, "drive_rolls.groove_half_angle_rad", "*", 0.5)
    yield change(change(sharp, "wire.yield_pa", "*", 4.0), "drive.motor_force_n", "*", 0.02)


def contexts():
    yield from ((name, {}) for name in READINGS)
    for tip in ("on", "off"):
        for lead in ("as-is", "straight", "one-loop"):
            yield from (("pull-through-torch", {"tip": tip, "lead": lead, "spool": spool}) for spool in ("on", "off"))
        yield from (("feed-ratio", {"tip": tip, "lead": lead}) for lead in ("as-is", "straight"))
    yield "fed-speed-ratio", {"torch": "off"}


@pytest.mark.parametrize(("reading", "context"), list(contexts()), ids=str)
def test_a_reading_moves_with_the_fields_that_it_names_and_with_no_other(reading, context):
    named = READINGS[reading].fields(context)
    for field in numeric_fields():
        moved = False
        for values in awake():
            if field in values:
                after = measure(reading, change(values, field, "*", 1.07), AWAKE, context)
                moved |= bool(np.any(after != measure(reading, values, AWAKE, context)))
        assert moved == (field in named), field


def test_readings_have_units_meanings_and_grades():
    from tipward.foundation import GRADES

    assert {spec.unit for spec in READINGS.values()} <= {"N", "1", "m", "ohm", "V"}
    assert all(spec.meaning and spec.source and spec.grade in GRADES for spec in READINGS.values())


def test_the_catalogue_asks_only_for_readings_that_exist():
    from tipward.faults import load_catalogue

    checks = [check for check in load_catalogue().checks.values() if check.reading is not None]
    assert len(checks) > 20
    path, values = FeedPath(), draw(FeedPath(), 8).values
    for check in checks:
        assert READINGS[check.reading.name].unit == check.reading.unit, check.id
        assert np.isfinite(measure(check.reading.name, values, path, dict(check.reading.context))).all(), check.id


def mean(reading, values, context=None, path=None):
    return float(np.mean(measure(reading, values, path or FeedPath(torch_lead=TorchLead(4.0, 1.0)), context)))


def values_of_usual(**changes):
    values = draw(FeedPath(wire=Wire("er70s-6", 0.0009), torch_lead=TorchLead(4.0, 1.0)), 256).values
    for field, (op, size) in changes.items():
        values = change(values, field.replace("__", "."), op, size)
    return values


def test_pull_through_the_torch_is_ordered_as_the_trade_finds_it():
    values = values_of_usual()
    off = {
        lead: mean("pull-through-torch", values, {"tip": "off", "lead": lead, "spool": "off"})
        for lead in ("straight", "one-loop")
    }
    assert off["straight"] < off["one-loop"]
    on = mean("pull-through-torch", values, {"tip": "on", "lead": "straight", "spool": "off"})
    with_spool = mean("pull-through-torch", values, {"tip": "on", "lead": "straight", "spool": "on"})
    assert off["straight"] < on < with_spool


def test_feed_ratio_creeps_below_the_grip_and_falls_past_it():
    healthy = measure("feed-ratio", values_of_usual(), FeedPath(torch_lead=TorchLead(4.0, 1.0)))
    assert np.median(healthy) > 0.99  # creep only: judgement, at most 2 % at full grip
    tired = mean("feed-ratio", values_of_usual(drive_rolls__grip_factor_1=("*", 0.10)))
    stuck = mean("feed-ratio", values_of_usual(contact_tip__spatter_drag_n=("+", 300.0)))
    assert stuck < 0.01 < tired < 0.9


def test_no_grip_at_all_reads_nought_and_not_nonsense():
    values = values_of_usual(drive_rolls__clamp_force_n=("=", 0.0))
    assert mean("feed-ratio", values) == 0.0 and mean("slip-pull", values) == 0.0
    assert mean("fed-speed-ratio", values) == 0.0


def test_spread_grows_with_slip_and_with_snags():
    quiet = mean("feed-spread", values_of_usual())
    assert quiet < 0.03
    assert mean("feed-spread", values_of_usual(drive_rolls__grip_factor_1=("*", 0.15))) > 3 * quiet
    assert mean("feed-spread", values_of_usual(spool__snag_drag_n=("+", 15.0))) > quiet


def test_fed_speed_follows_the_drive_with_the_torch_off():
    slow = values_of_usual(drive__speed_factor_1=("*", 0.8))
    assert mean("fed-speed-ratio", slow, {"torch": "off"}) == pytest.approx(0.8, rel=0.01)  # creep under 1 %
    weak = values_of_usual(drive__motor_force_n=("*", 0.05))
    assert mean("fed-speed-ratio", weak, {"torch": "on"}) < 0.9 < mean("fed-speed-ratio", weak, {"torch": "off"})


def test_a_loose_brake_coasts_and_a_free_one_coasts_without_end():
    assert mean("coast", values_of_usual(spool__brake_torque_n_m=("*", 0.2))) == pytest.approx(
        5 * mean("coast", values_of_usual())
    )
    assert np.isposinf(measure("coast", values_of_usual(spool__brake_torque_n_m=("=", 0.0)), FeedPath())).all()


def test_ovality_of_a_pressed_tube():
    path = FeedPath(wire=Wire("e71t-11", 0.0012))
    values = draw(path, 64).values
    heavy = change(values, "drive_rolls.clamp_force_n", "*", 4.0)
    assert (
        mean("ovality", heavy, path=path) > 10 * mean("ovality", values, path=path)
        or mean("ovality", values, path=path) > 1e-5
    )


@pytest.mark.parametrize(
    ("reading", "context", "message"),
    [
        ("pull-of-moon", {}, "no reading 'pull-of-moon'; there are: pull-off-spool"),
        ("feed-ratio", {"tip": "bent"}, "has no context tip = 'bent'; there are: lead: as-is, straight; tip: on, off"),
        ("ovality", {"tip": "on"}, "there are: none"),
    ],
)
def test_unknown_readings_and_contexts_are_refused(reading, context, message):
    with pytest.raises(NotKnownError, match=message):
        measure(reading, values_of_usual(), FeedPath(), context)
