"""Labels and gases as people write them."""

import pytest

from tipward.matching.gases import gas_group
from tipward.matching.kinds import all_kinds, known, wire_kind
from tipward.mechanics import wire_family
from tipward.reference import table

LABELS = [
    ("ER70S-6", "er70s-6"), ("G 46 4 M21 3Si1", "er70s-6"), ("AWS A5.18 ER70S-6", "er70s-6"),
    ("G 19 12 3 L Si", "er316lsi"), ("SS316LSi", "er316lsi"), ("S Al 4043 (AlSi5)", "er4043"),
    ("mild steel", "solid steel"), ("Aluminum", "aluminium"), ("no gas", "self-shielded"), ("E71T-GS", "e71t-gs"),
]  # fmt: skip
GASES = [
    ("M21", "M21"), ("m20", "M20"), ("C1", "C1"), ("CO2", "C1"), ("CO₂", "C1"), ("100% CO2", "C1"), ("argon", "I1"),
    ("Ar", "I1"), ("100 % Ar", "I1"), ("Ar + 18 % CO2", "M21"), ("82% Ar / 18% CO2", "M21"), ("75/25", "M21"),
    ("Ar 92 CO2 8", "M20"), ("Ar + 2 % O2", "M13"), ("Ar + 2,5 % CO2", "M12"), ("Ar + 30 % He", "I3"), ("helium", "I2"),
    ("none", "none"), ("No gas", "none"), ("gasless", "none"),
    ("", None), (None, None), ("blue bottle", None),
    ("the blue one", None), ("helper", None), ("Ar + 60 % CO2", None), ("70/20", None), ("nitrogen", None),
]  # fmt: skip


@pytest.mark.parametrize(("label", "key"), LABELS)
def test_labels_mean_the_class_they_name(label, key):
    assert wire_kind(label).key == key


@pytest.mark.parametrize("label", [None, "", "  ", "string", "E7018", "t", "T 46"])
def test_what_means_nothing_is_no_class(label):
    assert wire_kind(label) is None


@pytest.mark.parametrize(("text", "group"), GASES)
def test_gases_as_people_write_them(text, group):
    assert gas_group(text) == group


@pytest.mark.parametrize(
    ("label", "shielding", "gases"),
    [
        ("T 46 3 P M 1 H10", "gas", ("M21",)),
        ("T 42 2 P C 1", "gas", ("C1",)),
        ("T 42 2 Y N 1", "self", ("none",)),
        ("T 38 Z W N 1", "self", ("none",)),
        ("T 38 0 V N 1", "self", ("none",)),
    ],
)
def test_letters_v_w_y_and_gas_n_of_iso_17632_mean_no_gas(label, shielding, gases):
    kind = wire_kind(label)
    assert (kind.shielding, kind.gases, kind.polarity) == (shielding, gases, "")


@pytest.mark.parametrize(
    ("label", "gases"),
    [
        ("E71T-1C", ("C1",)),
        ("E71T-1M-H4", ("M21",)),
        ("E71T-9MJ", ("M21",)),
        ("E81T1-Ni1C", ("C1",)),
        ("E71T-1", ("C1", "M21")),
        ("E71T-1C/1M", ("C1", "M21")),
    ],
)
def test_letter_behind_a_flux_cored_class_is_its_gas(label, gases):
    assert wire_kind(label).gases == gases


def test_class_table_and_usability_table_agree_on_polarity_and_shielding():
    for row in table("polarity_by_usability"):
        for prefix in ("e70t", "e71t"):
            key = f"{prefix}{row.keys['usability'][1:].lower()}"
            kind = wire_kind(key)
            assert (kind.shielding, kind.polarity) == (row.keys["shielding"], row.keys["polarity"]), key


def test_every_class_has_a_family_that_the_material_table_knows():
    families = {row.keys["family"] for row in table("wire_materials")}
    for kind in all_kinds():
        assert kind.family in families and wire_family(kind.key) == kind.family


def test_every_class_of_the_catalogue_is_in_the_table():
    for key in (
        "er1100",
        "er4043",
        "er4047",
        "er5183",
        "er5356",
        "er5554",
        "er5556",
        "ercusi-a",
        "cusi3",
        "e71t-gs",
        "e70t-4",
    ):
        assert known(key).key == key
