"""Unknown is never a mismatch: whatever field is taken away, no new mismatch appears."""

from dataclasses import fields, is_dataclass, replace

from hypothesis import given, settings
from hypothesis import strategies as st
from matched_paths import HEALTHY, changed

from tipward.matching import fit
from tipward.model import (
    ContactTip,
    Drive,
    DriveRolls,
    FeedPath,
    Gun,
    Liner,
    Piece,
    Settings,
    Spool,
    TorchLead,
    WeldingCircuit,
    Wire,
    field_names,
)

SIZES = st.sampled_from([0.0006, 0.000762, 0.0008, 0.000889, 0.0009, 0.0010, 0.001143, 0.0012, 0.0014, 0.0016, 0.0024])
BORES = st.floats(0.0004, 0.004)
CLASSES = st.sampled_from(
    [
        "er70s-6",
        "er316lsi",
        "er4043",
        "er5356",
        "cusi3",
        "e70c-6m",
        "e71t-1c",
        "e71t-5",
        "e70t-4",
        "e71t-11",
        "e71t-gs",
        "gasless",
        "odd",
    ]
)
MAYBE = st.none()


def maybe(strategy):
    return st.one_of(MAYBE, strategy)


PATHS = st.builds(
    FeedPath,
    wire=st.builds(
        Wire,
        wire_class=maybe(CLASSES),
        diameter_m=maybe(SIZES),
        cast_diameter_m=maybe(st.floats(0.05, 2.0)),
        helix_lift_m=maybe(st.floats(0.0, 0.05)),
    ),
    spool=st.builds(
        Spool,
        form=maybe(st.sampled_from(["S100", "S200", "S300", "B300", "drum"])),
        hub=maybe(st.sampled_from(["nut is brake", "separate brake", "no drive hole", "drum"])),
    ),
    drive=st.builds(Drive, gun_control=maybe(st.sampled_from(["none", "push-pull", "spool gun", "both"]))),
    drive_rolls=st.builds(
        DriveRolls, groove=maybe(st.sampled_from(["v", "u", "knurled", "flat"])), groove_size_m=maybe(SIZES)
    ),
    liner=st.builds(
        Liner,
        material=maybe(st.sampled_from(["steel", "ptfe", "pa", "carbon-ptfe"])),
        bore_m=maybe(BORES),
        carried=maybe(CLASSES),
    ),
    torch_lead=st.builds(
        TorchLead,
        length_m=maybe(st.floats(2.0, 8.0)),
        turns=maybe(st.sampled_from([0.0, 1.0])),
        turn_radius_m=maybe(st.floats(0.05, 0.4)),
        safe_radius_m=maybe(st.floats(0.05, 0.4)),
        route=st.sampled_from([(), (Piece(radius_m=0.1, turning_rad=1.0),), (Piece(length_m=1.0),)]),
    ),
    contact_tip=st.builds(
        ContactTip, marked_size_m=maybe(SIZES), bore_m=maybe(BORES), for_aluminium=maybe(st.booleans())
    ),
    gun=st.builds(Gun, kind=st.sampled_from(["push", "push-pull", "spool gun"])),
    welding_circuit=st.builds(
        WeldingCircuit, polarity=maybe(st.sampled_from(["electrode positive", "electrode negative"]))
    ),
    settings=st.builds(Settings, gas=maybe(st.sampled_from(["M21", "argon", "CO2", "none", "Ar + 2 % CO2", "odd"]))),
)


def faults(path):
    return {item.fault for item in fit(path).mismatches}


def without(path, name):
    """The path with one field unknown; a field that cannot be unknown keeps its value."""
    part, field = name.split(".")
    empty = () if field == "route" else None
    try:
        return replace(path, **{part: replace(getattr(path, part), **{field: empty})})
    except ValueError:
        return path


@settings(max_examples=300, deadline=None)
@given(PATHS)
def test_taking_a_field_away_never_adds_a_mismatch(path):
    was = faults(path)
    for name in field_names():
        assert faults(without(path, name)) <= was, name


def test_a_path_without_fields_has_no_mismatch_and_says_what_it_could_not_judge():
    found = fit(FeedPath())
    assert found.mismatches == () and found.fitting == ()
    assert len(found.not_judged) >= 12


def test_each_unknown_field_of_a_rule_is_named_in_not_judged():
    read = {
        "wire.wire_class": "wire class", "wire.diameter_m": "wire diameter", "drive_rolls.groove": "groove",
        "liner.bore_m": "liner bore", "liner.material": "liner material", "contact_tip.bore_m": "bore of the tip",
        "welding_circuit.polarity": "polarity", "settings.gas": "gas", "torch_lead.length_m": "length of the torch lead",
        "torch_lead.safe_radius_m": "lie of the torch lead", "spool.hub": "hub",
    }  # fmt: skip
    for name, words in read.items():
        told = fit(without(HEALTHY["steel"], name)).not_judged
        assert any(words in text for text in told), name


def test_the_answer_holds_still_under_every_noun_field_and_odd_gas_text():
    odd = changed(HEALTHY["steel"], settings__gas="the blue bottle, 100/0 % §")
    assert fit(odd).mismatches == ()
    assert any("gas" in text for text in fit(odd).not_judged)


@given(st.text(max_size=40))
def test_any_text_as_class_carried_or_gas_is_answered(text):
    path = changed(HEALTHY["steel"], wire__wire_class=text, liner__carried=text, settings__gas=text)
    assert isinstance(fit(path).not_judged, tuple)


def test_every_part_of_a_path_is_a_noun_with_fields():
    assert all(
        fields(getattr(FeedPath(), item.name))
        for item in fields(FeedPath)
        if is_dataclass(getattr(FeedPath(), item.name))
    )
