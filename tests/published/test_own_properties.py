"""Figures of the design's own derivations: kept to the digit that its text prints."""

import math

import numpy as np
import pytest
from printed_cases import agrees

from tipward.mechanics import (
    back_tension,
    backlash,
    bending_stiffness,
    brake_for_overrun,
    elastic_radius,
    helical_contact,
    junction_length,
    junction_normal,
    plastic_bending_drag,
    spool_inertia,
)

EI = 6.6667e-3


def test_stiffness_of_the_wire_in_the_text():
    assert agrees(bending_stiffness(207e9, 0.0009) * 1e3, "6.6667")


def test_junction():
    assert agrees(junction_length(0.6e-3, 1 / 0.15) * 1e3, "46.48")
    assert agrees(junction_normal(EI, 0.6e-3, 1 / 0.15), "1.9126")


HELIX = [(0.3e-3, 10, "10.724"), (0.3e-3, 50, "75.47"), (0.3e-3, 100, "307.69"), (0.8e-3, 50, "499.98")]


@pytest.mark.parametrize(("radial", "force", "expected"), HELIX)
def test_helix_over_four_metres(radial, force, expected):
    assert agrees(helical_contact(force, 0.15, radial, 4.0, EI), expected)


def test_helix_locks_up():
    assert np.isposinf(helical_contact(100.0, 0.15, 0.8e-3, 4.0, EI))


def test_spool():
    inertia = spool_inertia(15.0, 0.145, 0.106)
    torque = brake_for_overrun(inertia, 10 / 60, 0.145, 0.020)
    assert agrees(inertia, "0.24196")
    assert agrees(torque, "1.1588")
    assert agrees(back_tension(torque, 0.145), "7.992")


def test_backlash_of_one_loop():
    assert agrees(backlash(0.6e-3, 2 * math.pi) * 1e3, "3.770")


def test_plastic_drag():
    assert agrees(plastic_bending_drag(207e9, 850e6, 0.0009, 0.060), "0.32")
    limit = elastic_radius(207e9, 850e6, 0.0009)
    assert plastic_bending_drag(207e9, 850e6, 0.0009, limit) == 0.0
    assert np.all(plastic_bending_drag(207e9, 850e6, 0.0009, np.array([limit, 0.2, 5.0])) == 0.0)
