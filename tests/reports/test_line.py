"""The line as picture: well formed, to scale, safe under a strict CSP, complete without eyes."""

import math
from dataclasses import replace
from itertools import pairwise
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as some
from invented_workshop import PATH, PATHS, SUSPICIONS, band, budget

from tipward.model import STATIONS, FeedPath, Limit, TorchLead, Wire
from tipward.reports import LINE_CSS, line_svg
from tipward.reports.apparatus import Frame
from tipward.reports.forces import spread
from tipward.reports.places import course

SVG = "{http://www.w3.org/2000/svg}"


def drawn(*given_: object, **more: object) -> ElementTree.Element:
    return ElementTree.fromstring(line_svg(*given_, **more))  # type: ignore[arg-type]


def texts(picture: ElementTree.Element) -> list[str]:
    return [item.text or "" for item in picture.iter(f"{SVG}text")]


@pytest.mark.parametrize("upright", [False, True])
@pytest.mark.parametrize("name", PATHS)
def test_well_formed_and_kept_within_its_frame(name: str, upright: bool) -> None:
    path = PATHS[name]
    picture = drawn(path, budget(length=course(path).length_m), SUSPICIONS, upright=upright)
    _, _, width, height = (float(n) for n in picture.attrib["viewBox"].split())
    assert width == (360 if upright else 720)
    for item in picture.iter():
        for key, most in (("x", width), ("cx", width), ("y", height), ("cy", height)):
            if key in item.attrib:
                assert -1 <= float(item.attrib[key]) <= most + 1, ElementTree.tostring(item)


@pytest.mark.parametrize("upright", [False, True])
def test_nothing_that_a_strict_policy_would_block(upright: bool) -> None:
    picture = drawn(PATH, budget(), SUSPICIONS, upright=upright)
    for item in picture.iter():
        assert item.tag not in {f"{SVG}style", f"{SVG}script", f"{SVG}foreignObject", f"{SVG}image"}
        assert not {"style", "href", "{http://www.w3.org/1999/xlink}href"} & set(item.attrib)
        assert not [key for key in item.attrib if key.startswith("on")]


def test_a_file_of_its_own_brings_its_stylesheet() -> None:
    picture = drawn(PATH, standalone=True)
    assert [item.text for item in picture.iter(f"{SVG}style")] == [LINE_CSS]
    assert "prefers-color-scheme:dark" in LINE_CSS and "url(" not in LINE_CSS


def test_every_class_is_prefixed() -> None:
    for item in drawn(PATH, budget(), SUSPICIONS).iter():
        assert all(name.startswith("tw-") for name in item.attrib.get("class", "").split())


def test_the_same_input_gives_the_same_picture() -> None:
    assert line_svg(PATH, budget(), SUSPICIONS) == line_svg(PATH, budget(), dict(reversed(SUSPICIONS.items())))


def test_title_and_description_tell_all_without_eyes() -> None:
    picture = drawn(PATH, budget(), SUSPICIONS)
    ids = picture.attrib["aria-labelledby"].split()
    told = {item.attrib["id"]: item.text or "" for item in picture.iter() if "id" in item.attrib}
    assert picture.attrib["role"] == "img" and list(told) == ids
    says = told[ids[1]]
    for part in ("12.7 N", "Rolls slip at 41 N", "Wire locks in the lead at 300 N", "Liner: about 7 in 10 (71 %)"):
        assert part in says
    assert "ettings" in says and "Trigger" not in says


def test_upright_and_lying_pictures_may_share_a_page() -> None:
    both = [drawn(PATH, budget(), SUSPICIONS, upright=upright) for upright in (False, True)]
    ids = [item.attrib["id"] for picture in both for item in picture.iter() if "id" in item.attrib]
    assert len(ids) == len(set(ids)) == 4


@pytest.mark.parametrize("upright", [False, True])
def test_every_station_limit_and_loud_suspicion_is_written(upright: bool) -> None:
    said = " ".join(texts(drawn(PATH, budget(), SUSPICIONS, upright=upright)))
    for name in ("wire", "spool", "drive", "liner", "contact", "nozzle", "trigger", "welding", "settings"):
        assert name in said
    for part in ("41 N", "38 N", "300 N", "44 N", "150 N", "7 in 10", "71 %", "3 in 10", "33 %"):
        assert part in said


def test_suspicion_is_drawn_as_so_many_squares_of_ten() -> None:
    picture = drawn(PATH, None, {"liner": 0.7, "wire": 0.25})
    full = [item for item in picture.iter(f"{SVG}rect") if item.attrib["class"] == "tw-pip-full"]
    empty = [item for item in picture.iter(f"{SVG}rect") if item.attrib["class"] == "tw-pip"]
    area = sum(float(item.attrib["width"]) * float(item.attrib["height"]) for item in full)
    assert len(empty) == 20
    assert area == pytest.approx((7 + 2.5) * 64, abs=0.3)  # coordinates are printed to two digits


