"""Laws of the march: it never falls when drag rises, it has the right limits, it scales, and arrays equal loops."""

import math
import sys
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tipward.mechanics import (
    MODEL_UNKNOWNS,
    READINGS,
    UNKNOWNS,
    backlash,
    belt_power,
    capstan,
    capstan_friction,
    change,
    draw,
    elastic_radius,
    euler_load,
    feed_force,
    flat_depth,
    grip,
    helical_contact,
    hinge_collapse,
    junction_drag,
    measure,
    plastic_bending_drag,
    pull_force,
    push_force,
    triangular,
)
from tipward.model import FeedPath, Gun, Piece, TorchLead, Wire

sys.path.insert(0, str(Path(__file__).parents[1] / "mechanics"))
from reference_path import reference_path, settled

FRICTION = st.floats(0.02, 0.6)
ANGLE = st.floats(0.0, 12.0)
PUSH = st.floats(0.1, 200.0)
RISING = {
    "liner.friction_1": (0.05, 0.6),
    "neck.turning_rad": (0.0, 2.0),
    "torch_lead.extra_turning_rad": (0.0, 12.0),
    "contact_tip.bridge_force_n": (0.0, 30.0),
    "contact_tip.spatter_drag_n": (0.0, 100.0),
    "contact_tip.friction_1": (0.05, 1.0),
    "liner.kink_drag_n": (0.0, 60.0),
    "torch_lead.length_m": (3.0, 12.0),
}


# On the assumed route loops take their length from the straights of a lead of fixed length, and so from the helix there:
# more angle is then also less straight. The law is about angle alone, so it is tried on a route given piece by piece.
_FREE = {"torch_lead.extra_turning_rad": ("route",)}


@pytest.mark.parametrize("field", RISING)
@given(data=st.data())
@settings(max_examples=40, deadline=None)
def test_push_never_falls_when_drag_rises(field, data):
    low, high = RISING[field]
    sizes = np.sort(np.array([data.draw(st.floats(low, high)) for _ in range(6)]))[:, None]
    path = data.draw(
        st.sampled_from([PATHS[name] for name in _FREE.get(field, ("one turn", "thin", "route", "push-pull"))])
    )
    push = np.broadcast_to(push_force(change(DRAWN[path.name].values, field, "=", sizes), path).push_n, (6, 32))
    with np.errstate(invalid="ignore"):
        falls = np.nan_to_num(np.diff(push, axis=0), nan=0.0)  # inf - inf: both locked up
    assert falls.min() >= -1e-9 * np.abs(push[np.isfinite(push)]).max(initial=1.0)


ROUTE = (Piece(1.0), Piece(radius_m=0.2, turning_rad=3.0), Piece(0.6), Piece(radius_m=0.4, turning_rad=1.5), Piece(1.0))
PATHS = {
    "one turn": FeedPath("one turn", Wire("er70s-6", 0.0009), torch_lead=TorchLead(4.0, 1.0)),
    "thin": FeedPath("thin", Wire("er70s-6", 0.0006), torch_lead=TorchLead(4.0, 0.5)),
    "route": FeedPath("route", Wire("er4043", 0.0012), torch_lead=TorchLead(route=ROUTE)),
    "push-pull": FeedPath("push-pull", Wire("er5356", 0.0012), torch_lead=TorchLead(4.0, 1.0), gun=Gun("push-pull")),
    "spool gun": FeedPath("spool gun", Wire("er4043", 0.0008), gun=Gun("spool gun")),
    "tubular": FeedPath("tubular", Wire("e71t-11", 0.0012), torch_lead=TorchLead(3.0, 0.5)),
    "nothing known": FeedPath("nothing known"),
}
DRAWN = {name: draw(path, 32, seed=3) for name, path in PATHS.items()}


@given(friction=FRICTION, angle=ANGLE, force=st.floats(-200.0, 200.0), part=st.floats(0.0, 1.0))
def test_a_bend_in_two_parts_is_the_bend(friction, angle, force, part):
    """Euler's limit: only the total angle counts, and no angle changes nothing."""
    parts = capstan(capstan(force, friction, part * angle), friction, (1 - part) * angle)
    assert parts == pytest.approx(capstan(force, friction, angle), rel=1e-9)
    assert capstan(force, friction, 0.0) == force


@given(friction=FRICTION, force=PUSH, length=st.floats(0.1, 10.0), part=st.floats(0.05, 0.95))
def test_a_straight_in_two_parts_is_the_straight(friction, force, length, part):
    def over(before, piece):
        return helical_contact(before, friction, 3e-4, piece, 6.7e-3)

    whole, parts = over(force, length), over(over(force, part * length), (1 - part) * length)
    if np.isfinite(whole) and force / whole > 1e-6:
        assert parts == pytest.approx(whole, rel=1e-6)


