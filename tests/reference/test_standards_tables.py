"""Sums of the standards tables, typed from the list of sizes and limits, so that a slipped digit fails."""

import math
from itertools import pairwise

import pytest

from tipward.reference import table


def numbers(name, unit=None, **keys):
    rows = [row for row in table(name) if all(row.keys[key] == value for key, value in keys.items())]
    assert rows, (name, keys)
    return [row.number for row in rows if row.number is not None and unit in {None, row.number.unit}]


def total(name, end="value", **keys):
    return sum(getattr(number, end) for number in numbers(name, **keys))


# table, keys, end of the range, sum as typed from the list
SUMS = [
    # 0.6 0.8 0.9 1.0 1.2 1.4 1.6 2.0 2.4 mm
    ("wire_diameters", {"system": "metric"}, "value", (0.6 + 0.8 + 0.9 + 1.0 + 1.2 + 1.4 + 1.6 + 2.0 + 2.4) * 1e-3),
    # .023 .024 .030 .035 .040 .045 .047 .052 .0625 .068 .072 5/64 3/32 in
    ("wire_diameters", {"system": "inch"}, "value",
     (0.023 + 0.024 + 0.030 + 0.035 + 0.040 + 0.045 + 0.047 + 0.052 + 0.0625 + 0.068 + 0.072 + 5 / 64 + 3 / 32) * 0.0254),
    # +.01/-.03, +.01/-.04, cored +.02/-.05 mm, +-.001 in, +-.002 in
    ("wire_tolerances", {}, "high", (0.01 + 0.01 + 0.02) * 1e-3 + (0.001 + 0.002) * 0.0254),
    ("wire_tolerances", {}, "low", -(0.03 + 0.04 + 0.05) * 1e-3 - (0.001 + 0.002) * 0.0254),
    # free loop 100-230, 250-510, 380-1300 mm (12 in spool and basket), lift 13, 19, 25 mm, aluminium 1 in
    ("cast_and_helix", {"limit": "cast least"}, "value", (100 + 250 + 380 + 380) * 1e-3),
    ("cast_and_helix", {"limit": "cast most"}, "value", (230 + 510 + 1300 + 1300) * 1e-3),
    ("cast_and_helix", {"limit": "helix most"}, "value", (13 + 19 + 25 + 25) * 1e-3 + 0.0254),
    # S100 100/16.5/45, S200 200/50.5/55, S300 300/50.5/103, B300 300/180/100 mm
    ("spools", {"what": "outer diameter"}, "value", (100 + 200 + 300 + 300) * 1e-3),
    ("spools", {"what": "bore"}, "value", (16.5 + 50.5 + 50.5 + 180) * 1e-3),
    ("spools", {"what": "width"}, "value", (45 + 55 + 103 + 100) * 1e-3),
    ("spools", {"what": "drive hole"}, "value", (10 + 10) * 1e-3),
    ("spools", {"what": "drive hole radius"}, "value", (44.5 + 44.5) * 1e-3),
    # steel .7-1, 5, 15-18, drum 100-500 kg; aluminium .3-.5, 2, 6-7 kg
    ("spools", {"what": "steel on it"}, "low", 0.7 + 5 + 15 + 100),
    ("spools", {"what": "steel on it"}, "high", 1 + 5 + 18 + 500),
    ("spools", {"what": "aluminium on it"}, "low", 0.3 + 2 + 6),
    ("spools", {"what": "aluminium on it"}, "high", 0.5 + 2 + 7),
    # g/m 2.22 3.946 4.994 6.165 8.878 15.78; metres on 15 kg 3801 3004 2433 1690 950
    ("wire_mass", {"what": "mass per metre"}, "value", (2.22 + 3.946 + 4.994 + 6.165 + 8.878 + 15.78) * 1e-3),
    ("wire_mass", {"what": "metres on 15 kg"}, "value", 3801 + 3004 + 2433 + 1690 + 950),
    # steel spiral 1.5 2.0 2.5, PTFE 1.5 2.0 2.7 mm
    ("liner_bores", {"material": "steel"}, "value", (1.5 + 2.0 + 2.5) * 1e-3),
    ("liner_bores", {"material": "ptfe"}, "value", (1.5 + 2.0 + 2.7) * 1e-3),
    # blue 0.6-0.8, red 0.9-1.2, yellow 1.2-1.6 mm
    ("liner_bands", {"limit": "wire least"}, "value", (0.6 + 0.9 + 1.2) * 1e-3),
    ("liner_bands", {"limit": "wire most"}, "value", (0.8 + 1.2 + 1.6) * 1e-3),
    # steel +.1 to .25 mm, aluminium +.20 mm; steps .2 and .1 mm; 10-15 % over
    ("contact_tips", {"metal": "steel"}, "value", (0.1 + 0.25) * 1e-3),
    ("contact_tips", {"rule": "clearance"}, "value", 0.20e-3),
    ("contact_tips", {"rule": "step that stops the wire"}, "value", 0.2e-3),
    ("contact_tips", {"rule": "step that seizes hot"}, "value", 0.1e-3),
    ("contact_tips", {"rule": "bore over wire least"}, "value", 1.10),
    ("contact_tips", {"rule": "bore over wire most"}, "value", 1.15),
    # M21 is 15-25 % carbon dioxide
    ("gases", {"group": "M21"}, "low", 0.15),
    ("gases", {"group": "M21"}, "high", 0.25),
    # thin wire 3 m; aluminium by push 3.5-3.7 m; usual 4 m, easier 3 m
    ("lead_lengths", {"rule": "length most"}, "low", 3 + 3.5),
    ("lead_lengths", {"rule": "length most"}, "high", 3 + 3.7),
    ("lead_lengths", {"wire": "any"}, "value", 4 + 3),
    # earth .3 to 5 m, .1 per further 7.5 m, 1.0 ohm; 113 V, 14 + .05 I, 44 V (insulation: a test of its own)
    ("inspection", {"unit": "V"}, "value", 113 + 14 + 44),
    ("inspection", {"unit": "V/A"}, "value", 0.05),
    # failures 54 187 216 240 244 335 361 373 375 386 h
    ("life_data", {"what": "failure"}, "value", 54 + 187 + 216 + 240 + 244 + 335 + 361 + 373 + 375 + 386),
    ("life_data", {"what": "weibull shape"}, "value", 1.7208),
    ("life_data", {"what": "weibull scale"}, "value", 606.53),
    ("life_data", {"what": "units on test"}, "value", 20),
    ("life_data", {"what": "test stopped"}, "value", 500),
    ("life_data", {"what": "replace at cost ratio 2"}, "value", 862),
    ("life_data", {"what": "replace at cost ratio 5"}, "value", 340.5),
    ("life_data", {"what": "replace at cost ratio 10"}, "value", 208.1),
    # 100 h; 50-60 % humidity (times of seconds: a test of their own)
    ("intervals", {"unit": "h"}, "value", 100),
    ("intervals", {"unit": "1"}, "value", 0.5 + 0.6),
    # uncoated wire wears tips about ten times faster; thin wire is 0.6 mm
    ("life_data", {"what": "tip wear, uncoated over coated wire"}, "value", 10),
    ("lead_lengths", {"rule": "wire at most"}, "value", 0.6e-3),
    # share .6-.85; 45, 10.2, .45, 1.78, .87, 40, .02, 11.93
    ("money", {}, "low", 0.60 + 45 + 10.2 + 0.45 + 1.78 + 0.87 + 40 + 0.02 + 11.93),
    ("money", {}, "high", 0.85 + 45 + 10.2 + 0.45 + 1.78 + 0.87 + 40 + 0.02 + 11.93),
    # 1 % ripple; 2 % and 1 % of proof
    ("sensing", {}, "value", 0.01 + 0.02 + 0.01),
    # overrun 20 and 10 mm
    ("brakes", {}, "value", (20 + 10) * 1e-3),
]  # fmt: skip


