"""Learning end to end: cases of a world that differs teach the shop; applied, reversed, shared, refused."""

import json
import sys
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import numpy as np
import pytest
from thread import CATALOGUE as CHEAP
from thread import RIG

from tipward import tasks
from tipward.diagnosis import taught
from tipward.faults import Span
from tipward.foundation import ConflictError, InputError, NotKnownError, RecordError
from tipward.model import Closed, Counts, Finding, Tally, now
from tipward.records import list_lessons, save_lesson
from tipward.tasks.lessons import lessons_in_use
from tipward.tasks.shop import Shop
from tipward.tasks.teaching import read_counts

sys.path.insert(0, str(Path(__file__).parents[2]))
from benchmarks.session import lead
from benchmarks.world import Difference, everything_at_hand, random_case

# Repairs that cost an hour: where they are cheaper than looking, everything is mended and nobody learns what it was.
HOUR = Span(50.0, 60.0, 70.0)
CATALOGUE = replace(CHEAP, actions={key: replace(action, minutes=HOUR) for key, action in CHEAP.actions.items()})
ODDS = ("liner-dirty", "lead-tight-loops", "pressure-low")
SHIPPED = Counts(
    4,
    (
        Tally("false", "look-hub", 1.0, 0.5, 3.0),
        Tally("odds", "liner-dirty", 2.0, 1.0, 4.0, "push", "er70s-6"),
    ),
    ("0123456789ab",),
)


def book_cases(shop, count, difference, seed=4):
    """So many cases of a world led to their end by the shop's planner, then kept in its casebook."""
    rng, there = np.random.default_rng(seed), dict.fromkeys(ODDS, 0)
    for number in range(count):
        rig, book = random_case(CATALOGUE, RIG, rng, place=everything_at_hand(CATALOGUE), difference=difference)
        ended = lead(CATALOGUE, rig, book)
        for fault in ended.at_start:
            there[fault] += 1
        case = shop.book.new_case(book.case.opened(), f"sim-{seed}-{number}", "sim")
        for page in book.case.pages[1:]:
            shop.book.append(case.id, page.entry, f"sim-{seed}-{number}-{page.sequence}", "sim")
        how = "proved" if ended.how == "close" else "open end"
        shop.book.append(case.id, Closed(how), f"sim-{seed}-{number}-end", "sim")
    return there


@pytest.fixture
def shop(tmp_path):
    return Shop(tmp_path / "book.db", CATALOGUE)


@pytest.fixture(scope="module")
def taught_shop(tmp_path_factory):
    """A shop with 40 cases of a world whose odds are off by a log spread of 1.2."""
    shop = Shop(tmp_path_factory.mktemp("shop") / "book.db", CATALOGUE)
    difference = Difference(odds_spread=1.2, seed=5)
    there = book_cases(shop, 40, difference)
    factors = np.exp(1.2 * np.random.default_rng(5).standard_normal(len(ODDS)))
    return shop, dict(zip(CATALOGUE.faults, factors, strict=True)), there


def odds(chance):
    return chance / (1 - chance)


def test_learned_odds_move_the_right_way(taught_shop):
    """Only rigs that somebody complains of come to a shop, so it learns which causes are commoner than which others."""
    shop, factors, _ = taught_shop
    learned = taught(CATALOGUE, tasks.learn(shop).counts)
    off = np.log([factors[fault] for fault in ODDS])
    moved = np.log([odds(learned.faults[f].prior) / odds(CATALOGUE.faults[f].prior) for f in ODDS])
    off, moved = off - off.mean(), moved - moved.mean()
    assert np.abs(off).max() > 0.6  # a world that differs
    assert (np.sign(moved) == np.sign(off))[np.abs(off) > 0.3].all()
    assert ((off - moved) ** 2).sum() < 0.3 * (off**2).sum()


