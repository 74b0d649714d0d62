"""Draws: given fields fixed, unknown ones common, reproducible and from their ranges; changes leave the rest alone."""

import numpy as np
import pytest

from tipward.foundation import NotKnownError
from tipward.mechanics import UNKNOWNS, change, draw, numeric_fields, range_of
from tipward.model import FeedPath, Spool, Wire

PATH = FeedPath(wire=Wire("er70s-6", 0.0009))


def test_given_fields_are_numbers_and_unknown_ones_arrays():
    draws = draw(PATH, 16)
    assert draws.values["wire.diameter_m"] == 0.0009 and "wire.diameter_m" not in draws.assumed
    assert draws.values["liner.friction_1"].shape == (16,) and "liner.friction_1" in draws.assumed
    assert draws.values["spool.rub_drag_n"] == 0.0  # healthy, not assumed
    assert set(draws.assumed) <= set(UNKNOWNS)


def test_same_seed_same_draws_other_seed_others():
    first, second, other = draw(PATH, 32, 1), draw(PATH, 32, 1), draw(PATH, 32, 2)
    assert np.array_equal(first.values["liner.friction_1"], second.values["liner.friction_1"])
    assert not np.array_equal(first.values["liner.friction_1"], other.values["liner.friction_1"])


def test_extra_names_have_uniforms_of_their_own():
    draws = draw(PATH, 256, extra=("dirt", "kink"))
    assert set(draws.uniforms) == {"dirt", "kink"}
    for uniform in draws.uniforms.values():
        assert uniform.min() >= 0 and uniform.max() <= 1
        assert uniform.mean() == pytest.approx(0.5, abs=0.01)  # Sobol points fill evenly
    assert abs(np.corrcoef(draws.uniforms["dirt"], draws.uniforms["kink"])[0, 1]) < 0.1


def test_draws_keep_to_their_range_and_its_mean():
    draws, number = draw(PATH, 512), range_of("liner.friction_1", PATH).number
    drawn = draws.values["liner.friction_1"]
    assert number.low <= drawn.min() and drawn.max() <= number.high
    assert drawn.mean() == pytest.approx((number.low + number.value + number.high) / 3, rel=2e-3)


def test_any_number_of_draws_works_and_none_is_refused():
    assert draw(PATH, 1).values["liner.friction_1"].shape == (1,)
    assert draw(PATH, 300).values["liner.friction_1"].shape == (300,)
    with pytest.raises(ValueError, match="n = 0 draws; give 1 or more"):
        draw(PATH, 0)


def test_radius_follows_from_form_and_wire_left():
    full = draw(FeedPath(spool=Spool("S300", wire_left_kg=15.0)), 4)
    nearly_empty = draw(FeedPath(spool=Spool("S300", wire_left_kg=0.2)), 4)
    assert full.values["spool.take_off_radius_m"] == pytest.approx(0.145)
    assert nearly_empty.values["spool.take_off_radius_m"] == pytest.approx(0.106, abs=0.001)
    assert "spool.take_off_radius_m" not in full.assumed


def test_change_multiplies_adds_sets_and_leaves_the_rest():
    values = {"liner.friction_1": 0.2, "liner.kink_drag_n": 0.0}
    assert change(values, "liner.friction_1", "*", 2.0) == {"liner.friction_1": 0.4, "liner.kink_drag_n": 0.0}
    assert change(values, "liner.kink_drag_n", "+", 3.0)["liner.kink_drag_n"] == 3.0
    assert change(values, "liner.bore_m", "=", 0.002)["liner.bore_m"] == 0.002
    assert values == {"liner.friction_1": 0.2, "liner.kink_drag_n": 0.0}


def test_change_takes_any_shape_that_broadcasts():
    values = draw(PATH, 8).values
    assert change(values, "liner.friction_1", "*", np.ones((5, 1)))["liner.friction_1"].shape == (5, 8)
    assert change(values, "wire.diameter_m", "*", np.ones((5, 8)))["wire.diameter_m"].shape == (5, 8)


@pytest.mark.parametrize(("field", "op"), [("liner.colour_1", "*"), ("liner.material", "="), ("liner.bore_m", "/")])
def test_change_refuses_what_it_does_not_know(field, op):
    with pytest.raises(NotKnownError, match=r"no (numeric field|operation)"):
        change({}, field, op, 1.0)


def test_a_field_nobody_knows_and_nothing_reads_stays_unknown():
    assert "settings.voltage_v" not in change(draw(PATH, 4).values, "settings.voltage_v", "*", 1.1)


def test_every_field_that_the_catalogue_changes_is_there():
    from tipward.faults import load_catalogue

    values = draw(PATH, 4).values
    fields = {step.field for fault in load_catalogue().faults.values() for step in fault.changes}
    assert fields and fields <= set(numeric_fields())
    assert fields - set(values) == set()
