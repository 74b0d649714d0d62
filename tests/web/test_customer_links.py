"""Links for customers: what they show, what they refuse, when they end; and photos that mean harm."""

import io
import re
import struct
import zlib
from datetime import timedelta
from pathlib import Path

import pytest
from PIL import Image, PngImagePlugin
from starlette.testclient import TestClient
from web_visits import HERE, Visit, open_case

from tipward import tasks
from tipward.foundation import InputError
from tipward.model import Finding, TakenBack, now
from tipward.web import create_app
from tipward.web.photos import LARGEST_PHOTO, safe_photo
from tipward.web.visitor import token_hash

SCRIPT = "<script>alert(1)</script>\"'><img src=x onerror=alert(1)>"


def hand_over(visit, case, kind, days="7"):
    """A link as a technician makes it: its path."""
    visit.get(f"/cases/{case.id}/customer")
    answer = visit.post(f"/cases/{case.id}/links", {"kind": kind, "days": days})
    assert answer.status_code == 201, answer.text
    return re.search(r'value="http://localhost(/[ar]/[\w-]{43})"', answer.text)[1]


@pytest.fixture
def workshop(lan, accounts, path):
    """A technician of a shop on the network, and a customer without an account."""
    return (
        lan("technician"),
        lan(),
        open_case(accounts, path, words="the wire slips and burns back", customer="Harbour Lane"),
    )


def questions(page):
    return re.findall(r'name="check" value="([\w-]+)"', page)


def test_a_customer_answers_without_an_account_and_it_enters_as_reported(workshop, accounts):
    technician, customer, case = workshop
    link = hand_over(technician, case, "remote")
    page = customer.get(link)
    assert page.status_code == 200 and "the wire slips and burns back" in page.text
    asked = questions(page.text)
    assert 1 <= len(asked) <= 3
    outcome = re.search(r'name="outcome" value="([\w-]+)"', page.text)[1]
    answer = customer.post(
        f"{link}/answer", {"check": asked[0], "outcome": outcome, "note": "it lies in a heap", "skip": ""}
    )
    assert answer.status_code == 200 and "Thank you" in answer.text and asked[0] not in questions(answer.text)
    entry = tasks.read_case(accounts, case.id).pages[-1].entry
    assert (entry.check, entry.outcome, entry.by, entry.note) == (asked[0], outcome, "customer", "it lies in a heap")


def test_an_answer_of_a_customer_weighs_less_than_that_of_a_technician(accounts, path):
    def suspected(by):
        case = open_case(accounts, path)
        case = tasks.add(accounts, case.id, Finding("look-lead-lie", "tight", by=by))
        return {one.fault: one.probability for one in tasks.see(accounts, case).judgement.suspicions}[
            "lead-tight-loops"
        ]

    assert suspected("customer") < suspected("technician")


def test_the_customer_is_told_nothing_of_what_stands_behind(workshop, accounts):
    technician, customer, case = workshop
    tasks.add(accounts, case.id, Finding("look-hub", _outcome(accounts, "look-hub"), note="secret note"))
    page = customer.get(hand_over(technician, case, "remote")).text
    for hidden in (
        case.id,
        "secret note",
        "about 1 in",
        "suspicion",
        "technician",
        "/cases",
        "/rigs",
        "/people",
        "<nav",
    ):
        assert hidden not in page, hidden


def _outcome(shop, check):
    return shop.catalogue.checks[check].outcomes[0].id


def test_sent_twice_it_counts_once(workshop, accounts):
    technician, customer, case = workshop
    link = hand_over(technician, case, "remote")
    asked = questions(customer.get(link).text)
    said = {"check": asked[0], "outcome": _outcome(accounts, asked[0]), "key": "tap"}
    for _ in range(2):
        assert customer.post(f"{link}/answer", said).status_code == 200
    assert len(tasks.read_case(accounts, case.id).pages) == len(case.pages) + 1


