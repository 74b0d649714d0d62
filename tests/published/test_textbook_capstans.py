"""Ropes round posts, belts and wedge ropes: the capstan rule against textbook answers."""

import math

import pytest
from printed_cases import PrintedCase, agrees

from tipward.mechanics import belt_power, capstan

TABLE = "table in the public 'Capstan equation' article"
FACTORS = [
    PrintedCase({"friction": 0.3, "turns": 1}, "6.6", "1", TABLE),
    PrintedCase({"friction": 0.3, "turns": 2}, "43", "1", TABLE),
]
OEIS = "same table; integers also OEIS floor(exp(pi n))"
FLOORS = [23, 535, 12391, 286751, 6635623, 153552935]


@pytest.mark.parametrize("case", FACTORS, ids=str)
def test_factor_rounds_to_what_is_printed(case):
    assert agrees(capstan(1.0, case.inputs["friction"], 2 * math.pi * case.inputs["turns"]), case.expected)


@pytest.mark.parametrize(("turns", "expected"), list(enumerate(FLOORS, start=1)))
def test_factor_at_half_friction_is_printed_as_its_whole_part(turns, expected):
    assert math.floor(capstan(1.0, 0.5, 2 * math.pi * turns)) == expected, OEIS


SLACK = [
    PrintedCase({"tight_n": 200.0, "friction": 0.25, "angle": math.pi}, "91.187626", "N", "mclean-nelson ex. 9.17"),
    PrintedCase(
        {"tight_n": 900 * 9.8, "friction": 0.2, "angle": 4 * math.pi}, "714.442863", "N", "mclean-nelson ex. 9.20"
    ),
    # printed with e = 2.718 and pi = 3.14: the angle carries both
    PrintedCase(
        {"tight_n": 1000.0, "friction": 0.25, "angle": 3.14 * math.log(2.718)}, "456.156828", "N", "tayal ex. 7.4"
    ),
    PrintedCase({"tight_n": 1000.0, "friction": 0.25, "angle": math.pi}, "455.938", "N", "tayal ex. 7.4, exact"),
]


@pytest.mark.parametrize("case", SLACK, ids=str)
def test_slack_side_holds_less_by_the_capstan_factor(case):
    held = capstan(-case.inputs["tight_n"], case.inputs["friction"], case.inputs["angle"])
    assert agrees(-held, case.expected)


POWER = [
    PrintedCase(
        {"tight_n": 700.0, "friction_1": 0.3, "angle_rad": math.radians(160), "speed_m_per_s": 500 / 60},
        "3.309",
        "kW",
        "rajput ex. 13.4",
    ),
]


@pytest.mark.parametrize("case", POWER, ids=str)
def test_flat_belt_carries_the_printed_power(case):
    assert agrees(belt_power(**case.inputs) / 1e3, case.expected)


ROPES = [
    PrintedCase(
        {
            "power_w": 80e3,
            "tight_n": 800.0,
            "friction_1": 0.3,
            "angle_rad": math.radians(160),
            "speed_m_per_s": math.pi * 1.5 * 200 / 60,
            "half_angle_rad": math.radians(22.5),
            "mass_kg_per_m": 0.6,
        },
        "8.8",
        "ropes",
        "rajput ex. 13.11",
    ),
    # printed with e = 2.718 and pi = 3.14; the groove of 60 degrees is its whole angle
    PrintedCase(
        {
            "power_w": 50e3,
            "tight_n": 1500.0,
            "friction_1": 0.2,
            "angle_rad": 3.14 * math.log(2.718),
            "speed_m_per_s": 10.0,
            "half_angle_rad": math.radians(30),
            "mass_kg_per_m": 4 / 9.81,
        },
        "4.791",
        "ropes",
        "tayal ex. 7.7",
    ),
]


@pytest.mark.parametrize("case", ROPES, ids=str)
def test_wedge_ropes_needed_for_a_power(case):
    inputs = dict(case.inputs)
    assert agrees(inputs.pop("power_w") / belt_power(**inputs), case.expected)
