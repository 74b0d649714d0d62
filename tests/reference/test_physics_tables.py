"""The tables of the feeding physics: every number graded and sourced, no gap, no slipped digit."""

import itertools
import math
from pathlib import Path

import pytest

from tipward.foundation import GRADES, NotKnownError, unit_of_field
from tipward.mechanics import MODEL_UNKNOWNS, UNKNOWNS, draw, numeric_fields, range_of, wire_family
from tipward.model import ContactTip, DriveRolls, FeedPath, Gun, Liner, Spool, Wire, field_value
from tipward.reference import sources, table

TABLES = ("wire_materials", "friction", "path_ranges", "path_validity")
FAMILIES = {
    "er70s-6": "carbon steel",
    "er70s-3": "carbon steel",
    "er308lsi": "stainless",
    "er316lsi": "stainless",
    "er4043": "al-4043",
    "er5356": "al-5356",
    "ercusi-a": "cusi3",
    "e71t-1": "tubular",
    "e71t-11": "tubular",
    "e71t-gs": "tubular",
    "e71t-8": "tubular",
    "e70t-4": "tubular",
    "e70c-6m": "tubular",
}
# A slipped digit changes a sum. Summed by hand from the design's tables (GPa, MPa, kg/m3; friction as printed).
YIELD_MPA = {"carbon steel": (700, 850, 1100), "stainless": (600, 800, 1100), "al-4043": (120, 180, 270)}
YIELD_MPA |= {"al-5356": (250, 320, 380), "cusi3": (350, 500, 700), "tubular": (350, 450, 600)}
YOUNG_GPA = {"carbon steel": 207, "stainless": 193, "al-4043": 69, "al-5356": 71, "cusi3": 110, "tubular": 207}
DENSITY = {"carbon steel": 7850, "stainless": 7950, "al-4043": 2690, "al-5356": 2657, "cusi3": 8530}


@pytest.mark.parametrize("name", TABLES)
def test_every_row_has_number_grade_and_known_source(name):
    for row in table(name):
        assert row.number is not None and row.grade in GRADES and row.source in sources(), row.keys


@pytest.mark.parametrize("name", TABLES)
def test_every_row_speaks_of_a_numeric_field_in_its_own_unit(name):
    for row in table(name):
        field = row.keys["field"]
        assert field in numeric_fields() or field in MODEL_UNKNOWNS, field
        unit = unit_of_field(field.split(".")[1])
        if unit and not row.keys.get("basis"):
            wanted = {"kg/m**3": "kg/m^3", "": "1"}.get(unit[1], unit[1])
            assert row.number.unit == wanted, (field, row.number.unit)


def test_no_two_rows_ask_the_same():
    for name in TABLES:
        keys = [tuple(row.keys.items()) for row in table(name)]
        assert len(keys) == len(set(keys)), name


def _column(field):
    return {row.keys["family"]: row.number for row in table("wire_materials") if row.keys["field"] == field}


def test_materials_are_those_of_the_design():
    for family, (low, mode, high) in YIELD_MPA.items():
        number = _column("wire.yield_pa")[family]
        assert (number.low, number.value, number.high) == (low * 1e6, mode * 1e6, high * 1e6)
    assert {family: _column("wire.young_pa")[family].value / 1e9 for family in YOUNG_GPA} == YOUNG_GPA
    assert {family: _column("wire.density_kg_per_m3")[family].value for family in DENSITY} == DENSITY
    tube = _column("wire.density_kg_per_m3")["tubular"], _column("wire.stiffness_factor")["tubular"]
    assert [(number.low, number.high) for number in tube] == [(6300, 7000), (0.88, 0.96)]


def test_materials_sum_to_what_the_design_sums_to():
    assert sum(_column("wire.yield_pa")[family].value for family in YIELD_MPA) == pytest.approx(3100e6)
    assert sum(_column("wire.young_pa")[family].value for family in YOUNG_GPA) == pytest.approx(857e9)
    assert sum(_column("wire.density_kg_per_m3")[family].value for family in DENSITY) == pytest.approx(29677)


FRICTION = [
    ("liner.friction_1", "er70s-6", "steel", "clean", (0.10, 0.16, 0.22)),
    ("liner.friction_1", "er70s-6", "steel", "dusty", (0.22, 0.30, 0.45)),
    ("liner.friction_1", "er70s-6", "steel", "rusty", (0.22, 0.30, 0.45)),
    ("liner.friction_1", "er308lsi", "steel", "clean", (0.18, 0.26, 0.40)),
    ("liner.friction_1", "er316lsi", "pa", "clean", (0.08, 0.14, 0.22)),
    ("liner.friction_1", "er316lsi", "ptfe", None, (0.08, 0.14, 0.22)),
    ("liner.friction_1", "er4043", "ptfe", "clean", (0.06, 0.11, 0.18)),
    ("liner.friction_1", "er5356", "pa", "clean", (0.12, 0.20, 0.30)),
    ("liner.friction_1", "er5356", "steel", "clean", (0.25, 0.40, 0.60)),
    ("liner.friction_1", "e71t-11", "steel", "clean", (0.15, 0.24, 0.35)),
    ("contact_tip.friction_1", "er70s-6", "steel", "clean", (0.20, 0.30, 0.50)),
    ("drive_rolls.friction_1", "er70s-6", "steel", "clean", (0.12, 0.20, 0.30)),
]