def test_what_cannot_be_told_is_not_asked_again_and_nothing_is_kept_of_it(workshop, accounts):
    technician, customer, case = workshop
    link = hand_over(technician, case, "remote")
    first = questions(customer.get(link).text)
    left = questions(customer.get(f"{link}?skip={first[0]}").text)
    assert first[0] not in left and first[1] in left
    assert tasks.read_case(accounts, case.id).pages == case.pages
    assert customer.get(f"{link}?skip={'x,' * 700}").status_code == 200


def test_only_looks_that_open_nothing_run_nothing_and_need_nothing_are_asked(accounts, path):
    checks = accounts.catalogue.checks
    case, skipped, seen = open_case(accounts, path), set(), set()
    while True:
        asked = tasks.ask_customer(accounts, case, frozenset(skipped)).checks
        if not asked:
            break
        seen |= {check.check for check in asked}
        skipped |= seen
    assert len(seen) > 10
    for name in seen:
        check = checks[name]
        assert check.who == "customer" and "phone" in check.at and check.reading is None
        assert not (check.opens_machine or check.runs_wire or check.tools or check.spares or check.set_up), name


@pytest.mark.parametrize(
    "check", ["jog-inside", "look-tip", "pull-torch-straight", "swap-tip", "look-hub", "no-such-check", "", "../x"]
)
def test_a_check_that_is_not_for_customers_is_refused(workshop, accounts, check):
    technician, customer, case = workshop
    link = hand_over(technician, case, "remote")
    customer.get(link)
    known = accounts.catalogue.checks.get(check)
    outcome = known.outcomes[0].id if known and known.outcomes else "x"
    assert customer.post(f"{link}/answer", {"check": check, "outcome": outcome}).status_code == 422
    assert tasks.read_case(accounts, case.id) == case


def test_an_outcome_that_is_none_is_refused(workshop, accounts):
    technician, customer, case = workshop
    link = hand_over(technician, case, "remote")
    asked = questions(customer.get(link).text)
    assert customer.post(f"{link}/answer", {"check": asked[0], "outcome": "explodes"}).status_code == 422
    assert tasks.read_case(accounts, case.id) == case


def test_a_shock_stops_everything(lan, accounts, path):
    technician, customer = lan("technician"), lan()
    case = open_case(accounts, path, words="I get a tingle from the torch")
    assert "tingle" in case.opened().complaints
    page = customer.get(hand_over(technician, case, "remote")).text
    assert "Stop, and switch off" in page and questions(page) == [] and "<form" not in page


def test_questions_end_after_a_dozen_and_with_the_case(workshop, accounts):
    technician, customer, case = workshop
    link = hand_over(technician, case, "remote")
    first = customer.get(link).text
    for number in range(20):
        asked = questions(customer.get(link).text)
        if not asked:
            break
        answer = customer.post(
            f"{link}/answer", {"check": asked[0], "outcome": _outcome(accounts, asked[0]), "key": f"k{number}"}
        )
        assert answer.status_code == 200
    assert number <= 12 and "that is all" in customer.get(link).text
    customer.page = first
    more = customer.post(f"{link}/answer", {"check": "look-lead-lie", "outcome": "tight", "key": "late"})
    assert more.status_code in {200, 422} and len(tasks.read_case(accounts, case.id).pages) <= len(case.pages) + 12
    tasks.close_case(accounts, case.id, "done")
    assert "that is all" in customer.get(link).text
    customer.page = first
    late = customer.post(f"{link}/photo", {}, files={"photo": ("a.jpg", jpeg(), "image/jpeg")})
    assert late.status_code == 422 and tasks.photos_of(accounts, case.id) == ()


def closed(shop, path, note="the customer took it away; owes us 90"):
    case = open_case(shop, path, words=SCRIPT + " the wire slips", customer="Harbour Lane")
    tasks.add(shop, case.id, Finding("look-lead-lie", "tight", note="secret note"), author="mallory")
    tasks.close_case(shop, case.id, note)
    return tasks.read_case(shop, case.id)