@pytest.mark.parametrize(
    ("name", "keys", "end", "expected"), SUMS, ids=[f"{case[0]}-{index}" for index, case in enumerate(SUMS)]
)
def test_sum_of_a_column_is_as_typed(name, keys, end, expected):
    assert math.isclose(total(name, end, **keys), expected, rel_tol=1e-9)


def test_resistances_of_inspection_are_as_typed():
    """.3 to 5 m of cable, +.1 per further 7.5 m, at most 1.0 ohm; insulation 5, 2.5 and 2.5 megohm."""
    found = [number.value for number in numbers("inspection", unit="ohm")]
    assert found == [0.3, 0.1, 1.0, 5e6, 2.5e6, 2.5e6]


def test_intervals_in_seconds_are_as_typed():
    """30 and 60 days; tests of 15, 30 and 60 s; two clicks of about .3 s."""
    assert [number.value for number in numbers("intervals", unit="s")] == [30 * 86400, 60 * 86400, 15, 30, 60, 0.3]


def test_other_plastics_are_taken_as_ptfe():
    for material in ("pa", "carbon-ptfe"):
        for end in ("low", "value", "high"):
            assert total("liner_bores", end, material=material) == total("liner_bores", end, material="ptfe")


@pytest.mark.parametrize("material", ["steel", "ptfe"])
def test_a_liner_bore_reaches_half_way_to_the_next(material):
    small, middle, large = numbers("liner_bores", material=material)
    for below, above in ((small, middle), (middle, large)):
        assert below.high == above.low == pytest.approx((below.value + above.value) / 2)
    assert small.low < small.value and large.high - large.value == pytest.approx(large.value - large.low)


