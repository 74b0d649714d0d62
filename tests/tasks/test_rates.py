"""What an hour costs: read with every bad field named, kept with the case, proposed for the next."""

from pathlib import Path

import pytest

from tipward import tasks
from tipward.foundation import InputError, RecordError
from tipward.model import FeedPath, Opened, Place, entry_from_data, entry_to_data


@pytest.fixture
def shop(tmp_path):
    return tasks.open_shop(tmp_path / "book.db")


def test_rates_are_kept_and_the_next_case_starts_from_the_last(shop):
    assert tasks.usual_rate(shop) == 60.0
    place = tasks.place(shop, "machine", "", "", False, "85,50", "120")
    kept = tasks.read_case(shop, tasks.open_case(shop, FeedPath(), ("burns-back",), place=place).id)
    assert (kept.place().work_per_hour, kept.place().standstill_per_hour) == (85.5, 120.0)
    assert tasks.usual_rate(shop) == 85.5
    later = tasks.place(shop, "counter", "", "", False)
    assert (later.work_per_hour, later.standstill_per_hour) == (85.5, 0.0)


@pytest.mark.parametrize(
    "work", ["much", "0", "-5", "nan", "1e400", "2e6", "60 mm", "1,200", "1.200", "50 %", "3/2", "\x00", "9" * 300]
)
def test_every_bad_rate_is_named_and_nothing_is_written(shop, work):
    with pytest.raises(InputError) as refused:
        tasks.place(shop, "moon", "", "", False, work, "-1")
    assert [problem.where for problem in refused.value.problems] == ["at", "work_per_hour", "standstill_per_hour"]
    assert not Path(shop.casebook).exists()


def test_pages_written_before_there_were_rates_are_read(shop):
    data = entry_to_data(Opened(FeedPath(), ("burns-back",)))
    del data["place"]["work_per_hour"], data["place"]["standstill_per_hour"]
    assert entry_from_data(data).place == Place()


def test_a_place_holds_no_rate_that_is_no_amount():
    for rates in ((0.0, 0.0), (-60.0, 0.0), (60.0, -1.0), (float("nan"), 0.0), (60.0, float("inf"))):
        with pytest.raises(ValueError, match="an hour of work costs 1 to 1000000"):
            Place(work_per_hour=rates[0], standstill_per_hour=rates[1])


def test_a_newest_case_that_cannot_be_read_leaves_the_usual_rate(shop, monkeypatch):
    tasks.open_case(shop, FeedPath(), ("burns-back",), place=Place(work_per_hour=90.0))

    def broken(case_id):
        raise RecordError("page 1 cannot be read")

    monkeypatch.setattr(shop.book, "case", broken)
    assert tasks.usual_rate(shop) == 60.0
    assert tasks.place(shop, "machine", "", "", False).work_per_hour == 60.0