def test_a_report_shows_one_finished_case_and_nothing_else(lan, accounts, path):
    technician, customer = lan("technician"), lan()
    case = closed(accounts, path)
    page = customer.get(hand_over(technician, case, "report"))
    assert page.status_code == 200 and "Ended without proof" in page.text and "Harbour Lane" in page.text
    for hidden in (
        case.id,
        "secret note",
        "mallory",
        "owes us",
        "about ",
        "<script>alert",
        "<img src=x",
        "<nav",
        "<form",
    ):
        assert hidden not in page.text, hidden
    assert page.headers["x-robots-tag"] == "noindex, nofollow" and "no-store" in page.headers["cache-control"]
    assert page.headers["referrer-policy"] == "same-origin"


def test_the_report_of_a_proved_case_tells_what_was_found_and_done(accounts, path):
    from tipward.model import Repair

    case = open_case(accounts, path)
    tasks.add(accounts, case.id, Finding("look-lead-lie", "tight"))
    tasks.add(accounts, case.id, Repair("straighten-lead"))
    tasks.close_case(accounts, case.id, "it was late")
    told = tasks.customer_report(accounts, tasks.read_case(accounts, case.id))
    assert told.done == ("Lay the torch lead out straight",) and told.found and told.keep_away


def test_a_report_of_an_open_case_and_questions_about_a_closed_one_are_refused(lan, accounts, path):
    technician, ended, running = lan("technician"), closed(accounts, path), open_case(accounts, path)
    for case, kind in ((running, "report"), (ended, "remote"), (running, "king"), (running, "")):
        technician.get(f"/cases/{case.id}/customer")
        assert technician.post(f"/cases/{case.id}/links", {"kind": kind, "days": "7"}).status_code == 422
        assert tasks.links_of(accounts, case.id) == ()


def test_a_report_is_gone_while_the_closing_is_taken_back(lan, accounts, path):
    technician, customer, case = lan("technician"), lan(), closed(accounts, path)
    link = hand_over(technician, case, "report")
    tasks.add(accounts, case.id, TakenBack(case.pages[-1].sequence))
    assert customer.get(link).status_code == 404


@pytest.mark.parametrize("days", ["0", "91", "-1", "1e3", "٣", "99999999999", "", "7; drop"])
def test_days_that_are_out_of_range_are_refused(workshop, accounts, days):
    technician, _, case = workshop
    technician.get(f"/cases/{case.id}/customer")
    assert technician.post(f"/cases/{case.id}/links", {"kind": "remote", "days": days}).status_code == 422
    assert tasks.links_of(accounts, case.id) == ()


def test_a_link_ends_at_once_when_it_is_ended(workshop, accounts):
    technician, customer, case = workshop
    link = hand_over(technician, case, "remote")
    asked = questions(customer.get(link).text)
    said = {"check": asked[0], "outcome": _outcome(accounts, asked[0])}
    technician.get(f"/cases/{case.id}/customer")
    kept = tasks.links_of(accounts, case.id)[0].token_hash
    assert technician.post(f"/cases/{case.id}/links/end", {"link": kept}).status_code == 200
    assert customer.get(link).status_code == 404
    assert customer.post(f"{link}/answer", said).status_code == 404  # a page still open in the customer's browser
    assert customer.post(f"{link}/photo", {}, files={"photo": ("a.jpg", jpeg(), "image/jpeg")}).status_code == 404
    assert tasks.read_case(accounts, case.id) == case


def test_a_link_ends_by_itself(workshop, accounts, monkeypatch):
    technician, customer, case = workshop
    link = hand_over(technician, case, "remote", days="1")
    assert customer.get(link).status_code == 200
    monkeypatch.setattr("tipward.records.links.now", lambda: now() + timedelta(days=1, seconds=1))
    assert customer.get(link).status_code == 404


def test_a_link_of_one_kind_or_case_opens_no_other(lan, accounts, path):
    technician, customer = lan("technician"), lan()
    one, other = open_case(accounts, path), closed(accounts, path)
    remote, report = hand_over(technician, one, "remote"), hand_over(technician, other, "report")
    swapped = [remote.replace("/a/", "/r/"), report.replace("/r/", "/a/")]
    assert [customer.get(url).status_code for url in swapped] == [404, 404]
    technician.get(f"/cases/{one.id}/customer")
    kept = tasks.links_of(accounts, other.id)[0].token_hash
    assert technician.post(f"/cases/{one.id}/links/end", {"link": kept}).status_code == 404
    assert customer.get(report).status_code == 200