GASES = {
    "M12": [("carbon dioxide", 0.005, 0.05)], "M13": [("oxygen", 0.005, 0.03)],
    "M14": [("carbon dioxide", 0.005, 0.05), ("oxygen", 0.005, 0.03)], "M20": [("carbon dioxide", 0.05, 0.15)],
    "M21": [("carbon dioxide", 0.15, 0.25)], "M22": [("oxygen", 0.03, 0.10)], "C1": [("carbon dioxide", 1, 1)],
    "I1": [("argon", 1, 1)], "I2": [("helium", 1, 1)], "I3": [("helium", 0.005, 0.95)],
}  # fmt: skip


def test_gas_groups_are_as_typed_and_say_which_were_not_read():
    """I1, M21 and C1 stand with their shares in the list of standards; the shares of the others are memory."""
    for group, parts in GASES.items():
        rows = [row for row in table("gases") if row.keys["group"] == group]
        assert [(row.keys["component"], row.number.low, row.number.high) for row in rows] == parts
        assert all(row.number.value == row.number.high for row in rows)
        assert {row.grade for row in rows} == {"standard" if group in {"I1", "M21", "C1"} else "memory"}
    assert {row.keys["group"] for row in table("gases")} == set(GASES)


def test_trust_in_a_rule_falls_with_its_grade_and_is_a_judgement():
    trust = {row.keys["of"].removeprefix("grade "): row.number for row in table("reliability")}
    order = ["standard", "handbook", "common practice", "memory", "judgement"]
    assert all(trust[better].value > trust[worse].value for better, worse in pairwise(order))
    assert {row.grade for row in table("reliability")} == {"judgement"}
    assert all(0 < number.low < number.value < number.high < 1 for number in trust.values())


def test_values_inside_a_range_are_the_usual_ones():
    for number in numbers("wire_tolerances"):
        assert number.value == 0
    for row in table("spools"):
        assert row.number.low <= row.number.value <= row.number.high
    (steel,) = numbers("spools", spool="S300", what="steel on it")
    assert steel.value == 15  # the 15 kg spool of the worked figures


def metres(text):
    return float(text.removesuffix(" mm")) * 1e-3


def test_mass_per_metre_follows_from_the_density_of_steel():
    """7850 kg/m3; printed to three or four figures."""
    for row in table("wire_mass"):
        per_metre = math.pi / 4 * metres(row.keys["size"]) ** 2 * 7850
        exact = per_metre if row.keys["what"] == "mass per metre" else 15 / per_metre
        assert row.number.value == pytest.approx(exact, rel=6e-4), row


def test_worked_cost_adds_up():
    cost = {row.keys["what"]: row.number.value for row in table("money")}
    labour = cost["labour, worked cost"] / (cost["deposition, worked cost"] * cost["operating factor, worked cost"])
    wire = cost["wire price, worked cost"] / cost["wire yield, worked cost"]
    gas = cost["gas flow, worked cost"] * cost["gas price, worked cost"] / cost["deposition, worked cost"]
    assert [round(labour, 2), round(wire, 2), round(gas, 2)] == [9.80, 2.05, 0.08]
    assert round(labour + wire + gas, 2) == cost["worked cost"]


def test_weibull_line_of_the_life_data_is_the_maximum_of_its_likelihood():
    """NIST/SEMATECH e-Handbook 8.4.1.2: shape and scale printed to five figures."""
    failures = [number.value for number in numbers("life_data", what="failure")]
    units, stopped = (numbers("life_data", what=what)[0].value for what in ("units on test", "test stopped"))
    shape, scale = (numbers("life_data", what=f"weibull {what}")[0].value for what in ("shape", "scale"))
    times = failures + [stopped] * int(units - len(failures))
    powered = [time**shape for time in times]
    slope = sum(p * math.log(t) for p, t in zip(powered, times, strict=True)) / sum(powered)
    mean_log = sum(map(math.log, failures)) / len(failures)
    assert 1 / (slope - mean_log) == pytest.approx(shape, abs=2e-3)
    assert (sum(powered) / len(failures)) ** (1 / shape) == pytest.approx(scale, abs=0.05)


