"""A case through its pages: the whole job, double taps, two phones, restarts, refusals that keep what was written."""

import re
from dataclasses import replace

import pytest
from starlette.testclient import TestClient
from web_visits import HERE, SETUP, Visit, open_case

from tipward import tasks
from tipward.model import Cannot, Finding
from tipward.web import create_app


def case_url(case):
    return f"/cases/{case.id}"


def outcomes(page):
    return re.findall(r'<button name="outcome" value="([^"]*)"', page)


def answer_next(visit, url, choose=0):
    """Answer whatever the page asks; gives back what was asked."""
    page = visit.get(url).text
    form = re.search(r'action="(/cases/[^"]*/(?:finding|repair|close))"', page)
    what = form[1].rpartition("/")[2] if form and 'id="next"' in page else "prove"
    if f'href="{url}/proof">To the proof' in page:
        return "prove"
    if what == "finding":
        data = {"check": visit.hidden("check")}
        if 'name="readings"' in page:
            data |= {"readings": "10 N" if visit.hidden("unit") == "N" else "1", "unit": visit.hidden("unit")}
        else:
            data["outcome"] = outcomes(page)[choose]
        visit.post(form[1], data)
    elif what == "repair":
        visit.post(form[1], {"action": visit.hidden("action")})
    else:
        visit.post(form[1], {})
    return what


def test_from_complaint_to_a_case_with_its_first_check(visit, shop):
    visit.get("/cases/new")
    said = {"words": "the wire slips and burns back", "setup": SETUP, "at": "machine", "customer": "Harbour Lane"}
    page = visit.post("/cases", said)
    assert page.status_code == 200 and "Next check" in page.text and "What it may be" in page.text
    assert "tw-line--upright" in page.text and "tw-line--wide" in page.text and "The line as a table" in page.text
    row = tasks.list_cases(shop)[0]
    assert row.customer == "Harbour Lane" and set(row.complaints) >= {"burns-back"}


def test_cautions_of_the_next_check_stand_in_full(visit, shop, case):
    for key, _ in tasks.checks_now(shop, case.id):
        described = tasks.look_up_check(shop, case.id, key)
        if len(described.cautions) > 2:
            break
    page = visit.get(f"{case_url(case)}/check/{described.check}").text.replace("&#39;", "'")
    assert all(text in page for text in tasks.caution_texts(described.cautions))
    assert described.instructions.splitlines()[0] in page


def test_a_double_tap_writes_once(visit, shop, case):
    page = visit.get(case_url(case)).text
    data = {"check": visit.hidden("check"), "outcome": outcomes(page)[0]}
    first = visit.post(f"{case_url(case)}/finding", data)
    second = visit.post(f"{case_url(case)}/finding", data)
    assert first.status_code == second.status_code == 200
    assert str(first.url) == str(second.url)
    assert len(tasks.read_case(shop, case.id).pages) == len(case.pages) + 1


def test_every_form_of_a_case_may_be_tapped_twice(visit, shop, case):
    url = case_url(case)
    check = tasks.view(shop, case.id).next_step.check.check
    for action, data in (
        ("cannot", {"what": check}),
        ("back", {"sequence": str(len(case.pages) + 1)}),
        ("move", {"at": "counter"}),
        ("repair", {"action": tasks.view(shop, case.id).fixes[0].action}),
        ("close", {"note": "customer took it away"}),
    ):
        before = len(tasks.read_case(shop, case.id).pages)
        visit.get(url)
        taps = [visit.post(f"{url}/{action}", data) for _ in range(2)]
        assert [tap.status_code for tap in taps] == [200, 200], action
        assert len(tasks.read_case(shop, case.id).pages) == before + 1, action


def test_opening_a_case_twice_opens_one(visit, shop):
    visit.get("/cases/new")
    urls = {str(visit.post("/cases", {"words": "burns back"}).url) for _ in range(2)}
    assert len(urls) == 1 and len(tasks.list_cases(shop)) == 1


def test_two_phones_see_each_other_and_overwrite_nothing(visit, shop, case):
    url = case_url(case)
    other = Visit(TestClient(visit.client.app, base_url=HERE))
    page = visit.get(url).text
    other.get(url)
    check, found = other.hidden("check"), outcomes(page)
    assert visit.client.get(f"{url}/news?after={len(case.pages)}").status_code == 204
    other.post(f"{url}/finding", {"check": check, "outcome": found[0], "note": "theirs"})
    news = visit.client.get(f"{url}/news?after={len(case.pages)}")
    assert news.status_code == 200 and "1 new entry" in news.text
    mine = {"check": check, "outcome": found[-1], "note": "mine, with gloves on"}
    refused = visit.post(f"{url}/finding", mine)
    assert refused.status_code == 409 and "Somebody wrote meanwhile" in refused.text
    assert (
        'value="mine, with gloves on"' in refused.text
        and len(tasks.read_case(shop, case.id).pages) == len(case.pages) + 1
    )
    visit.page = refused.text
    sent = visit.post(f"{url}/finding", mine)
    assert sent.status_code == 200
    notes = [page.entry.note for page in tasks.read_case(shop, case.id).pages if isinstance(page.entry, Finding)]
    assert notes[-2:] == ["theirs", "mine, with gloves on"]


