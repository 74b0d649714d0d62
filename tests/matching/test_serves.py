"""The reverse of a recommendation: what parts on the shelf serve, and why not the rest."""

import pytest

from tipward.matching import fit, recommend, serves
from tipward.matching.recommending import suited
from tipward.matching.serving import TRIED
from tipward.matching.sizes import usual_sizes
from tipward.model import ContactTip, DriveRolls, FeedPath, Liner, TorchLead, Wire

SHELF = FeedPath(
    drive_rolls=DriveRolls(groove="v", groove_size_m=0.0009),
    liner=Liner("steel", 0.002),
    contact_tip=ContactTip(marked_size_m=0.0009, for_aluminium=False),
)


def served(parts):
    return {item.wire_class: item for item in serves(parts)}


def test_every_kind_and_size_is_either_served_or_refused_with_a_reason():
    for item in serves(SHELF):
        refused = {size for size, _ in item.refused}
        assert refused | set(item.diameters_m) == set(usual_sizes()) and not refused & set(item.diameters_m)
        assert all(reasons and all(reasons) for _, reasons in item.refused)
    assert tuple(item.wire_class for item in serves(SHELF)) == TRIED


def test_parts_for_steel_serve_steel_of_their_size_only():
    found = served(SHELF)
    assert found["solid steel"].diameters_m == pytest.approx((0.000889, 0.0009))
    assert found["er4043"].diameters_m == () and found["flux-cored"].diameters_m == ()
    reasons = dict(found["er4043"].refused)[0.0009]
    assert any("groove" in text for text in reasons) and any("steel spiral" in text for text in reasons)
    assert any("groove" in text for text in dict(found["solid steel"].refused)[0.0012])


def test_an_empty_shelf_refuses_nothing():
    for item in serves(FeedPath()):
        assert item.refused == () and len(item.diameters_m) == len(usual_sizes())


@pytest.mark.parametrize("key", [key for key in TRIED if key != "flux-cored"])
@pytest.mark.parametrize("size", [0.0009, 0.0012])
def test_recommended_parts_serve_the_wire_they_were_recommended_for(key, size):
    parts = suited(FeedPath(wire=Wire(key, size)))
    assert size in served(parts)[key].diameters_m
    assert recommend(FeedPath(wire=Wire(key, size))).lines


def test_serves_says_the_same_as_fit():
    parts = FeedPath(
        drive_rolls=SHELF.drive_rolls, liner=SHELF.liner, contact_tip=SHELF.contact_tip, wire=Wire("er70s-6", 0.0012)
    )
    reasons = dict(served(SHELF)["solid steel"].refused)[0.0012]
    assert len(reasons) == len(fit(parts).mismatches) == 2


def test_a_long_torch_lead_refuses_aluminium_and_thin_wire_by_push():
    found = served(FeedPath(torch_lead=TorchLead(length_m=4.0)))
    assert found["er5356"].diameters_m == ()
    assert min(found["solid steel"].diameters_m) == pytest.approx(0.000762)
