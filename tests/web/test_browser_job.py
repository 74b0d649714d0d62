"""The whole job in a real Chromium at 360 × 740: with scripts, without, by keyboard alone; and on bad Wi-Fi."""

import re
import time

import pytest
from test_case_pages import good_reading
from web_visits import SETUP, open_case

from tipward import tasks

MOST_STEPS = 60
WORDS = "The wire slips and burns back when the lead is bent"


class Hands:
    """Taps and types; waits for the page that answers."""

    def __init__(self, phone, scripts=True):
        self.page, self.scripts = phone.page, scripts

    def send(self, element):
        """Press a button or link that leads on, and wait until its answer is there."""
        if not self.scripts:
            with self.page.expect_navigation():
                self.press(element)
            return
        self.page.evaluate("document.getElementById('main').dataset.old = 'yes'")
        self.press(element)
        self.page.wait_for_selector("#main:not([data-old])", state="attached")
        self.page.wait_for_load_state("load")

    def press(self, element):
        element.click()

    def fill(self, element, text):
        element.fill(text)

    def tick(self, element):
        element.check(force=True)


class Keys(Hands):
    """The same with the Tab, Space and Enter keys alone."""

    def reach(self, element):
        handle = element.element_handle()
        for _ in range(400):
            if self.page.evaluate("one => document.activeElement === one", handle):
                assert self.page.evaluate(VISIBLE_FOCUS), "the focus cannot be seen"
                return
            self.page.keyboard.press("Tab")
        raise AssertionError(f"cannot be reached by Tab: {handle}")

    def press(self, element):
        self.reach(element)
        self.page.keyboard.press("Enter")

    def fill(self, element, text):
        self.reach(element)
        self.page.keyboard.press("Control+a")
        self.page.keyboard.type(text)

    def tick(self, element):
        """Radio groups take one stop of Tab; arrows move inside."""
        group = element.page.locator(f'input[name="{element.get_attribute("name")}"]')
        self.reach(group.first)
        self.page.keyboard.press("Space")


VISIBLE_FOCUS = """() => {
  const style = getComputedStyle(document.activeElement);
  return document.activeElement === document.body || (style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) >= 2);
}"""


def open_by_hand(hands):
    page = hands.page
    page.goto("/")
    hands.send(page.get_by_role("link", name="New case"))
    hands.fill(page.get_by_label("What does the customer say?"), WORDS)
    hands.press(page.locator("summary", has_text="Describe the set-up"))
    hands.fill(page.get_by_label("Set-up text"), SETUP)
    hands.send(page.get_by_role("button", name="Open the case"))
    return re.search(r"/cases/([a-z0-9-]+)", page.url)[1]


def do_the_job(hands, shop, case_id):
    page = hands.page
    for _ in range(MOST_STEPS):
        if tasks.read_case(shop, case_id).closed():
            return
        step(hands, shop, case_id)
    raise AssertionError(f"no end after {MOST_STEPS} steps: {page.url}")


def step(hands, shop, case_id):
    card = hands.page.locator("#next")
    if card.locator('input[name="readings"]').count():
        unit = card.locator('input[name="unit"]').get_attribute("value")
        hands.fill(card.locator('input[name="readings"]'), "10 N" if unit == "N" else "1")
        hands.send(card.get_by_role("button", name="Save the readings"))
    elif card.locator(".outcome").count():
        hands.send(card.locator(".outcome").first)
    elif card.locator('form[action$="/repair"]').count():
        hands.send(card.get_by_role("button", name="Done"))
    elif card.get_by_role("link", name="To the proof").count():
        hands.send(card.get_by_role("link", name="To the proof"))
        prove(hands, shop, case_id)
    else:
        hands.send(card.locator('form[action$="/close"] button'))


def prove(hands, shop, case_id):
    page = hands.page
    for target in tasks.view(shop, case_id, explain=False).proof.targets:
        field = page.locator(f'[name="read:{target.id}"]')
        reading = good_reading(target)
        if reading in {"yes", "no"}:
            hands.tick(field.first if reading == "yes" else field.last)
        else:
            hands.fill(field, reading)
    hands.send(page.get_by_role("button", name="Save these readings"))
    close = page.get_by_role("button", name="Close the case as proved")
    hands.send(close if close.count() else page.get_by_role("link", name="Back to the case"))


def ends_with_a_proven_card(hands, shop, case_id):
    page = hands.page
    page.goto(f"/cases/{case_id}")
    assert tasks.read_case(shop, case_id).closed().how == "proved"
    assert page.locator("#next h2").inner_text() == "Proved"
    card = page.request.get(page.get_by_role("link", name="Card (A4)").get_attribute("href"))
    assert card.ok and card.body().startswith(b"%PDF-")


def test_with_scripts(phone, shop):
    hands = Hands(phone())
    case = open_by_hand(hands)
    do_the_job(hands, shop, case)
    ends_with_a_proven_card(hands, shop, case)


def test_without_scripts(phone, shop):
    hands = Hands(phone(java_script_enabled=False), scripts=False)
    hands.page.goto("/cases/new")
    hands.fill(hands.page.get_by_label("What does the customer say?"), WORDS)
    hands.send(hands.page.get_by_role("button", name="Open the case"))
    case = re.search(r"/cases/([a-z0-9-]+)", hands.page.url)[1]
    do_the_job(hands, shop, case)
    ends_with_a_proven_card(hands, shop, case)