def test_a_conflict_in_closing_is_shown_too(visit, shop, case):
    visit.get(case_url(case))
    tasks.add(shop, case.id, Cannot("look-hub"))
    refused = visit.post(f"{case_url(case)}/close", {"note": "no time"})
    assert refused.status_code == 409 and tasks.read_case(shop, case.id).closed() is None


def test_a_restart_in_the_middle_loses_nothing_and_the_open_page_still_sends(visit, shop, case, tmp_path):
    page = visit.get(case_url(case)).text
    data = {"check": visit.hidden("check"), "outcome": outcomes(page)[0]}
    cookie = visit.client.cookies["tipward"]
    again = Visit(TestClient(create_app(tasks.open_shop(tmp_path / "book.db")), base_url=HERE), page)
    again.client.cookies.set("tipward", cookie)
    assert again.post(f"{case_url(case)}/finding", data).status_code == 200
    assert len(tasks.read_case(shop, case.id).pages) == len(case.pages) + 1


def test_a_bad_reading_is_refused_with_what_was_typed_kept(visit, shop, case):
    measured = next(key for key, _ in tasks.checks_now(shop, case.id) if tasks.unit_of_check(shop, key) == "N")
    visit.get(f"{case_url(case)}/check/{measured}")
    data = {"check": measured, "readings": "12 kg", "unit": "N"}
    page = visit.post(f"{case_url(case)}/finding", data)
    assert page.status_code == 422 and "Not saved yet" in page.text and 'value="12 kg"' in page.text
    assert page.headers["hx-push-url"] == "false"
    assert len(tasks.read_case(shop, case.id).pages) == len(case.pages)


def test_readings_are_kept_in_newtons_and_stuck_is_a_reading(visit, shop, case):
    measured = next(key for key, _ in tasks.checks_now(shop, case.id) if tasks.unit_of_check(shop, key) == "N")
    for said, kept in (("12 N; 2.7 lbf", (12.0, pytest.approx(12.01, abs=0.01))), ("stuck", (float("inf"),))):
        visit.get(f"{case_url(case)}/check/{measured}")
        page = visit.post(f"{case_url(case)}/finding", {"check": measured, "readings": said, "unit": "N"})
        assert page.status_code == 200, page.text
        assert tasks.read_case(shop, case.id).pages[-1].entry.readings == kept
        visit.get(case_url(case))
        visit.post(f"{case_url(case)}/back", {"sequence": str(len(tasks.read_case(shop, case.id).pages))})


def test_an_entry_is_taken_back_and_says_so(visit, shop, case):
    answer_next(visit, case_url(case))
    number = len(tasks.read_case(shop, case.id).pages)
    visit.get(case_url(case))
    page = visit.post(f"{case_url(case)}/back", {"sequence": str(number)}).text
    assert f"Entry {number} no longer counts" in page and "taken back" in page
    visit.page = page
    assert visit.post(f"{case_url(case)}/back", {"sequence": str(number)}).status_code == 422


def test_the_whole_job_without_a_browser_ends_with_a_proven_card(visit, shop, path):
    case = open_case(shop, path, tools="torch light, pliers, gloves")
    url = case_url(case)
    for _ in range(80):
        if tasks.read_case(shop, case.id).closed() or answer_next(visit, url) == "prove":
            break
    if tasks.read_case(shop, case.id).closed() is None:
        prove(visit, shop, case)
    how = tasks.read_case(shop, case.id).closed().how
    assert how == "proved"
    page = visit.get(url).text
    assert "This case has ended" in page and "Card (A4)" in page and 'method="post" action="/cases' not in page
    assert visit.get(f"{url}/card.pdf").content.startswith(b"%PDF-")
    assert visit.get("/learned").text.count("Proved: 1") == 1


def prove(visit, shop, case):
    url = case_url(case)
    targets = tasks.view(shop, case.id, explain=False).proof.targets
    visit.get(f"{url}/proof")
    page = visit.post(f"{url}/proof", {f"read:{target.id}": good_reading(target) for target in targets})
    assert page.status_code == 200
    for _ in range(10):
        visit.page = visit.get(url).text
        if "Close the case as proved" in visit.page:
            break
        if answer_next(visit, url) == "prove":
            return
    visit.post(f"{url}/close", {})


def good_reading(target):
    if not target.unit and target.high is None:
        return "yes"
    if not target.unit and target.low is None and target.high == 0:
        return "no"
    low, high = target.low, target.high
    value = (low + high) / 2 if low is not None and high is not None else low * 1.2 if low is not None else high * 0.5
    return "; ".join([f"{value:.6g} {target.unit}".strip()] * 3)


