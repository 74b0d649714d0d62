"""Customers' pages in a real browser on a phone: questions answered, a photo sent, the report read; axe on each of them."""

import re

import pytest
from test_accessible import looks, unfold, violations
from web_visits import PASSWORD, Running, Watched, open_case

from tipward import tasks
from tipward.model import now
from tipward.web.visitor import token_hash

TOKEN = "a" * 43


def link(shop, case, kind, token=TOKEN):
    from datetime import timedelta

    tasks.make_link(shop, case.id, kind, token_hash(token), now() + timedelta(days=7))
    return f"/{'a' if kind == 'remote' else 'r'}/{token}"


@pytest.fixture
def outside(browser, accounts):
    """A customer's phone against a shop on the network: nobody is signed in."""
    server = Running(accounts, lan=True).start()
    made = []

    def open_phone(**more):
        made.append(Watched(browser, server.url, **more))
        return made[-1].page

    yield open_phone
    for watched in made:
        watched.close()
    server.stop()


@pytest.fixture
def photo(tmp_path):
    from PIL import Image

    file = tmp_path / "lead.jpg"
    Image.new("RGB", (1200, 900), "grey").save(file)
    return file


@pytest.mark.parametrize("scripts", [True, False])
def test_a_customer_answers_and_sends_a_photo(outside, accounts, path, photo, scripts):
    case = open_case(accounts, path, words="the wire slips when the lead is bent")
    page = outside(java_script_enabled=scripts)
    page.goto(link(accounts, case, "remote"))
    asked = page.locator(".questions > li").first.get_attribute("id")
    page.locator(".questions .outcome").first.click()
    page.wait_for_selector(".saved")
    assert page.locator(f"#{asked}").count() == 0
    page.get_by_role("link", name=re.compile("I cannot tell")).first.click()
    page.wait_for_url("**skip=*")
    page.get_by_label("Photo", exact=True).set_input_files(photo)
    page.get_by_role("button", name="Send the photo").click()
    page.wait_for_selector(".saved:has-text('the photo is with the workshop')")
    kept = tasks.read_case(accounts, case.id)
    assert [entry.entry.by for entry in kept.pages[1:]] == ["customer"]
    assert len(tasks.photos_of(accounts, case.id)) == 1


def test_a_german_customer_reads_german(outside, accounts, path):
    case = open_case(accounts, path)
    page = outside(locale="de-DE")
    page.goto(link(accounts, case, "remote"))
    assert page.get_by_role("heading", level=1).inner_text() == "Ein paar Fragen zu Ihrer Schweißmaschine"
    assert page.get_by_text("Kann ich nicht sagen").count() == 3
    assert page.locator(".outcome").all_inner_texts() and "Wide, gentle" not in page.content()


def test_axe_on_questions_in_every_state(outside, accounts, path):
    case = open_case(accounts, path)
    page = outside()
    address = link(accounts, case, "remote")
    looks(page, address, unfold)
    page.locator(".outcome").first.click()
    page.wait_for_selector(".saved")
    assert violations(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    tasks.close_case(accounts, case.id, "done")
    looks(page, address)
    shock = open_case(accounts, path, words="I get a tingle from the torch")
    looks(page, link(accounts, shock, "remote", "b" * 43))
    looks(page, "/a/" + "z" * 43)


def test_axe_on_the_report(outside, accounts, path):
    case = open_case(accounts, path)
    tasks.close_case(accounts, case.id, "done")
    page = outside()
    looks(page, link(accounts, case, "report"))
    assert page.get_by_role("link").count() == 1  # to the content, and nowhere else


def test_axe_on_what_is_handed_to_customers(phone, shop, path, photo):
    case = open_case(shop, path)
    tasks.save_rig(shop, "Bay 3", path, "Harbour Lane")
    page = phone().page
    looks(page, "/rigs/bay-3/label")
    looks(page, f"/cases/{case.id}/customer")
    page.get_by_role("button", name="Make the link").click()
    page.wait_for_selector(".address")
    assert violations(page) == []
    url = page.locator(".address").input_value()
    page.get_by_label("Add a photo").set_input_files(photo)
    page.get_by_role("button", name="Keep the photo").click()
    page.wait_for_selector(".photos img")
    assert violations(page) == []
    assert page.evaluate("document.querySelector('.photos img').naturalWidth") == 1200
    page.emulate_media(color_scheme="dark")
    assert violations(page) == []
    assert url not in page.content()
    assert page.evaluate("document.documentElement.scrollWidth") <= 360


@pytest.mark.parametrize("locale", ["en-GB", "de-DE"])
def test_nothing_stands_out_of_a_phone_in_either_language(outside, accounts, path, locale):
    tasks.save_rig(accounts, "Bay 3", path, "Harbour Lane")
    case = open_case(accounts, path)
    page = outside(locale=locale)
    page.goto("/sign-in")
    page.locator("[name=name]").fill("owner")
    page.locator("[name=password]").fill(PASSWORD)
    page.locator("main button").click()
    page.wait_for_selector("nav")
    addresses = ["/", "/cases/new", "/rigs", "/rigs/new", "/route", "/learned", "/lessons", "/people"]
    addresses += [f"/rigs/bay-3{part}" for part in ("", "/set-up", "/wire", "/label", "/edit")]
    addresses += [f"/cases/{case.id}{part}" for part in ("", "/proof", "/checks", "/move", "/customer")]
    wide = []
    for address in addresses:
        page.goto(address)
        if page.evaluate("document.documentElement.scrollWidth") > 360:
            wide.append(address)
    assert wide == []
