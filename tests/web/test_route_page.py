"""Route: drawn with the mouse in a real browser, in words without scripts, and asked for by a program."""

import json
import math
import re

import pytest
from test_accessible import looks, violations
from web_visits import HERE

from tipward import tasks


@pytest.fixture
def rig(shop, path):
    return tasks.save_rig(shop, "Bay 3", path, "Harbour Lane")


def circle(turns=1.0, radius=100.0, points=60):
    steps = [2 * math.pi * turns * k / points for k in range(points + 1)]
    return [[round(300 + radius * math.cos(a), 1), round(200 + radius * math.sin(a), 1)] for a in steps]


def turns_on(page):
    return float(re.search(r'data-turns="([\d.]+)"', page)[1])


def test_loops_in_words_without_scripts(visit, rig):
    answer = visit.get(f"/route?rig={rig.id}&length=4+m&turns=1&radius=150+mm")
    assert answer.status_code == 200 and turns_on(answer.text) == 1.0
    assert re.search(r'<span class="big-number">[\d.]+ N</span>', answer.text)
    kept = visit.post(f"/rigs/{rig.id}/route", {"length": "4 m", "turns": "1", "radius": "150 mm"})
    assert kept.status_code == 200
    lead = tasks.see_rig(visit.client.app.state.shop, rig.id).rig.path.torch_lead
    assert [piece.radius_m for piece in lead.route] == [None, 0.15, None]


def test_without_a_rig_what_is_usual_is_taken(visit):
    assert turns_on(visit.get("/route?length=4+m&turns=0.5&radius=10+in").text) == 0.5


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ("turns=1&radius=150+mm", "Length of the torch lead"),
        ("length=4+m&turns=many&radius=150+mm", "is not a quantity"),
        ("length=4+m&turns=1", "is not a quantity"),
        ("length=4+m&turns=9&radius=150+mm", "shorter than its loops"),
    ],
)
def test_what_cannot_be_is_said_on_the_page(visit, asked, said):
    answer = visit.get(f"/route?{asked}")
    assert answer.status_code == 422 and said in answer.text and "Not worked out yet" in answer.text


def test_a_drawn_circle_is_about_one_turn(visit, rig):
    visit.get(f"/route?rig={rig.id}")
    answer = visit.post("/route/cost", {"rig": rig.id, "length": "4 m", "points": json.dumps(circle())})
    assert answer.status_code == 200 and turns_on(answer.text) == pytest.approx(1.0, abs=0.03)
    assert "<html" not in answer.text
    overlay = json.loads(re.search(r'data-overlay="([^"]*)"', answer.text)[1].replace("&#34;", '"'))
    assert len(overlay["bends"]) == 1 and len(overlay["line"]) > 100


def test_a_drawing_is_kept_with_its_rig(visit, shop, rig):
    visit.get(f"/route?rig={rig.id}")
    visit.post(f"/rigs/{rig.id}/route", {"length": "3 m", "points": json.dumps(circle(2.0))})
    lead = tasks.see_rig(shop, rig.id).rig.path.torch_lead
    assert lead.length_m == 3.0 and lead.turns is None
    assert sum(piece.turning_rad or 0 for piece in lead.route) == pytest.approx(4 * math.pi, rel=0.03)


@pytest.mark.parametrize(
    "points",
    [
        "",
        "{}",
        "[[1]]",
        '[["a", 1]]',
        "[[1e999, 0], [1, 1], [2, 2]]",
        "[[NaN, 0], [1, 1], [2, 2]]",
        "[" * 50_000,
        "null",
    ],
)
def test_points_that_are_none_are_refused(visit, points):
    visit.get("/route")
    assert visit.post("/route/cost", {"length": "4 m", "points": points}).status_code == 422


def test_too_many_points_and_unknown_rigs_are_refused(visit):
    visit.get("/route")
    many = json.dumps([[k, k % 7] for k in range(7000)])
    assert visit.post("/route/cost", {"length": "4 m", "points": many}).status_code == 422
    assert (
        visit.post("/route/cost", {"length": "4 m", "rig": "none", "points": json.dumps(circle())}).status_code == 404
    )


def test_a_reader_may_ask_but_not_keep(lan, accounts, path):
    rig = tasks.save_rig(accounts, "Bay 3", path)
    visit = lan("reader")
    visit.get(f"/route?rig={rig.id}")
    asked = {"rig": rig.id, "length": "4 m", "points": json.dumps(circle())}
    answer = visit.post("/route/cost", asked)
    assert answer.status_code == 200 and "Keep this for" not in answer.text
    assert visit.post(f"/rigs/{rig.id}/route", asked).status_code == 403
    assert tasks.see_rig(accounts, rig.id).rig == rig
    nobody = lan()
    assert nobody.get("/route", follow_redirects=False).status_code == 303
    nobody.get("/sign-in")
    assert nobody.post("/route/cost", asked).status_code == 401


def test_a_foreign_page_cannot_ask(visit):
    visit.get("/route")
    foreign = {"origin": "http://evil.example"}
    assert visit.post("/route/cost", {"points": "[]"}, headers=foreign).status_code == 403