def test_proof_shows_targets_beside_readings_and_refuses_nonsense(visit, shop, case):
    url = f"{case_url(case)}/proof"
    page = visit.get(url).text
    targets = tasks.view(shop, case.id).proof.targets
    assert page.count('<li class="target') == len(targets) and page.count("not yet") == len(targets)
    measured = next(target for target in targets if target.unit == "N")
    refused = visit.post(url, {f"read:{measured.id}": "many"})
    assert refused.status_code == 422 and 'value="many"' in refused.text
    visit.page = refused.text
    assert visit.post(url, {}).status_code == 422
    assert visit.post(url, {f"read:{measured.id}": f"{measured.high * 3:.4g} N"}).status_code == 200
    assert "Not met." in visit.get(url).text


def test_moving_keeps_to_the_tools_that_were_ticked(visit, shop, case):
    visit.get(f"{case_url(case)}/move")
    visit.post(f"{case_url(case)}/move", {"at": "phone"})
    place = tasks.read_case(shop, case.id).place()
    assert place.at == "phone" and place.tools == ()
    assert visit.post(f"{case_url(case)}/move", {"at": "moon"}).status_code in {409, 422}


def test_i_looked_at_something_else_lists_what_can_be_done_now(visit, shop, case):
    page = visit.get(f"{case_url(case)}/checks").text
    assert page.count("/check/") == len(tasks.checks_now(shop, case.id))
    assert visit.get(f"{case_url(case)}/check/no-such-check").status_code == 404


def test_a_case_is_found_by_the_beginning_of_its_id_and_unknown_ones_say_so(visit, case):
    assert str(visit.get(f"/cases/{case.id[:7]}").url).endswith(case.id)
    missing = visit.get("/cases/zzzz-zzzz")
    assert missing.status_code == 404 and "To the cases" in missing.text


def test_inches_are_kept_by_the_browser_and_used_everywhere(visit, case):
    visit.get("/")
    visit.post("/preferences", {"units": "inches"})
    page = visit.get(case_url(case)).text
    assert "0.0354 in" in page and "lbf" in page


def test_the_page_of_a_case_is_judged_once_for_many_looks(visit, case, monkeypatch):
    calls = []
    see = tasks.see
    monkeypatch.setattr(tasks, "see", lambda *told, **more: calls.append(1) or see(*told, **more))
    for _ in range(3):
        visit.get(case_url(case))
    assert len(calls) == 1


def test_the_list_shows_open_and_ended_cases(visit, shop, path):
    assert "No case yet" in visit.get("/").text
    first, second = open_case(shop, path, "burns back"), open_case(shop, path, "motor is silent")
    tasks.close_case(shop, second.id, "taken away")
    page = visit.get("/").text
    assert first.id in page and second.id in page and "Closed without proof" in page


def test_rates_are_asked_kept_and_corrected_with_what_was_written(visit, shop):
    """A bad rate refuses the form and keeps it; a good one is kept with the case and stands in the form for moving on."""
    visit.get("/cases/new")
    said = {"words": "the wire slips", "at": "machine", "work_per_hour": "a lot", "standstill_per_hour": "-3"}
    refused = visit.post("/cases", said)
    assert refused.status_code == 422 and tasks.list_cases(shop) == ()
    told = refused.text.partition('id="refused"')[2].partition("</div>")[0]
    assert "What an hour of work costs" in told and "What an hour of standstill costs" in told
    assert 'value="a lot"' in refused.text and 'value="-3"' in refused.text
    visit.get("/cases/new")
    visit.post("/cases", said | {"work_per_hour": "72", "standstill_per_hour": "150,5"})
    case = tasks.read_case(shop, tasks.list_cases(shop)[0].id)
    assert (case.place().work_per_hour, case.place().standstill_per_hour) == (72.0, 150.5)
    assert 'value="72"' in visit.get("/cases/new").text
    page = visit.get(f"{case_url(case)}/move").text
    assert 'name="work_per_hour" inputmode="decimal" maxlength="12" value="72"' in page and 'value="150.50"' in page


def test_moving_on_keeps_the_rates_of_the_case_and_a_refused_move_what_was_written(visit, shop, path):
    place = tasks.place(shop, "machine", "", "", False, "90", "150")
    case = tasks.open_case(shop, path, ("burns-back",), place=place)
    tasks.open_case(shop, path, ("burns-back",), place=tasks.place(shop, "machine", "", "", False, "40"))
    url = f"{case_url(case)}/move"
    visit.get(url)
    visit.post(url, {"at": "counter"})
    moved = tasks.read_case(shop, case.id).place()
    assert (moved.at, moved.work_per_hour, moved.standstill_per_hour) == ("counter", 90.0, 150.0)
    visit.get(url)
    refused = visit.post(url, {"at": "phone", "work_per_hour": "1,200", "standstill_per_hour": "77"})
    assert refused.status_code == 422 and 'value="1,200"' in refused.text and 'value="77"' in refused.text
    assert 'value="phone" checked' in refused.text and "without thousands marks" in refused.text
    visit.get(url)
    visit.post(url, {"at": "machine", "work_per_hour": "95", "standstill_per_hour": ""})
    assert tasks.read_case(shop, case.id).place() == replace(
        moved, at="machine", work_per_hour=95, standstill_per_hour=0
    )