def test_causes_are_those_that_were_there(taught_shop):
    shop, _, there = taught_shop
    learning = tasks.learn(shop)
    told = {item.fault: item.cases for item in learning.causes}
    for fault in ODDS:
        assert abs(told.get(fault, 0) - there[fault]) <= 0.2 * 40
    assert dict(learning.endings)["proved"] > 30
    assert learning.calibration.cases == dict(learning.endings)["proved"]
    assert tasks.what_we_learned(shop).causes == learning.causes


def test_cases_are_counted_once(taught_shop, monkeypatch):
    shop, *_ = taught_shop
    first = tasks.learn(shop)
    monkeypatch.setattr("tipward.tasks.learning.count_case", lambda *_: pytest.fail("counted again"))
    again = Shop(shop.casebook, CATALOGUE)
    told = []
    assert tasks.learn(again, lambda done, of: told.append((done, of))) == first
    assert told[-1] == (40, 40)


def test_another_catalogue_counts_anew(taught_shop):
    shop, *_ = taught_shop
    faults = dict(CATALOGUE.faults)
    faults["liner-dirty"] = replace(faults["liner-dirty"], prior=0.3)
    other = tasks.learn(Shop(shop.casebook, replace(CATALOGUE, faults=faults))).counts
    assert other.catalogues != tasks.learn(shop).counts.catalogues

    def expected(counts):
        return sum(item.expected for item in counts.tallies if (item.kind, item.key) == ("odds", "liner-dirty"))

    assert expected(other) > expected(tasks.learn(shop).counts)


def test_apply_then_reverse_is_the_catalogue_as_loaded(shop):
    book_cases(shop, 6, Difference(odds_spread=1.2, seed=5))
    assert shop.catalogue is CATALOGUE
    lesson = tasks.apply_lessons(shop)
    assert shop.catalogue.faults["liner-dirty"].prior != CATALOGUE.faults["liner-dirty"].prior
    assert Shop(shop.casebook, CATALOGUE).catalogue.faults == shop.catalogue.faults  # as another process sees it
    assert tasks.apply_lessons(shop).id == lesson.id  # nothing new, no new lesson
    tasks.reverse_lessons(shop, lesson.id, "too few cases")
    assert shop.catalogue is CATALOGUE
    with pytest.raises(ConflictError, match="was taken back before"):
        tasks.reverse_lessons(shop, lesson.id)


def test_what_would_change_is_the_same_once_it_is_in_use(shop):
    book_cases(shop, 4, Difference(), seed=1)
    before = tasks.learn(shop).changes
    tasks.apply_lessons(shop)
    assert before and tasks.learn(shop).changes == before  # own cases are not counted beside themselves


def test_the_newest_count_replaces_older_ones_and_taking_it_back_brings_them_back(shop):
    book_cases(shop, 4, Difference(), seed=1)
    first = tasks.apply_lessons(shop)
    early = shop.catalogue
    book_cases(shop, 4, Difference(), seed=2)
    second = tasks.apply_lessons(shop)
    assert [lesson.id for lesson in lessons_in_use(shop.book)] == [second.id]
    assert second.payload["cases"] == 8 and first.payload["cases"] == 4
    tasks.reverse_lessons(shop, second.id)
    assert shop.catalogue is early


def test_what_was_stated_is_judged_by_the_lessons_of_its_day(shop):
    book_cases(shop, 2, Difference(), seed=1)
    lesson = tasks.apply_lessons(shop)
    back = tasks.reverse_lessons(shop, lesson.id)
    rows = list_lessons(shop.book, "counts", counting_only=False)
    between = rows[1].at if rows[1].at > lesson.at else lesson.at
    assert [item.id for item in lessons_in_use(shop.book, lesson.at)] == ([lesson.id] if rows[1].at > lesson.at else [])
    assert lessons_in_use(shop.book, lesson.at - timedelta(seconds=1)) == ()
    assert lessons_in_use(shop.book, between + timedelta(days=1)) == ()
    assert back.reversed_by == rows[1].id