POSITIVE = ["T-1", "T-2", "T-9", "T-12", "T-3", "T-4", "T-6"]
NEGATIVE = ["T-7", "T-8", "T-10", "T-11", "T-13", "T-14"]
SELF = ["T-3", "T-4", "T-6", "T-7", "T-8", "T-10", "T-11", "T-13", "T-14", "T-GS"]


def test_polarity_by_usability_is_as_typed():
    rows = {row.keys["usability"]: row.keys for row in table("polarity_by_usability")}
    assert [name for name in rows if rows[name]["polarity"] == "electrode positive"] == POSITIVE[:4] + POSITIVE[4:]
    assert [name for name in rows if rows[name]["polarity"] == "electrode negative"] == NEGATIVE
    assert [name for name in rows if rows[name]["shielding"] == "self"] == SELF
    assert rows["T-5"]["polarity"] == "either"
    assert rows["T-G"]["polarity"] == rows["T-GS"]["polarity"] == ""


def test_diameters_rise_and_are_not_repeated():
    for system in ("metric", "inch"):
        sizes = [number.value for number in numbers("wire_diameters", system=system)]
        assert all(small < large for small, large in pairwise(sizes))


def test_inch_sizes_stay_themselves():
    """.030 = .762, .035 = .889, .045 = 1.143, .052 = 1.321 mm, printed to three decimals."""
    printed = {".030 in": 0.762, ".035 in": 0.889, ".045 in": 1.143, ".052 in": 1.321}
    for row in table("wire_diameters"):
        if row.keys["size"] in printed:
            assert round(row.number.value * 1e3, 3) == printed.pop(row.keys["size"])
    assert not printed


def test_the_step_of_same_size_covers_the_widest_pair_of_inch_and_metric_sizes():
    """.045 in and 1.2 mm differ by .057 mm; the steps of the trade start at .1 mm."""
    (same,) = numbers("contact_tips", rule="same size")
    assert 1.2e-3 - 0.045 * 0.0254 < same.value < 0.1e-3


@pytest.mark.parametrize(
    "name",
    ["wire_tolerances", "cast_and_helix", "spools", "liner_bores", "polarity_by_usability"],
)
def test_what_was_not_read_in_the_standard_says_memory(name):
    assert {row.grade for row in table(name)} <= {"memory", "paper"}
    assert any("verify" in row.note for row in table(name))


WORDS = {
    "grooves": ({"v", "u", "knurled", "flat"}, "groove"),
    "liner_materials": ({"steel", "ptfe", "pa", "carbon-ptfe"}, "material"),
}


@pytest.mark.parametrize("name", WORDS)
def test_tables_of_standings_are_whole_and_name_one_best(name):
    words, column = WORDS[name]
    groups = {(row.keys["metal"], row.keys["form"]) for row in table(name)}
    for metal, form in groups:
        rows = [row for row in table(name) if (row.keys["metal"], row.keys["form"]) == (metal, form)]
        assert {row.keys[column] for row in rows} == words and len(rows) == len(words)
        assert any(row.keys["standing"] == "best" for row in rows)
        assert all(row.note for row in rows if row.keys["standing"] in {"best", "wrong", "doubtful"})


def test_standings_are_four_words():
    for name in ("grooves", "liner_materials", "wire_gases"):
        assert {row.keys["standing"] for row in table(name)} <= {"best", "fits", "doubtful", "wrong"}
    assert {row.keys["standing"] for row in table("hubs")} == {"fits", "wrong"}


def test_every_gas_of_a_standing_or_class_is_a_group():
    groups = {row.keys["group"] for row in table("gases")}
    assert {row.keys["gas"] for row in table("wire_gases")} <= groups
    assert {gas for row in table("wire_classes") for gas in row.keys["gases"].split()} <= groups | {"none"}


def test_every_caution_has_a_source_and_is_one_of_the_catalogue():
    from tipward.faults import load_catalogue

    known = set(load_catalogue().cautions)
    assert {row.keys["caution"] for row in table("caution_sources")} == known


def test_class_keys_are_lower_case_and_not_repeated():
    keys = [row.keys["wire_class"] for row in table("wire_classes")]
    assert len(keys) == len(set(keys)) and all(key == key.lower() for key in keys)