@pytest.mark.parametrize("token", ["", "x", "x" * 43, "../rigs", "%2e%2e", "a" * 5000, "ä" * 43, "%00", "' or 1=1 --"])
def test_a_guessed_link_opens_nothing_and_says_the_same(lan, token):
    customer = lan()
    for kind in "ar":
        answer = customer.client.get(f"/{kind}/{token}", follow_redirects=False)
        assert answer.status_code in {303, 307, 404} and "Harbour" not in answer.text


def test_an_ended_and_a_guessed_link_look_alike(workshop, accounts):
    technician, customer, case = workshop
    link = hand_over(technician, case, "remote")
    tasks.end_link(accounts, case.id, tasks.links_of(accounts, case.id)[0].token_hash)
    ended, guessed = customer.get(link), customer.get("/a/" + "x" * 43)
    assert (ended.status_code, ended.text) == (
        guessed.status_code,
        guessed.text,
    ) and "does not hold any more" in ended.text


def test_the_token_is_kept_nowhere(workshop, accounts, tmp_path):
    technician, _, case = workshop
    token = hand_over(technician, case, "remote").rpartition("/")[2]
    kept = b"".join(file.read_bytes() for file in tmp_path.rglob("book.db*"))
    assert token.encode() not in kept and token_hash(token).encode() in kept
    assert token not in technician.get(f"/cases/{case.id}/customer").text


def test_tokens_are_all_different_and_long(workshop):
    technician, _, case = workshop
    links = {hand_over(technician, case, "remote") for _ in range(20)}
    assert len(links) == 20 and all(len(link) == len("/a/") + 43 for link in links)


def test_a_link_gives_no_way_in(workshop, accounts):
    technician, customer, case = workshop
    link = hand_over(technician, case, "remote")
    page = customer.get(link)
    customer.page = page.text
    for url in ("/", f"/cases/{case.id}", "/rigs", "/people", f"/cases/{case.id}/customer"):
        assert customer.client.get(url, follow_redirects=False).status_code == 303, url
    outcome = {"check": "look-lead-lie", "outcome": "tight"}
    assert customer.post(f"/cases/{case.id}/finding", outcome).status_code == 401
    bearer = {"authorization": f"Bearer {link.rpartition('/')[2]}"}
    assert customer.client.get("/api/cases", headers=bearer).status_code == 401
    stolen = {"cookie": f"tipward={link.rpartition('/')[2]}"}
    assert customer.client.get("/rigs", headers=stolen, follow_redirects=False).status_code == 303


def test_a_reader_makes_and_ends_no_link_and_keeps_no_photo(lan, accounts, path):
    case = open_case(accounts, path)
    hand_over(lan("technician"), case, "remote")
    reader = lan("reader")
    kept = tasks.links_of(accounts, case.id)
    assert reader.post(f"/cases/{case.id}/links", {"kind": "remote", "days": "7"}).status_code == 403
    assert reader.post(f"/cases/{case.id}/links/end", {"link": kept[0].token_hash}).status_code == 403
    assert (
        reader.post(f"/cases/{case.id}/photo", {}, files={"photo": ("a.jpg", jpeg(), "image/jpeg")}).status_code == 403
    )
    assert tasks.links_of(accounts, case.id) == kept and tasks.photos_of(accounts, case.id) == ()
    assert "End it now" not in reader.get(f"/cases/{case.id}/customer").text


@pytest.mark.parametrize("headers", [{"origin": "http://evil.example"}, {"origin": "null"}, {}])
def test_another_site_cannot_answer_for_the_customer(workshop, accounts, headers):
    technician, customer, case = workshop
    link = hand_over(technician, case, "remote")
    customer.get(link)
    assert (
        customer.post(f"{link}/answer", {"check": "look-lead-lie", "outcome": "tight"}, headers=headers).status_code
        == 403
    )
    assert tasks.read_case(accounts, case.id) == case


