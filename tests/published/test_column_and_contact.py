"""Euler's column and Hertz's contacts against textbook and validation answers."""

import pytest
from printed_cases import PrintedCase, agrees

from tipward.mechanics import contact_modulus, euler_shortest, hertz_approach, hertz_line, hertz_point


def test_shortest_euler_column_of_60_by_100_mm():
    gyration = 0.060 / 12**0.5
    assert agrees(euler_shortest(200e9, 250e6, gyration) * 1e3, "1539"), "fossee-3776: textbook example 11.2"


HERTZ = [
    PrintedCase(
        {"rule": hertz_approach, "load": 0.004, "radius": 0.025, "young": (20e9, 20e9), "size_as": 1e3, "p0_as": 1e6},
        "10|2798.3",
        "mm, MPa",
        "code-aster-v6-04-104: two spheres of R 50 mm, approach 4 mm",
    ),
    PrintedCase(
        {"rule": hertz_line, "load": 35e6, "radius": 0.05, "young": (210e9, 70e9), "size_as": 1e3, "p0_as": 1e6},
        "6.21|3585",
        "mm, MPa",
        "nafems-contact (memory, reproduces): cylinder R 50 mm on block, 35 kN per mm",
    ),
    PrintedCase(
        {"rule": hertz_point, "load": 5.0, "radius": 0.01, "young": (210e9, 210e9), "size_as": 1e5, "p0_as": 1e6},
        "6.88|505",
        "1e-5 m, MPa",
        "stachowiak-batchelor ch. 7 (memory, reproduces): crossed cylinders R 10 mm; pressure printed as 504-505",
    ),
]


@pytest.mark.parametrize("case", HERTZ, ids=lambda case: case.source.partition(":")[0])
def test_hertz(case):
    inputs = case.inputs
    modulus = contact_modulus(inputs["young"][0], 0.3, inputs["young"][1], 0.3)
    size, pressure = inputs["rule"](inputs["load"], inputs["radius"], modulus)
    wanted_size, wanted_pressure = case.expected.split("|")
    assert agrees(size * inputs["size_as"], wanted_size)
    assert agrees(pressure / inputs["p0_as"], wanted_pressure)
