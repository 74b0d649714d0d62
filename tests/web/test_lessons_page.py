"""Lessons on their page: before and after, taken into use, taken back, shared; for the owner only."""

import json
import sys

import pytest
from web_visits import open_case

from tipward import tasks
from tipward.model import Closed, Counts, Finding, ProofTest, Repair, Tally

SHARED = Counts(400, (Tally("odds", "liner-dirty", 120.0, 40.0, 400.0),), ("0123456789ab",))


@pytest.fixture
def closed(shop, path):
    """A case that was looked at, mended and ended."""
    case = open_case(shop, path, "it burns back", tools="")
    tasks.add(shop, case.id, Finding("look-tip", "worn-oval"))
    tasks.add(shop, case.id, Repair("fit-new-tip"))
    return tasks.close_case(shop, case.id, "taken away")


def test_before_and_after_are_shown_taken_into_use_and_taken_back(visit, shop, closed):
    page = visit.get("/lessons").text
    learning = tasks.learn(shop)
    assert learning.counts.cases == 1 and not learning.in_use and "Nothing: the odds are those" in page
    assert visit.post("/lessons", {}).status_code == 200
    (lesson,) = tasks.learn(shop).in_use
    assert f"Take lesson {lesson.id} back" in visit.get("/lessons").text
    assert visit.post("/lessons", {"back": str(lesson.id)}).status_code == 200
    assert tasks.learn(shop).in_use == ()
    assert visit.post("/lessons", {"back": str(lesson.id)}).status_code == 409
    assert visit.post("/lessons", {"back": "eleven"}).status_code == 409


def test_many_new_cases_are_counted_some_at_a_time(visit, shop, path, closed, monkeypatch):
    monkeypatch.setattr(sys.modules["tipward.web.pages.lessons"], "COUNTED_AT_ONCE", 1)
    tasks.close_case(shop, open_case(shop, path, "it burns back", tools="").id, "taken away")
    first = visit.get("/lessons").text
    assert "Closed cases still to be counted: 1." in first and "counts.json" not in first and "Count on" in first
    assert "still to be counted" not in visit.get("/lessons").text
    assert tasks.learn(shop, most_new=0).uncounted == 0


def test_counts_of_another_shop_are_pasted_and_change_the_odds(visit, shop):
    before = shop.catalogue.faults["liner-dirty"].prior
    visit.get("/lessons")
    answer = visit.post("/lessons", {"counts": tasks.export_counts(SHARED)})
    assert answer.status_code == 200 and "400 closed cases of another shop" in answer.text
    assert shop.catalogue.faults["liner-dirty"].prior > before
    again = visit.post("/lessons", {"counts": tasks.export_counts(SHARED)})
    assert again.status_code == 409 and "in use already" in again.text


@pytest.mark.parametrize(
    "wrong", ["", "{", "[]", "x" * 1000, '{"format": "tipward counts 1", "cases": -1}', "[" * 5000]
)
def test_what_is_no_counts_file_is_refused_and_kept_on_the_page(visit, shop, wrong):
    visit.get("/lessons")
    answer = visit.post("/lessons", {"counts": wrong})
    assert answer.status_code == 422 and 'role="alert"' in answer.text and tasks.learn(shop).in_use == ()


def test_the_file_for_others_holds_counts_only(visit, shop, closed):
    answer = visit.get("/lessons/counts.json")
    told = json.loads(answer.text)
    assert told["format"] == "tipward counts 1" and told["cases"] == 1
    assert "attachment" in answer.headers["content-disposition"] and closed.id not in answer.text
    assert "burns back" not in answer.text


@pytest.mark.parametrize("role", ["technician", "reader"])
def test_lessons_are_for_the_owner(lan, accounts, role):
    visit = lan(role)
    assert visit.get("/lessons").status_code == 403 and visit.get("/lessons/counts.json").status_code == 403
    assert 'href="/lessons"' not in visit.get("/learned").text
    assert visit.post("/lessons", {}).status_code == 403


def test_how_well_the_odds_held_is_drawn_and_goes_on_paper(visit, shop, path):
    case = tasks.move(
        shop, open_case(shop, path, "it burns back").id, tasks.place(shop, "machine", "all", "all", False)
    )
    tasks.add(shop, case.id, Finding("look-tip", "worn-oval"))
    tasks.add(shop, case.id, Repair("fit-new-tip"))
    tasks.add(shop, case.id, ProofTest((("passes", (1.0,)),)))
    shop.book.append(case.id, Closed("proved"), "end")
    page = visit.get("/lessons").text
    held = tasks.learn(shop).calibration
    assert f"Brier score {held.brier:.4f}, log score {held.log_score_nat:.4f} nat" in page
    assert page.count('class="dot"') == len(held.rows) and "All of this on paper" in page
    paper = visit.get("/lessons/sheet.pdf?paper=letter")
    assert paper.status_code == 200 and paper.content[:5] == b"%PDF-"
    assert visit.client.get("/api/learn/sheet.pdf").content[:5] == b"%PDF-"