def test_script_in_every_field_of_a_customer_is_shown_as_text(workshop, accounts):
    technician, customer, case = workshop
    link = hand_over(technician, case, "remote")
    customer.get(link)
    said = {"check": "look-lead-lie", "outcome": "tight", "note": SCRIPT, "skip": SCRIPT}
    assert customer.post(f"{link}/answer", said).status_code == 200
    for url in (f"/cases/{case.id}", f"/cases/{case.id}/customer", "/"):
        page = technician.get(url).text
        assert "<script>alert" not in page and "<img src=x" not in page, url
    customer.get(link)
    refused = customer.post(f"{link}/answer", {"check": SCRIPT, "outcome": SCRIPT, "note": SCRIPT, "skip": SCRIPT})
    assert refused.status_code == 422 and "<script>alert" not in refused.text
    assert "<script>alert" not in customer.get(f"{link}?skip={SCRIPT}&thanks={SCRIPT}").text


# Photos


def jpeg(size=(640, 480), colour="red", **more):
    out = io.BytesIO()
    Image.new("RGB", size, colour).save(out, "JPEG", **more)
    return out.getvalue()


def sent(visit, url, data, name="photo.jpg", kind="image/jpeg", **fields):
    return visit.post(url, fields, files={"photo": (name, data, kind)})


def test_a_photo_of_the_customer_reaches_the_workshop_written_anew(workshop, accounts):
    technician, customer, case = workshop
    link = hand_over(technician, case, "remote")
    customer.get(link)
    exif = Image.Exif()
    exif[0x010E], exif[0x8825] = "secret place", {2: (53.0, 33.0, 0.0)}
    assert sent(customer, f"{link}/photo", jpeg((4000, 3000), exif=exif)).status_code == 200
    photo = tasks.photos_of(accounts, case.id)[0]
    answer = technician.get(f"/photos/{photo}")
    with Image.open(io.BytesIO(answer.content)) as kept:
        assert kept.size == (1600, 1200) and not kept.getexif() and b"secret place" not in answer.content
    assert answer.headers["content-type"] == "image/jpeg" and answer.headers["x-content-type-options"] == "nosniff"
    assert "sandbox" in answer.headers["content-security-policy"] and "no-store" in answer.headers["cache-control"]
    assert answer.headers["content-disposition"] == 'inline; filename="photo.jpg"'
    assert photo in technician.get(f"/cases/{case.id}/customer").text


def test_photos_are_for_those_who_sign_in(workshop, accounts, lan):
    technician, customer, case = workshop
    technician.get(f"/cases/{case.id}/customer")
    sent(technician, f"/cases/{case.id}/photo", jpeg())
    url = f"/photos/{tasks.photos_of(accounts, case.id)[0]}"
    assert customer.get(url, follow_redirects=False).status_code == 303
    assert lan("reader").get(url).status_code == 200
    assert technician.get("/photos/aaaa-bbbb-cccc-dddd").status_code == 404


@pytest.mark.parametrize(
    "name",
    [
        "../../../etc/passwd",
        "..\\..\\boot.ini",
        "/etc/passwd",
        "a\x00.jpg",
        "x" * 5000 + ".jpg",
        "shell.php",
        "<script>.jpg",
        "CON",
        "",
    ],
)
def test_names_of_files_are_never_looked_at(workshop, accounts, tmp_path, name):
    technician, _, case = workshop
    technician.get(f"/cases/{case.id}/customer")
    before = sorted(str(file) for file in tmp_path.rglob("*"))
    answer = sent(technician, f"/cases/{case.id}/photo", jpeg(), name)
    assert answer.status_code in {200, 400, 422}
    assert [file for file in sorted(str(file) for file in tmp_path.rglob("*")) if file not in before] == []
    if answer.status_code == 200:
        assert name not in technician.get(f"/cases/{case.id}/customer").text or not name


