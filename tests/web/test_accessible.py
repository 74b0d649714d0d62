"""axe finds no WCAG 2.2 AA violation on any page, in every state; the printed page fits its paper."""

import pytest
from web_visits import PASSWORD, Running, Watched, hashed_password, open_case

from tipward import tasks

axe_playwright = pytest.importorskip("axe_playwright_python.sync_playwright", reason="no axe: NOT tested for access")
RULES = {"runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}}
COLOURS = {"runOnly": {"type": "rule", "values": ["color-contrast", "link-in-text-block", "target-size"]}}
A4_PX, MARGIN_PX = 794, 106  # 210 mm and twice 14 mm at 96 px an inch


@pytest.fixture(scope="module")
def pages(browser, tmp_path_factory):
    """Every page in its states on one running server: name → (address, what to do there first)."""
    shop = tasks.open_shop(tmp_path_factory.mktemp("access") / "book.db")
    server = Running(shop).start()
    watched = Watched(browser, server.url)
    yield shop, watched.page
    watched.close()
    server.stop()


def violations(page, rules=RULES):
    found = axe_playwright.Axe().run(page, options=rules).response["violations"]
    return [
        (one["id"], [node["target"] + [node["failureSummary"][:300]] for node in one["nodes"][:3]]) for one in found
    ]


def looks(page, address, then=None):
    """The page in light and dark, and as it is printed."""
    page.goto(address)
    if then:
        then(page)
    assert violations(page) == [], address
    # Dark and print change colours and sizes, never the structure.
    for media, scheme in (("screen", "dark"), ("print", "light")):
        page.emulate_media(media=media, color_scheme=scheme)
        assert violations(page, COLOURS) == [], (address, media, scheme)
    fits_the_paper(page, address)
    page.emulate_media(media="screen", color_scheme="light")


def fits_the_paper(page, address):
    size = page.viewport_size
    page.set_viewport_size({"width": A4_PX - MARGIN_PX, "height": 1000})
    assert page.evaluate("document.documentElement.scrollWidth") <= A4_PX - MARGIN_PX, address
    page.set_viewport_size(size)


def unfold(page):
    page.evaluate("for (const one of document.querySelectorAll('details')) one.open = true")


def test_empty_pages(pages):
    _, page = pages
    for address in ("/", "/rigs", "/learned", "/lessons", "/people", "/nowhere", "/cases/zzzz-zzzz"):
        looks(page, address)


def test_forms_and_their_errors(pages):
    _, page = pages
    looks(page, "/cases/new", unfold)
    looks(page, "/rigs/new", unfold)
    page.goto("/cases/new")
    page.get_by_role("button", name="Open the case").click()
    assert page.locator(".refused").count() and violations(page) == []
    page.goto("/rigs/new")
    page.get_by_label("Name of the rig").first.fill("Bay 1")
    page.get_by_label("Diameter of the wire").first.fill("0.9 kg")
    page.get_by_role("button", name="Save the rig").first.click()
    assert page.locator(".refused").count() and violations(page) == []


def test_a_rig_and_its_set_up(pages, path):
    shop, page = pages
    rig = tasks.save_rig(shop, "Bay 3", path, "Harbour Lane")
    tasks.save_baseline(shop, rig.id, {"pull-torch-straight": [9.0, 10.0]})
    open_case(shop, path, rig=rig.id)
    for address in ("/rigs", "/rigs/bay-3", "/rigs/bay-3/edit", "/rigs/bay-3/set-up?lead=3+m&turns=0"):
        looks(page, address, unfold)
    looks(page, "/rigs/bay-3/wire?wire_class=er5356&diameter=1.2+mm", unfold)
    looks(page, "/rigs/bay-3/set-up?turns=many")


def test_a_case_in_every_state(pages, path):
    shop, page = pages
    case = open_case(shop, path)
    url = f"/cases/{case.id}"
    looks(page, "/")
    looks(page, url, unfold)
    for address in ("/checks", "/move", "/proof"):
        looks(page, url + address, unfold)
    measured = next(key for key, _ in tasks.checks_now(shop, case.id) if tasks.unit_of_check(shop, key) == "N")
    looks(page, f"{url}/check/{measured}", unfold)
    page.locator('input[name="readings"]').fill("12 kg")
    page.get_by_role("button", name="Save the readings").click()
    page.wait_for_selector(".refused")
    assert violations(page) == []
    page.goto(url)
    page.locator(".outcome").first.click()
    page.wait_for_selector(".saved")
    assert violations(page) == []
    tasks.close_case(shop, case.id, "the customer took it away")
    looks(page, url, unfold)


def test_two_phones_at_once(pages, path):
    shop, page = pages
    case = open_case(shop, path)
    page.goto(f"/cases/{case.id}")
    tasks.add(shop, case.id, tasks_finding(shop, case.id))
    page.wait_for_selector(".news", timeout=10_000)
    assert violations(page) == []
    page.locator(".outcome").first.click()
    page.wait_for_selector("h1:text-is('Somebody wrote meanwhile')")
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)
        assert violations(page) == []


def tasks_finding(shop, case_id):
    from tipward.model import Cannot

    return Cannot(tasks.checks_now(shop, case_id)[0][0], "no time")


def test_the_sign_in_and_the_people(browser, accounts):
    server = Running(accounts, lan=True).start()
    watched = Watched(browser, server.url)
    page = watched.page
    page.goto("/people")
    assert violations(page) == []
    page.get_by_label("Name").fill("owner")
    page.get_by_label("Password").fill("wrong")
    page.get_by_role("button", name="Sign in").click()
    assert page.locator(".refused").count() and violations(page) == []
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    tasks.add_account(accounts, "gone", hashed_password(), "reader")
    tasks.change_account(accounts, "gone", revoked=True)
    looks(page, "/people", unfold)
    server.stop()
    watched.errors[:] = [said for said in watched.errors if " 401 " not in said]
    watched.close()
