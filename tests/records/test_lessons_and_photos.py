"""Lessons are only added, and taken back by name; photos come back byte by byte."""

import threading

import pytest
from sqlalchemy import text

from tipward import records
from tipward.foundation import ConflictError, InputError, NotKnownError, RecordError
from tipward.model import FeedPath, Opened
from tipward.records import Casebook


def test_lessons_come_in_order(casebook: Casebook) -> None:
    first = records.save_lesson(casebook, "odds", "liner-dirty", {"seen": 3, "of": [1, 2.5], "note": "Öl"})
    second = records.save_lesson(casebook, "checks", "look-hub", {})
    assert records.list_lessons(casebook) == (first, second)
    assert records.list_lessons(casebook, kind="checks") == (second,)
    assert records.list_lessons(casebook, kind="a\0b") == ()


def test_a_lesson_taken_back_stays_on_record(casebook: Casebook) -> None:
    lesson = records.save_lesson(casebook, "odds", "liner-dirty", {"seen": 3})
    back = records.reverse_lesson(casebook, lesson.id, "wrong machine")
    assert records.list_lessons(casebook) == ()
    kept, taking_back = records.list_lessons(casebook, counting_only=False)
    assert kept == back and back.reversed_by == taking_back.id
    assert taking_back.payload == {"why": "wrong machine"}


def test_a_lesson_is_taken_back_once(casebook: Casebook) -> None:
    lesson = records.save_lesson(casebook, "odds", "liner-dirty", {})
    back = records.reverse_lesson(casebook, lesson.id)
    with pytest.raises(ConflictError, match="lesson 1 was taken back before; nothing is left to do"):
        records.reverse_lesson(casebook, lesson.id)
    with pytest.raises(ConflictError, match="lesson 2 takes back 1; save lesson 1 anew instead"):
        records.reverse_lesson(casebook, back.reversed_by or 0)
    with pytest.raises(NotKnownError, match="no lesson 99"):
        records.reverse_lesson(casebook, 99)


def test_of_many_who_take_it_back_one_does(casebook: Casebook) -> None:
    lesson = records.save_lesson(casebook, "odds", "liner-dirty", {})
    told: list[str] = []

    def take_back() -> None:
        try:
            records.reverse_lesson(casebook, lesson.id)
            told.append("done")
        except ConflictError:
            told.append("refused")

    threads = [threading.Thread(target=take_back) for _ in range(5)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(told) == ["done", *["refused"] * 4]
    assert len(records.list_lessons(casebook, counting_only=False)) == 2


@pytest.mark.parametrize("attack", ["UPDATE learned SET payload = '{}'", "DELETE FROM learned"])
def test_lessons_can_never_be_changed_or_removed(casebook: Casebook, attack: str) -> None:
    lesson = records.save_lesson(casebook, "odds", "liner-dirty", {"seen": 3})
    with pytest.raises(RecordError, match="append-only"), casebook.store.writing() as connection:
        connection.execute(text(attack))
    assert records.list_lessons(casebook) == (lesson,)


def test_a_lesson_that_cannot_be_kept(casebook: Casebook) -> None:
    with pytest.raises(InputError, match="use finite numbers"):
        records.save_lesson(casebook, "odds", "liner-dirty", {"seen": float("nan")})
    with pytest.raises(InputError, match="use finite numbers and plain text"):
        records.save_lesson(casebook, "odds", "liner-dirty", {"seen": {1, 2}})
    with pytest.raises(InputError, match="key: is empty"):
        records.save_lesson(casebook, "odds", "", {})
    assert records.list_lessons(casebook) == ()


def test_a_photo_comes_back_byte_by_byte(casebook: Casebook) -> None:
    case = casebook.new_case(Opened(FeedPath(), ()), "first")
    data = bytes(range(256)) * 4000
    photo = records.save_photo(casebook, case.id[:4], data, "image/jpeg")
    assert records.load_photo(casebook, photo.id) == photo
    assert (photo.case, photo.data, records.list_photos(casebook, case.id)) == (case.id, data, (photo.id,))


def test_a_photo_that_cannot_be_kept_or_found(casebook: Casebook) -> None:
    case = casebook.new_case(Opened(FeedPath(), ()), "first")
    with pytest.raises(InputError, match="photo: is empty; choose it again"):
        records.save_photo(casebook, case.id, b"", "image/jpeg")
    with pytest.raises(NotKnownError, match="no case 'zzzz'"):
        records.save_photo(casebook, "zzzz", b"data", "image/jpeg")
    for wrong in ("gone", "a\0b", "\ud800"):
        with pytest.raises(NotKnownError, match="no photo"):
            records.load_photo(casebook, wrong)
    assert records.list_photos(casebook, case.id) == ()