def test_without_budget_or_suspicion_the_path_alone_is_drawn() -> None:
    picture = drawn(PATH)
    names = {item.attrib.get("class") for item in picture.iter()}
    assert "tw-wire" in names and not names & {"tw-force", "tw-pip", "tw-limit"}


def test_first_limit_is_told_by_weight_not_by_colour() -> None:
    bold = [item.text for item in drawn(PATH, budget()).iter(f"{SVG}text") if item.attrib.get("font-weight") == "700"]
    assert bold == ["wire nests at the guide at 38 N, 3.0×"]


def test_each_limit_has_a_dash_of_its_own() -> None:
    rules = [
        item.attrib["stroke-dasharray"] for item in drawn(PATH, budget()).iter() if "stroke-dasharray" in item.attrib
    ]
    assert len(rules) == len(set(rules)) == 3  # slip, collapse and crush are on the scale


def test_hostile_names_stay_text() -> None:
    nasty = '"><script>alert(1)</script>&\x07\u202e'
    picture = drawn(replace(PATH, wire=Wire(nasty, 0.0009)), budget(), SUSPICIONS)
    assert not list(picture.iter(f"{SVG}script"))
    assert any("<SCRIPT>" in text for text in texts(picture))
    assert not any("\x07" in text or "\u202e" in text for text in texts(picture))


def test_a_long_name_is_cut_and_says_so() -> None:
    heading = texts(drawn(replace(PATH, wire=Wire("x" * 2000, 0.0009))))[0]
    assert len(heading) < 70 and "…" in heading


@pytest.mark.parametrize("upright", [False, True])
def test_a_wire_that_locks_up_is_drawn_and_said(upright: bool) -> None:
    endless = math.inf
    locked = budget()
    stations = tuple(replace(item, force_n=replace(item.force_n, high=endless)) for item in locked.stations)
    limits = (Limit("lock-up", "torch-lead", band(endless), band(endless), 0.4),)
    locked = replace(locked, push_n=replace(locked.push_n, high=endless), stations=stations, limits=limits)
    picture = line_svg(PATH, locked, SUSPICIONS, upright=upright)
    assert "nan" not in picture and ">inf" not in picture and "locked up" in picture


def test_tension_of_a_push_pull_set_is_drawn_below_nought() -> None:
    pulled = budget()
    stations = tuple(
        replace(item, force_n=replace(band(1.0), low=-9.0, mid=-6.0, high=-3.0)) for item in pulled.stations
    )
    picture = drawn(PATH, replace(pulled, stations=stations))
    middle = next(item.attrib["d"] for item in picture.iter() if item.attrib.get("class") == "tw-force-mid")
    nought = next(item.attrib["d"] for item in picture.iter() if item.attrib.get("class") == "tw-axis")
    assert float(middle.split("L")[0].split()[1]) > float(nought.split("L")[0].split()[1])


@given(some.floats(0.5, 15), some.floats(0, 1), some.floats(0, 1))
def test_places_along_the_wire_are_to_scale(length: float, one: float, other: float) -> None:
    path = FeedPath(torch_lead=TorchLead(length_m=length))
    frame = Frame(False, 36, 108, 640, 100, course(path))
    near, far = sorted((one * length, other * length))
    assert frame.along(near) >= frame.along(far)  # the tip is at the far end of the picture
    assert frame.along(near) - frame.along(far) == pytest.approx((far - near) / length * (640 - 108), abs=1e-6)


@pytest.mark.parametrize("name", PATHS)
def test_stations_follow_one_another_from_spool_to_arc(name: str) -> None:
    frame = Frame(False, 36, 108, 640, 100, course(PATHS[name]))
    places = [place for station in STATIONS if (place := frame.station(station)) is not None]
    assert len(places) == len(STATIONS) - 3
    assert places == sorted(places)


def test_bends_lie_where_the_route_says() -> None:
    laid = course(PATHS["routed"])
    wide, tight = laid.bends[1:]
    assert (wide.end_m, wide.start_m) == pytest.approx((2.0, 2.0 - 0.5 * math.pi / 2))
    assert tight.end_m == pytest.approx(wide.start_m)
    assert tight.turning_rad == pytest.approx(math.pi)


@given(some.lists(some.floats(0, 100), min_size=1, max_size=6))
def test_labels_never_overlap(wanted: list[float]) -> None:
    places = spread(sorted(wanted), 14.0, 0.0, 100.0)
    assert all(after - before >= 14.0 - 1e-9 for before, after in pairwise(places))
    assert places[-1] <= 100.0