def test_there_must_be_a_case_to_learn_from(shop):
    with pytest.raises(InputError, match="no closed case to learn from; close a case first"):
        tasks.apply_lessons(shop)
    with pytest.raises(NotKnownError, match="no lesson 7; there are none"):
        tasks.reverse_lessons(shop, 7)


def test_asking_for_the_catalogue_makes_no_casebook(tmp_path):
    shop = tasks.open_shop(tmp_path / "book.db")
    assert shop.catalogue is shop.plain
    assert not (tmp_path / "book.db").exists()


def test_what_other_shops_learned_adds_up(tmp_path):
    shop = tasks.open_shop(tmp_path / "book.db")
    file = tmp_path / "counts.json"
    file.write_text(tasks.export_counts(SHIPPED))
    assert read_counts(shop.plain, file) == SHIPPED
    lesson = tasks.import_counts(shop, file)
    assert shop.catalogue.faults == taught(shop.plain, SHIPPED).faults
    with pytest.raises(ConflictError, match=f"in use already, as lesson {lesson.id}"):
        tasks.import_counts(shop, file)
    more = replace(SHIPPED, cases=5)
    file.write_text(tasks.export_counts(more))
    tasks.import_counts(shop, file)
    twice = (Tally("odds", "liner-dirty", 4.0, 2.0, 8.0, "push", "er70s-6"),)
    assert shop.catalogue.faults == taught(shop.plain, Counts(9, twice)).faults
    assert len(tasks.learn(shop).stale) == 2  # counted with another catalogue, and said so


def test_a_file_holds_counts_and_nothing_that_names_anybody(tmp_path):
    shop = tasks.open_shop(tmp_path / "book.db")
    path = replace(RIG, name="Miller's van", wire=replace(RIG.wire, wire_class="Miller special"))
    place = tasks.place(shop, "machine", "all", "all", False)
    case = tasks.open_case(shop, path, ("slips-or-surges",), "says Miller", place, "bay-9", "Miller")
    tasks.add(shop, case.id, Finding("look-lead-lie", shop.plain.checks["look-lead-lie"].outcomes[1].id, note="Miller"))
    tasks.close_case(shop, case.id, "Miller went home")
    text = tasks.export_counts(tasks.learn(shop).counts)
    data = json.loads(text)
    assert data["cases"] == 1 and len(data["tallies"]) > 50
    assert set(data) == {"format", "cases", "catalogues", "tallies"}
    assert {key for row in data["tallies"] for key in row} == set(Tally.__dataclass_fields__)
    assert not {"miller", "bay-9", case.id, str(now().year)} & set(text.lower().replace('"', " ").split())
    assert "iller" not in text


def broken(**changes):
    """One tally of a sound file with some fields changed."""
    return {"kind": "odds", "key": "liner-dirty", "found": 2.0, "expected": 1.0, "of": 4.0, **changes}


@pytest.mark.parametrize(
    ("tally", "told"),
    [
        (broken(kind="guess"), "tallies.0.kind: input should be 'odds', 'shows' or 'false'"),
        (broken(key="no-such-fault"), "tallies.0.key: 'no-such-fault' is no fault of this catalogue"),
        (broken(kind="shows", key="liner-dirty"), "tallies.0.key: 'liner-dirty' is no check of this catalogue"),
        (broken(found=-1), "tallies.0.found: input should be greater than or equal to 0"),
        (broken(found=5.0), "tallies.0.found: is more than of, 4"),
        (broken(expected=float("nan")), "tallies.0.expected: input should be a finite number"),
        (broken(of="many"), "tallies.0.of: input should be a valid number"),
        (broken(of=40.0), "tallies.0.of: is more than cases, 4"),
        (broken(of=1e300), "tallies.0.of: input should be less than or equal to 1000000"),
        (broken(machine="tractor"), "tallies.0.machine: input should be"),
        (broken(wire="no-such-wire"), "tallies.0.wire: 'no-such-wire' is no wire class"),
        (broken(kind="false", key="look-hub", wire="er70s-6"), "tallies.0.machine: and wire are for odds only"),
        (broken(customer="Miller"), "tallies.0.customer: unexpected keyword argument"),
    ],
)
def test_every_bad_field_of_an_import_is_named(tmp_path, tally, told):
    shop, file = tasks.open_shop(tmp_path / "book.db"), tmp_path / "counts.json"
    file.write_text(json.dumps({"format": "tipward counts 1", "cases": 4, "catalogues": [], "tallies": [tally]}))
    with pytest.raises(InputError) as refused:
        tasks.import_counts(shop, file)
    assert told in str(refused.value)
    assert not (tmp_path / "book.db").exists()  # what is refused writes nothing


