"""A cable drawn through a conduit: straight, bend, sidewall. Cable-pulling practice after NEMA WC 74 (pounds and feet)."""

import math

from printed_cases import agrees

from tipward.mechanics import capstan, drag_along, sidewall_pressure

# 1.5 lb/ft over 200 ft at mu 0.3, then 90 degrees of 2 ft radius. The relations do not mind the unit of force or length.
STRAIGHT_LB, BEND_LB, SIDEWALL_LB_PER_FT = "90", "144", "72"


def test_straight_run():
    assert agrees(drag_along(0.0, 0.3, 1.5, 200.0), STRAIGHT_LB)


def test_bend_behind_it():
    assert agrees(capstan(drag_along(0.0, 0.3, 1.5, 200.0), 0.3, math.pi / 2), BEND_LB)


def test_sidewall_in_the_bend():
    assert agrees(sidewall_pressure(capstan(90.0, 0.3, math.pi / 2), 2.0), SIDEWALL_LB_PER_FT)