def test_the_api_measures_the_same(visit):
    setup = {"wire": {"wire_class": "er70s-6", "diameter": "0.9 mm"}}
    said = visit.client.post("/api/route", json={"setup": setup, "length": "4 m", "points": circle()}).json()
    assert said["turns"] == pytest.approx(1.0, abs=0.03) and said["costliest"] == 0
    loops = visit.client.post(
        "/api/route", json={"setup": setup, "length": "4 m", "turns": 1, "radius": "150 mm"}
    ).json()
    assert loops["push_n"]["mid"] > loops["straight_n"]["mid"]
    assert visit.client.post("/api/route", json={"setup": setup}).status_code == 422


def draw(page, points):
    """Points as shares of the pad, drawn with the mouse."""
    pad = page.locator("#pad svg")
    pad.scroll_into_view_if_needed()
    box = pad.bounding_box()
    where = [
        (box["x"] + box["width"] / 2 + box["height"] * x, box["y"] + box["height"] / 2 + box["height"] * y)
        for x, y in points
    ]
    page.mouse.move(*where[0])
    page.mouse.down()
    for at in where[1:]:
        page.mouse.move(*at)
    page.mouse.up()
    page.wait_for_selector("[data-overlay]")
    page.wait_for_load_state("networkidle")


def ring(turns=1.0, radius=0.35, points=50):
    steps = [2 * math.pi * k / points for k in range(int(points * turns) + 1)]
    return [(radius * math.cos(a), radius * math.sin(a)) for a in steps]


def turns_shown(page):
    return float(page.locator("#route-turns").get_attribute("data-turns"))


def settled(page):
    """Turns, once the answer to all the points on the pad is there."""
    for _ in range(150):
        drawn = page.locator("#pad").get_attribute("data-points")
        if drawn == page.locator("#route-answer").get_attribute("data-read"):
            return turns_shown(page)
        page.wait_for_timeout(100)
    raise AssertionError("no answer to the whole drawing")


def test_a_circle_drawn_with_the_mouse_on_a_phone(phone, rig):
    page = phone().page
    page.goto(f"/route?rig={rig.id}")
    draw(page, ring())
    assert settled(page) == pytest.approx(1.0, abs=0.05)
    assert page.locator(".pad-bend.most").count() == 1
    draw(page, ring(2.0))
    assert settled(page) == pytest.approx(2.0, abs=0.1)
    page.get_by_role("button", name="Keep this for Bay 3").click()
    page.wait_for_url("**/set-up")


def test_the_cost_is_there_while_the_finger_is_still_down(phone):
    page = phone().page
    page.goto("/route")
    box = page.locator("#pad svg").bounding_box()
    page.mouse.move(box["x"] + 20, box["y"] + 60)
    page.mouse.down()
    for step in range(40):
        page.mouse.move(box["x"] + 20 + 6 * step, box["y"] + 60 + 20 * math.sin(step / 6))
    page.wait_for_selector("[data-overlay]")
    page.mouse.up()


def test_taps_on_a_photo_that_never_leaves_the_phone(phone, tmp_path):
    from PIL import Image

    photo = tmp_path / "lead.png"
    Image.new("RGB", (400, 600), "white").save(photo)
    watched = phone()
    page, sent = watched.page, []
    page.on("request", lambda request: sent.append(request.post_data_buffer or b""))
    page.goto("/route")
    page.locator("input[type=file]").set_input_files(photo)
    page.wait_for_selector("#pad img:not([hidden])")
    box = page.locator("#pad svg").bounding_box()
    assert box["height"] / box["width"] == pytest.approx(1.5, rel=0.05)
    for x, y in [(0.1, 0.1), (0.1, 0.25), (0.1, 0.4), (0.12, 0.45), (0.2, 0.5), (0.4, 0.5), (0.6, 0.5)]:
        page.locator("#pad svg").click(position={"x": x * box["width"], "y": y * box["height"]})
    assert settled(page) == pytest.approx(0.25, abs=0.06)
    page.get_by_role("button", name="Undo").click()
    assert page.locator(".pad-taps circle").count() == 6
    assert max(map(len, sent)) < 2000


def test_the_drawing_is_there_again_after_a_reload(phone, rig):
    page = phone().page
    page.goto(f"/route?rig={rig.id}")
    draw(page, ring())
    page.reload()
    page.wait_for_selector("[data-overlay]")
    assert settled(page) == pytest.approx(1.0, abs=0.05)


def test_without_scripts_there_is_the_form_and_no_pad(phone, rig):
    page = phone(java_script_enabled=False).page
    page.goto(f"/route?rig={rig.id}")
    assert not page.locator("#pad").is_visible()
    page.get_by_label("Loops", exact=True).fill("1")
    page.get_by_label("Radius of the loops").fill("6 in")
    page.get_by_role("button", name="Work it out").click()
    assert turns_shown(page) == 1.0


def test_axe_finds_nothing_empty_drawn_and_refused(phone, rig):
    watched = phone()
    page = watched.page
    looks(page, "/route")
    looks(page, f"/route?rig={rig.id}&length=4+m&turns=1&radius=150+mm")
    looks(page, "/route?length=4+m&turns=many&radius=1+m")
    page.goto(f"/route?rig={rig.id}")
    draw(page, ring())
    assert violations(page) == []
    page.emulate_media(color_scheme="dark")
    assert violations(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= 360


def test_the_pad_keeps_the_policy(visit):
    page = visit.get("/route").text
    assert HERE not in page and not re.search(r"<script(?![^>]* src=)| style=| on[a-z]+=", page)