def test_all_bad_fields_are_named_at_once(tmp_path):
    file = tmp_path / "counts.json"
    rows = [broken(found=5.0), broken(key="nothing"), broken(found=5.0)]
    file.write_text(json.dumps({"format": "tipward counts 1", "cases": 4, "tallies": rows}))
    with pytest.raises(InputError) as refused:
        read_counts(tasks.open_shop(tmp_path / "book.db").plain, file)
    where = [problem.where for problem in refused.value.problems]
    assert where == ["tallies.0.found", "tallies.1.key", "tallies.2.found", "tallies.2"]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "file: is not JSON"),
        ("[1, 2]", "format: is not 'tipward counts 1'"),
        ('{"format": "tipward counts 2"}', "format: is not 'tipward counts 1'"),
        ('{"format": "tipward counts 1", "cases": 0}', "cases: is 0: nothing is learned from it"),
        ('{"format": "tipward counts 1", "cases": -3}', "cases: input should be greater than or equal to 0"),
        ('{"format": "tipward counts 1", "cases": 1.5}', "cases: input should be a valid integer"),
        ('{"format": "tipward counts 1", "cases": 1, "rig": "bay 4"}', "rig: unexpected keyword argument"),
        ('{"format": "tipward counts 1", "cases": 1, "catalogues": ["Miller"]}', "catalogues.0: string should match"),
        ("1" * 5000, "file: is not JSON"),
        ("[" * 100_000, "file: is not JSON"),
    ],
)
def test_a_file_that_is_no_counts_is_refused(tmp_path, text, told):
    file = tmp_path / "counts.json"
    file.write_text(text)
    with pytest.raises(InputError) as refused:
        read_counts(CATALOGUE, file)
    assert told in str(refused.value)
    with pytest.raises(InputError, match="cannot be read"):
        read_counts(CATALOGUE, tmp_path / "nothing.json")


def test_the_shop_s_own_words_stay_at_home():
    own = Tally("odds", "the-miller-fault", 1.0, 0.5, 2.0)
    assert "miller" not in tasks.export_counts(replace(SHIPPED, tallies=(*SHIPPED.tallies, own)))


def test_a_lesson_that_cannot_be_read_is_named_and_can_be_taken_back(shop):
    lesson = save_lesson(shop.book, "counts", "own", {"cases": "many"})
    with pytest.raises(RecordError, match=f"tipward learn --reverse {lesson.id}"):
        _ = shop.catalogue
    tasks.reverse_lessons(shop, lesson.id)
    assert shop.catalogue is CATALOGUE


def test_a_case_that_names_what_the_catalogue_lost_is_left_out_and_named(taught_shop):
    shop, *_ = taught_shop
    checks = {key: check for key, check in CATALOGUE.checks.items() if key != "look-dust"}
    poorer = replace(CATALOGUE, checks=checks)
    learning = tasks.learn(Shop(shop.casebook, poorer))
    assert learning.left_out and learning.counts.cases + len(learning.left_out) == 40
    tasks.what_we_learned(Shop(shop.casebook, poorer))