def bomb():
    """A PNG of 20,000 × 20,000 pixels in some kilobytes."""

    def chunk(kind, data):
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">IIBBBBB", 20_000, 20_000, 1, 0, 0, 0, 0)
    rows = zlib.compress(b"\x00" * (20_000 * 2501))
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", rows) + chunk(b"IEND", b"")


def text_bomb():
    out = io.BytesIO()
    info = PngImagePlugin.PngInfo()
    for number in range(80):
        info.add_text(f"k{number}", "x" * 1_000_000, zip=True)
    Image.new("RGB", (10, 10)).save(out, "PNG", pnginfo=info)
    return out.getvalue()


HARMFUL = {
    "nothing": b"",
    "text": b"hello",
    "html": b"<html><script>alert(1)</script></html>",
    "svg": b'<svg xmlns="http://www.w3.org/2000/svg" onload="alert(1)"/>',
    "gif": b"GIF89a" + b"\x00" * 100,
    "pdf": b"%PDF-1.4",
    "zip": b"PK\x03\x04",
    "jpeg that breaks off": jpeg()[:200],
    "jpeg of noise": b"\xff\xd8\xff\xe0" + bytes(range(256)) * 50,
    "png of noise": b"\x89PNG\r\n\x1a\n" + b"\xff" * 5000,
    "riff that is sound": b"RIFF\x24\x00\x00\x00WAVEfmt " + b"\x00" * 100,
    "400 million pixels": bomb(),
    "text that swells": text_bomb(),
}


@pytest.mark.parametrize("name", HARMFUL)
def test_what_is_no_photo_is_refused_and_the_server_stays_up(workshop, accounts, name):
    technician, _, case = workshop
    technician.get(f"/cases/{case.id}/customer")
    answer = sent(technician, f"/cases/{case.id}/photo", HARMFUL[name])
    assert answer.status_code == 422 and "Not saved yet" in answer.text
    assert tasks.photos_of(accounts, case.id) == ()
    assert technician.get("/alive").text == "alive"


def test_a_web_page_behind_a_picture_does_not_come_through(workshop, accounts):
    technician, _, case = workshop
    technician.get(f"/cases/{case.id}/customer")
    assert sent(technician, f"/cases/{case.id}/photo", jpeg() + b"<script>alert(1)</script>").status_code == 200
    kept = tasks.see_photo(accounts, tasks.photos_of(accounts, case.id)[0])
    assert b"<script" not in kept.data


def test_larger_than_a_photo_is_refused_unread(workshop, accounts):
    technician, customer, case = workshop
    link = hand_over(technician, case, "remote")
    customer.get(link)
    assert sent(customer, f"{link}/photo", b"\xff\xd8\xff" + b"x" * (LARGEST_PHOTO + 200_000)).status_code == 413
    assert sent(customer, f"{link}/photo", b"\xff\xd8\xff" + b"x" * (LARGEST_PHOTO + 1000)).status_code in {413, 422}
    assert customer.post(f"{link}/answer", {"note": "x" * 2_000_000}).status_code == 413
    assert tasks.photos_of(accounts, case.id) == ()


def test_more_photos_than_a_case_holds_are_refused(accounts, path):
    case = open_case(accounts, path)
    small = jpeg((8, 8))
    for _ in range(24):
        tasks.keep_photo(accounts, case.id, small)
    with pytest.raises(InputError, match="one more than 24"):
        tasks.keep_photo(accounts, case.id, small)


def test_a_decoder_that_hangs_is_ended(monkeypatch, tmp_path):
    child = tmp_path / "child.py"
    child.write_text("while True: pass")
    monkeypatch.setattr("tipward.web.photos.CHILD", child)
    monkeypatch.setattr("tipward.web.photos.SECONDS", 1)
    with pytest.raises(InputError, match="took too long"):
        safe_photo(jpeg())


def test_a_flood_of_photos_waits_and_is_then_refused(monkeypatch):
    import threading

    full = threading.BoundedSemaphore(1)
    full.acquire()
    monkeypatch.setattr("tipward.web.photos._AT_ONCE", full)
    monkeypatch.setattr("tipward.web.photos.SECONDS", 0.1)
    with pytest.raises(InputError, match="has to wait for others"):
        safe_photo(jpeg())


