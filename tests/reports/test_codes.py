"""QR labels."""

from xml.etree import ElementTree

import pytest

from tipward.reports import qr_svg


def test_a_label_is_well_formed_stable_and_without_style() -> None:
    label = qr_svg("https://workshop.local/rig/bench-one")
    picture = ElementTree.fromstring(label)
    assert label == qr_svg("https://workshop.local/rig/bench-one")
    assert picture.attrib["viewBox"] and not any("style" in item.attrib for item in picture.iter())


def test_another_address_gives_another_label() -> None:
    assert qr_svg("https://workshop.local/rig/one") != qr_svg("https://workshop.local/rig/two")


@pytest.mark.parametrize(("address", "says"), [("", "give the address"), ("x" * 5000, "too long")])
def test_what_no_label_can_hold_is_refused(address: str, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        qr_svg(address)