@given(force=st.floats(1e-6, 1e-4), friction=FRICTION)
def test_helix_vanishes_with_the_push(force, friction):
    assert helical_contact(force, friction, 3e-4, 4.0, 6.7e-3) == pytest.approx(force, rel=1e-4)


@given(radius=st.floats(0.02, 2.0), limit=st.floats(1e8, 1.2e9), diameter=st.floats(0.0006, 0.0024))
def test_plastic_drag_is_nought_above_the_elastic_radius_and_grows_below(radius, limit, diameter):
    edge = elastic_radius(207e9, limit, diameter)
    drag = plastic_bending_drag(207e9, limit, diameter, radius)
    if radius >= edge:
        assert drag == 0.0
    else:
        assert drag >= 0.0
        assert plastic_bending_drag(207e9, limit, diameter, 0.9 * radius) > drag


def test_plastic_drag_equals_the_sum_over_fibres():
    """Second method: march each fibre through straight, bent, straight, and add up its work."""
    young, limit, diameter = 207e9, 850e6, 0.0009
    for radius in (0.030, 0.045, 0.060, 0.075, 0.100):
        height = (np.arange(4000) + 0.5) / 4000 * diameter - diameter / 2
        width = 2 * np.sqrt((diameter / 2) ** 2 - height**2)
        stress, work = np.zeros_like(height), np.zeros_like(height)
        way = np.concatenate([np.linspace(0, 1, 1500), np.linspace(1, 0, 1500)[1:]])
        for before, after in pairwise(way):
            step = (after - before) / radius * height
            new = np.clip(stress + young * step, -limit, limit)
            work += (stress + new) / 2 * step
            stress = new
        assert plastic_bending_drag(young, limit, diameter, radius) == pytest.approx(
            float(np.sum(work * width) * diameter / 4000), rel=5e-3
        )  # 4000 fibres, 1500 steps


@given(scale=st.floats(0.1, 10.0))
def test_scaling_all_stiffness_and_holds_scales_the_push(scale):
    """Without weight, force has one scale: E, Y and the tip's hold times s make the push times s."""
    path = reference_path(1)
    base = {**settled(path), "wire.density_kg_per_m3": 1e-9}
    scaled = base
    for field in ("wire.young_pa", "wire.yield_pa", "contact_tip.bridge_force_n"):
        scaled = change(scaled, field, "*", scale)
    assert push_force(scaled, path).push_n == pytest.approx(scale * push_force(base, path).push_n, rel=1e-6)


def test_no_friction_no_drag_but_the_tip_and_the_set():
    path = reference_path(2)
    values = change(settled(path), "liner.friction_1", "=", 1e-12)
    march = push_force(values, path)
    assert march.push_n == pytest.approx(1.5 + march.parts_n["plastic"], rel=1e-9)


@pytest.mark.parametrize("name", PATHS)
def test_many_sets_at_once_equal_a_loop_over_them(name):
    path, drawn = PATHS[name], DRAWN[name]
    random = np.random.default_rng(5)
    factors = random.uniform(0.5, 2.0, (7, 32))
    extra = random.uniform(0.0, 6.0, (7, 1))
    values = change(change(drawn.values, "liner.friction_1", "*", factors), "torch_lead.extra_turning_rad", "+", extra)
    for reading in READINGS:
        together = np.broadcast_to(measure(reading, values, path), (7, 32))
        for row in range(7):
            for column in (0, 13, 31):
                one = {
                    field: value if np.ndim(value) == 0 else float(np.broadcast_to(value, (7, 32))[row, column])
                    for field, value in values.items()
                }
                assert measure(reading, one, path) == pytest.approx(together[row, column], rel=1e-12), reading


@pytest.mark.parametrize("name", PATHS)
def test_no_reading_is_nan_and_bands_are_in_order(name):
    for reading, spec in READINGS.items():
        values = measure(reading, DRAWN[name], PATHS[name])
        assert not np.isnan(values).any(), (reading, spec.meaning)
        assert (np.asarray(values) >= 0).all()
    budget = feed_force(PATHS[name], 64)
    for band in (budget.push_n, budget.backlash_m, *(limit.margin for limit in budget.limits)):
        assert band.low <= band.mid <= band.high


@given(low=st.floats(0, 1), mode=st.floats(0, 1), high=st.floats(0, 1), first=st.floats(0, 1), second=st.floats(0, 1))
def test_triangle_keeps_its_ends_and_order(low, mode, high, first, second):
    low, mode, high = sorted((low, mode, high))
    first, second = sorted((first, second))
    lower, upper = triangular(first, low, mode, high), triangular(second, low, mode, high)
    assert low - 1e-9 <= lower <= upper + 1e-9 <= high + 2e-9