def test_a_decoder_that_eats_memory_or_writes_files_is_stopped(monkeypatch, tmp_path):
    from tipward.web import picture_child

    source = Path(picture_child.__file__)
    for number, harm in enumerate(
        ["x = bytearray(2_000_000_000)", f"open({str(tmp_path / 'out')!r}, 'wb').write(b'x' * 10)"]
    ):
        child = tmp_path / f"child{number}.py"
        text = source.read_text("utf-8").replace("    from PIL import Image, ImageOps\n", f"    {harm}\n", 1)
        child.write_text(text)
        monkeypatch.setattr("tipward.web.photos.CHILD", child)
        with pytest.raises(InputError, match="cannot be read"):
            safe_photo(jpeg())
    assert not (tmp_path / "out").exists() or (tmp_path / "out").stat().st_size == 0


def test_the_child_sees_no_environment_of_the_server(monkeypatch, tmp_path):
    child = tmp_path / "child.py"
    child.write_text("import os, sys\nsys.exit(0 if 'TIPWARD_CASEBOOK' not in os.environ else 9)")
    monkeypatch.setenv("TIPWARD_CASEBOOK", "secret")
    monkeypatch.setattr("tipward.web.photos.CHILD", child)
    with pytest.raises(InputError, match="cannot be read"):
        safe_photo(jpeg())


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
@pytest.mark.parametrize("mode", ["RGB", "L"])
def test_pictures_of_every_kind_come_out_as_jpeg(kind, mode):
    out = io.BytesIO()
    Image.new(mode, (300, 200)).save(out, kind)
    with Image.open(io.BytesIO(safe_photo(out.getvalue()))) as made:
        assert made.format == "JPEG" and made.size == (300, 200)


def test_a_photo_taken_on_its_side_stands_upright():
    exif = Image.Exif()
    exif[0x0112] = 6
    with Image.open(io.BytesIO(safe_photo(jpeg((300, 200), exif=exif)))) as made:
        assert made.size == (200, 300)


# Label


def test_the_label_of_a_rig_opens_its_page(visit, shop, path):
    rig = tasks.save_rig(shop, "Bay 3", path, "Harbour Lane")
    page = visit.get(f"/rigs/{rig.id}/label")
    assert page.status_code == 200 and 'class="tw-qr"' in page.text
    assert "http://localhost/rigs/bay-3" in page.text and "opens on this machine only" in page.text
    assert tasks.address_code("http://localhost/rigs/bay-3") in page.text


def test_on_the_network_the_label_carries_the_name_by_which_one_came(accounts, path):
    tasks.save_rig(accounts, "Bay 3", path)
    with TestClient(
        create_app(accounts, lan=True, names=["workshop.example"]), base_url="http://workshop.example"
    ) as client:
        visit = Visit(client, headers={"origin": "http://workshop.example"})
        visit.get("/sign-in")
        visit.post("/sign-in", {"name": "reader", "password": "a long pass phrase"})
        page = visit.get("/rigs/bay-3/label").text
        assert "http://workshop.example/rigs/bay-3" in page and "this machine only" not in page
        assert client.get("/rigs/bay-3/label", headers={"host": "evil.example"}).status_code == 400
    assert HERE not in page


def test_links_by_program(visit, shop, path):
    case, api = open_case(shop, path), visit.client
    url = f"/api/cases/{case.id}/links"
    made = api.post(url, json={"kind": "remote", "days": 3})
    assert made.status_code == 201 and visit.get(made.json()["path"]).status_code == 200
    assert api.post(url, json={"kind": "report"}).status_code == 422
    kept = api.get(url).json()
    assert [link["id"] for link in kept] == [made.json()["id"]] and "path" not in kept[0]
    assert api.post(f"{url}/end", json={"id": kept[0]["id"]}).json()[0]["revoked"]
    assert visit.get(made.json()["path"]).status_code == 404
    assert api.post(f"{url}/end", json={"id": "none"}).status_code == 404