def test_by_keyboard_alone(phone, shop):
    hands = Keys(phone())
    case = open_by_hand(hands)
    do_the_job(hands, shop, case)
    ends_with_a_proven_card(hands, shop, case)


def test_the_back_button_leads_back_and_writes_nothing_twice(phone, shop, path):
    case, hands = open_case(shop, path), Hands(phone())
    page = hands.page
    page.goto("/")
    page.goto(f"/cases/{case.id}")
    asked = page.locator("#next h2").inner_text()
    hands.send(page.locator(".outcome").first)
    written = len(tasks.read_case(shop, case.id).pages)
    assert page.locator("#next h2").inner_text() != asked
    now = page.locator("#next h2").inner_text()
    page.go_back()
    page.wait_for_selector(f"#next h2:text-is({now!r})")  # the case as it stands, not as it stood
    assert page.url.endswith(case.id) and len(tasks.read_case(shop, case.id).pages) == written
    page.go_back()
    page.wait_for_selector("text=Open")
    assert page.url.rstrip("/").count("/") == 2


def test_another_phone_is_seen_within_seconds(phone, shop, path):
    case, hands = open_case(shop, path), Hands(phone())
    hands.page.goto(f"/cases/{case.id}")
    other = Hands(phone())
    other.page.goto(f"/cases/{case.id}")
    other.send(other.page.locator(".outcome").first)
    hands.page.wait_for_selector(".news", timeout=10_000)
    assert "1 new entry" in hands.page.locator("#news").inner_text()
    hands.send(hands.page.locator(".outcome").last)
    assert hands.page.locator("h1").inner_text() == "Somebody wrote meanwhile"
    hands.send(hands.page.get_by_role("button", name="Add mine as well"))
    assert len(tasks.read_case(shop, case.id).pages) == len(case.pages) + 2


def test_what_was_typed_survives_a_reload(phone):
    page = phone().page
    page.goto("/cases/new")
    page.get_by_label("What does the customer say?").fill("burns back, they say")
    page.reload()
    assert page.get_by_label("What does the customer say?").input_value() == "burns back, they say"
    page.get_by_role("button", name="Open the case").click()
    page.wait_for_url(re.compile(r"/cases/[a-z0-9]{4}-"))
    page.goto("/cases/new")
    assert page.get_by_label("What does the customer say?").input_value() == ""


def test_an_answer_given_while_the_server_is_down_is_sent_when_it_is_back(browser, running, shop, path):
    from web_visits import Watched

    case, watched = open_case(shop, path), Watched(browser, running.url)
    page = watched.page
    page.goto(f"/cases/{case.id}")
    running.stop()
    page.locator(".outcome").first.click()
    page.wait_for_selector("#outbox:not([hidden])")
    assert "sent again" in page.locator("#outbox").inner_text()
    assert len(tasks.read_case(shop, case.id).pages) == len(case.pages)
    running.start()
    page.wait_for_selector(".saved", timeout=20_000)
    assert len(tasks.read_case(shop, case.id).pages) == len(case.pages) + 1
    assert all("ERR_CONNECTION_REFUSED" in said or "htmx:error" in said or "fetch" in said for said in watched.errors)
    watched.errors.clear()
    watched.close()


def test_a_double_tap_by_hand_writes_once(phone, shop, path):
    case, page = open_case(shop, path), phone().page
    page.goto(f"/cases/{case.id}")
    page.locator(".outcome").first.dblclick()
    page.wait_for_selector(".saved")
    time.sleep(0.5)
    assert len(tasks.read_case(shop, case.id).pages) == len(case.pages) + 1


@pytest.mark.parametrize("width", [320, 360, 412])
def test_no_page_scrolls_sideways_and_targets_are_large(phone, shop, path, width):
    rig = tasks.save_rig(shop, "Bay 3", path)
    case, page = open_case(shop, path, rig=rig.id), phone(viewport={"width": width, "height": 740}).page
    for url in ("/", "/cases/new", f"/cases/{case.id}", f"/cases/{case.id}/proof", "/rigs", "/rigs/bay-3", "/learned"):
        page.goto(url)
        assert page.evaluate("document.documentElement.scrollWidth") <= width, url
        small = page.evaluate(SMALL_TARGETS)
        assert small == [], url
    for url in ("/rigs/bay-3/edit", "/rigs/bay-3/set-up", "/rigs/bay-3/wire?wire_class=er5356&diameter=1.2+mm"):
        page.goto(url)
        assert page.evaluate("document.documentElement.scrollWidth") <= width, url


SMALL_TARGETS = """() => [...document.querySelectorAll(
  'a.button, button, summary, .row, nav a, .tick, select, input:not([type=hidden])')]
  .filter(one => one.offsetParent && !one.closest('.tick input'))
  .filter(one => !(one.matches('.tick input')))
  .map(one => [one.tagName, one.textContent.trim().slice(0, 30), one.getBoundingClientRect().height])
  .filter(([, , height]) => height < 44)"""