def test_triangle_has_the_mean_and_the_share_below_its_mode_of_a_triangle():
    uniform = (np.arange(200_000) + 0.5) / 200_000
    drawn = triangular(uniform, 1.0, 2.0, 6.0)
    assert drawn.mean() == pytest.approx(3.0, rel=1e-4)  # (low + mode + high) / 3
    assert np.mean(drawn < 2.0) == pytest.approx(0.2, abs=1e-4)  # (mode - low) / (high - low)
    assert drawn.var() == pytest.approx((1 + 4 + 36 - 2 - 6 - 12) / 18, rel=1e-3)


@given(offset=st.floats(1e-6, 3e-3), gap=st.floats(1e-3, 0.05), more=st.floats(1.01, 3.0))
def test_collapse_falls_with_offset_and_gap_and_stays_under_its_two_limits(offset, gap, more):
    stiffness, squash, moment = 6.7e-3, 540.0, 0.1033
    euler = euler_load(stiffness, gap, 0.7)
    force = hinge_collapse(squash, moment, euler, offset)
    assert 0 < force < min(squash, euler) * (1 + 1e-12)
    left = (force / squash) ** 2 + force * offset / (moment * (1 - force / euler))
    assert left == pytest.approx(1.0, rel=1e-6)
    assert hinge_collapse(squash, moment, euler, more * offset) < force
    assert hinge_collapse(squash, moment, euler_load(stiffness, more * gap, 0.7), offset) < force


def test_collapse_without_offset_is_the_smaller_of_squash_and_euler():
    assert hinge_collapse(540.0, 0.1, 300.0, 0.0) == pytest.approx(300.0, rel=1e-9)
    assert hinge_collapse(200.0, 0.1, 300.0, 0.0) == pytest.approx(200.0, rel=1e-9)


@given(clamp=st.floats(1.0, 500.0), friction=FRICTION, half=st.floats(0.3, math.pi / 2))
def test_grip_wedges_doubles_and_adds_the_driven_idler(clamp, friction, half):
    flat = grip(clamp, friction)
    assert flat == pytest.approx(clamp * friction)
    assert grip(clamp, friction, half) >= flat * (1 - 1e-12)
    assert grip(clamp, friction, half, pairs=2) == pytest.approx(2 * grip(clamp, friction, half))
    assert grip(clamp, friction, half, idler_driven=True) == pytest.approx(grip(clamp, friction, half) + flat)
    assert belt_power(1.0, friction, 0.0, 1.0, half) == 0.0


@given(clamp=st.floats(1.0, 1000.0), limit=st.floats(1e8, 1e9))
def test_flats_grow_with_clamp_and_softness(clamp, limit):
    depth = flat_depth(clamp, limit, 0.0012, 0.030)
    assert flat_depth(1.1 * clamp, limit, 0.0012, 0.030) > depth
    assert flat_depth(clamp, 1.1 * limit, 0.0012, 0.030) < depth


@given(clearance=st.floats(1e-4, 2e-3), radius=st.floats(0.05, 1.0))
def test_junction_drag_falls_with_room_and_with_wide_bends(clearance, radius):
    drag = junction_drag(0.2, 6.7e-3, clearance, 1 / radius)
    assert junction_drag(0.2, 6.7e-3, 2 * clearance, 1 / radius) == pytest.approx(drag / math.sqrt(2))
    assert junction_drag(0.2, 6.7e-3, clearance, 0.5 / radius) == pytest.approx(drag / 2**1.5)
    assert backlash(clearance, 0.0) == 0.0


def test_pull_rises_with_the_spool_and_pull_force_knows_no_lock_up():
    path, values = PATHS["thin"], DRAWN["thin"].values
    heavy = change(values, "spool.brake_torque_n_m", "*", 3.0)
    assert np.all(pull_force(heavy, path) > pull_force(values, path))
    wide = change(values, "liner.bore_m", "*", 3.0)
    assert np.isinf(push_force(change(wide, "contact_tip.spatter_drag_n", "+", 80.0), path).push_n).any()
    assert np.isfinite(pull_force(change(wide, "contact_tip.spatter_drag_n", "+", 80.0), path)).all()


@pytest.mark.parametrize("spool", [True, False])
def test_short_formula_reads_friction_too_low_from_two_pulls(spool):
    path = reference_path(1)
    straight, loop = (
        float(np.mean(pull_force(settled(path), path, lead, spool=spool))) for lead in ("straight", "one-loop")
    )
    assert 0 < capstan_friction(loop / straight, 2 * math.pi) < 0.15


def test_every_unknown_has_its_own_column_of_the_same_points():
    """Giving one field leaves the draws of all the others as they were: common random numbers."""
    given_bore = draw(FeedPath(wire=Wire("er70s-6", 0.0009, cast_diameter_m=0.5)), 32, seed=3).values
    open_cast = draw(FeedPath(wire=Wire("er70s-6", 0.0009)), 32, seed=3).values
    for field in (*UNKNOWNS, *MODEL_UNKNOWNS):
        if field != "wire.cast_diameter_m":
            assert np.array_equal(given_bore[field], open_cast[field]), field
