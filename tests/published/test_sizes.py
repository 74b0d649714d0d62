"""Rules of size and length that a book or journal states, held by the public answers of fit and recommend.

Sources: Mathers, The Welding of Aluminium and its Alloys, 2002, p. 127; Welding Journal, June 2016, pp. 23-24;
a trade column on feeding aluminium; AWS A5.20 usability designators (memory: the standard itself was not read).
"""

import pytest

from tipward.matching import fit, recommend
from tipward.model import ContactTip, DriveRolls, FeedPath, TorchLead, WeldingCircuit, Wire

INCH = 0.0254
ALUMINIUM = Wire("er4043", 0.0012)


def faults(path):
    return {item.fault: item for item in fit(path).mismatches}


def line(wire, name, **parts):
    return next(item for item in recommend(FeedPath(wire=wire, **parts)).lines if item.line == name)


# length of conduit [m], too long by push?, how far it is trusted next to 4 m
LENGTHS = [(3.0, False), (3.5, False), (3.6, True), (4.0, True), (8.0, True)]


@pytest.mark.parametrize(("length_m", "too_long"), LENGTHS)
def test_aluminium_by_push_alone_goes_3_5_to_3_7_m_at_most(length_m, too_long):
    """Mathers 2002 p. 127; Welding Journal June 2016 pp. 23-24."""
    found = faults(FeedPath(wire=ALUMINIUM, torch_lead=TorchLead(length_m=length_m)))
    assert ("lead-too-long" in found) is too_long
    if too_long:
        assert found["lead-too-long"].source == "mathers-2002"
        assert "3.5 to 3.7 m" in found["lead-too-long"].reason


def test_between_the_two_printed_lengths_the_answer_is_a_doubt():
    """The sources print about 3.5-3.7 m: inside that range the mismatch is trusted less than past it."""
    within, past = (
        faults(FeedPath(wire=ALUMINIUM, torch_lead=TorchLead(length_m=length)))["lead-too-long"]
        for length in (3.6, 3.8)
    )
    assert within.reliability < past.reliability


def test_longest_lead_recommended_for_aluminium_is_the_printed_range():
    advice = line(ALUMINIUM, "torch lead")
    assert (advice.low, advice.high, advice.unit, advice.source) == (3.5, 3.7, "m", "mathers-2002")


def test_aluminium_wants_a_u_groove():
    """Welding Journal June 2016 p. 23: U groove."""
    assert line(ALUMINIUM, "groove form").text == "U"
    assert "groove-form-wrong" in faults(FeedPath(wire=ALUMINIUM, drive_rolls=DriveRolls(groove="v")))
    assert "groove-form-wrong" not in faults(FeedPath(wire=ALUMINIUM, drive_rolls=DriveRolls(groove="u")))


@pytest.mark.parametrize("wire_m", [0.0010, 0.0012, 0.0016])
def test_aluminium_tip_is_10_to_15_percent_over_the_wire(wire_m):
    """Welding Journal June 2016 p. 24, and .008 in over it by a trade column: the wider of both above."""
    wire = Wire("er5356", wire_m)
    advice = line(wire, "tip bore")
    assert advice.low == pytest.approx(max(1.10 * wire_m, wire_m + 0.1e-3), abs=1e-9)
    assert advice.high == pytest.approx(max(1.15 * wire_m, wire_m + 0.20e-3), abs=1e-9)
    for share in (1.10, 1.15):
        bore = ContactTip(bore_m=max(share * wire_m, wire_m + 0.1e-3))
        assert not {"tip-bore-small", "tip-bore-large"} & set(faults(FeedPath(wire=wire, contact_tip=bore)))


@pytest.mark.parametrize("inches", [0.030, 0.035, 0.040, 3 / 64, 1 / 16])
def test_eight_thousandths_over_aluminium_wire_suits_it(inches):
    """Trade column: bore .008 in over the wire."""
    wire = Wire("er4043", inches * INCH)
    tip = ContactTip(bore_m=(inches + 0.008) * INCH)
    assert not {"tip-bore-small", "tip-bore-large"} & set(faults(FeedPath(wire=wire, contact_tip=tip)))


def test_3_64_wire_in_a_1_16_tip_burns_back():
    """Trade column: 3/64 in wire in a 1/16 in tip burns back."""
    wire = Wire("er4043", 3 / 64 * INCH)
    found = faults(FeedPath(wire=wire, contact_tip=ContactTip(marked_size_m=INCH / 16)))
    assert "burn-back" in found["tip-bore-large"].reason


POLARITY = [
    ("e71t-1", "electrode positive"), ("e70t-2", "electrode positive"), ("e71t-9", "electrode positive"),
    ("e71t-12", "electrode positive"), ("e70t-3", "electrode positive"), ("e70t-4", "electrode positive"),
    ("e70t-6", "electrode positive"), ("e70t-7", "electrode negative"), ("e71t-8", "electrode negative"),
    ("e70t-10", "electrode negative"), ("e71t-11", "electrode negative"), ("e71t-13", "electrode negative"),
    ("e71t-14", "electrode negative"),
]  # fmt: skip
OTHER = {"electrode positive": "electrode negative", "electrode negative": "electrode positive"}


@pytest.mark.parametrize(("wire_class", "polarity"), POLARITY)
def test_polarity_by_class(wire_class, polarity):
    """AWS A5.20 (memory): self-shielded T-3, T-4 and T-6 are electrode positive although they need no gas."""
    wire = Wire(wire_class, 0.0016)
    right, other = (FeedPath(wire=wire, welding_circuit=WeldingCircuit(value)) for value in (polarity, OTHER[polarity]))
    assert "polarity-wrong" not in faults(right)
    assert faults(other)["polarity-wrong"].grade == "memory"
    assert line(wire, "polarity").text == polarity


@pytest.mark.parametrize("polarity", OTHER)
def test_t_5_runs_on_either(polarity):
    """AWS A5.20 (memory)."""
    assert "polarity-wrong" not in faults(FeedPath(wire=Wire("e71t-5"), welding_circuit=WeldingCircuit(polarity)))


@pytest.mark.parametrize("wire_class", ["e71t-g", "e71t-gs"])
@pytest.mark.parametrize("polarity", OTHER)
def test_t_g_and_t_gs_are_as_marked(wire_class, polarity):
    """AWS A5.20 (memory): the class leaves it to the maker, so nothing is decided."""
    found = fit(FeedPath(wire=Wire(wire_class), welding_circuit=WeldingCircuit(polarity)))
    assert not found.mismatches
    assert any("mark on the spool" in text for text in found.not_judged)