@pytest.mark.parametrize(("field", "wire_class", "liner", "condition", "expected"), FRICTION)
def test_the_most_specific_friction_is_found(field, wire_class, liner, condition, expected):
    path = FeedPath(wire=Wire(wire_class, condition=condition), liner=Liner(liner))
    number = range_of(field, path).number
    assert (number.low, number.value, number.high) == expected


def test_a_knurled_groove_grips_by_its_equivalent_friction():
    number = range_of("drive_rolls.friction_1", FeedPath(drive_rolls=DriveRolls("knurled"))).number
    assert (number.low, number.high, number.grade) == (0.4, 0.7, "memory")


def test_friction_columns_sum():
    rows = [row.number for row in table("friction")]
    assert all(number.low > 0 and number.high < 1 for number in rows)
    sums = [sum(getattr(number, name) for number in rows) for name in ("low", "value", "high")]
    assert sums == sorted(sums)
    by_design = [
        range_of(field, FeedPath(wire=Wire(w, condition=c), liner=Liner(m))).number for field, w, m, c, _ in FRICTION
    ]
    assert sum(number.value for number in by_design) == pytest.approx(2.75)


@pytest.mark.parametrize("wire_class", [None, *FAMILIES])
def test_every_unknown_has_a_row_on_every_kind_of_path(wire_class):
    conditions = (None, "clean", "dusty", "rusty", "greasy")
    liners = (None, "steel", "ptfe", "pa", "carbon-ptfe")
    for condition, liner in itertools.product(conditions, liners):
        path = FeedPath(wire=Wire(wire_class, condition=condition), liner=Liner(liner))
        for field in (*UNKNOWNS, *MODEL_UNKNOWNS):
            assert range_of(field, path, 0.0009).number.value >= 0, field


@pytest.mark.parametrize("groove", [None, "v", "u", "knurled", "flat"])
@pytest.mark.parametrize("form", [None, "S100", "S200", "S300", "B300", "drum"])
@pytest.mark.parametrize("kind", ["push", "push-pull", "spool gun"])
def test_every_part_and_size_draws_sound_values(groove, form, kind):
    for diameter in (None, 0.0006, 0.0008, 0.0009, 0.0012, 0.0016, 0.0024):
        wire = Wire("er70s-6", diameter)
        path = FeedPath(wire=wire, drive_rolls=DriveRolls(groove), spool=Spool(form), gun=Gun(kind))
        values = draw(path, 16).values
        for field in UNKNOWNS:
            assert all(map(math.isfinite, [values[field]] if isinstance(values[field], float) else values[field])), (
                field
            )
        assert (values["liner.bore_m"] > values["wire.diameter_m"]).all(), diameter
        assert (values["contact_tip.bore_m"] > values["wire.diameter_m"]).all(), diameter


def test_every_numeric_field_without_a_neutral_value_is_known_to_the_draws_or_not_read():
    """A field that the physics reads is either drawn or has a value that means healthy."""
    import tipward.mechanics.limits as limits
    import tipward.mechanics.march as march
    import tipward.mechanics.readings as readings
    import tipward.mechanics.route as route
    import tipward.mechanics.walk as walk

    text = "".join(Path(module.__file__).read_text("utf-8") for module in (limits, march, readings, route, walk))
    read = [field for field in numeric_fields() if f'"{field}"' in text]
    assert len(read) > 30
    for field in read:
        assert field in UNKNOWNS or field_value(FeedPath(), field) is not None, field


@pytest.mark.parametrize(("wire_class", "family"), FAMILIES.items())
def test_families(wire_class, family):
    assert wire_family(wire_class) == family == wire_family(wire_class.upper())


def test_an_unknown_class_is_no_family_and_an_unknown_field_is_refused():
    assert wire_family("er999") == ""
    with pytest.raises(NotKnownError, match=r"no row for 'liner\.colour'.*add one with its source"):
        range_of("liner.colour", FeedPath())


def test_unknown_wire_has_a_wider_band_than_a_known_one():
    known = range_of("liner.friction_1", FeedPath(wire=Wire("er70s-6"), liner=Liner("steel"))).number
    unknown = range_of("liner.friction_1", FeedPath()).number
    assert unknown.low <= known.low and unknown.high >= known.high


def test_a_marked_tip_is_counted_from_its_mark():
    path = FeedPath(wire=Wire("er70s-6", 0.0009), contact_tip=ContactTip(marked_size_m=0.0012))
    bore = draw(path, 64).values["contact_tip.bore_m"]
    assert bore.min() >= 0.0013 - 1e-12 and bore.max() <= 0.00145 + 1e-12


def test_validity_ranges_hold_the_ranges_that_are_drawn():
    valid = {row.keys["field"]: row.number for row in table("path_validity")}
    for name in ("wire_materials", "friction", "path_ranges"):
        for row in table(name):
            limit = valid.get(row.keys["field"])
            if limit and not row.keys.get("basis") and row.number.low < row.number.high:
                assert limit.low <= row.number.low and row.number.high <= limit.high, row.keys
