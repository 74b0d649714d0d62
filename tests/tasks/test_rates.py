"""What an hour costs: read with every bad field named, kept with the case, proposed for the next."""

from pathlib import Path

import pytest

from tipward import tasks
from tipward.foundation import InputError
from tipward.model import FeedPath, Opened, Place, entry_from_data, entry_to_data


@pytest.fixture
def shop(tmp_path):
    return tasks.open_shop(tmp_path / "book.db")


def test_rates_are_kept_and_the_next_case_starts_from_the_last(shop):
    assert tasks.choices(shop).work_per_hour == 60.0
    place = tasks.place(shop, "machine", "", "", False, "85,50", "120")
    kept = tasks.read_case(shop, tasks.open_case(shop, FeedPath(), ("burns-back",), place=place).id)
    assert (kept.place().work_per_hour, kept.place().standstill_per_hour) == (85.5, 120.0)
    assert tasks.choices(shop).work_per_hour == 85.5
    later = tasks.place(shop, "counter", "", "", False)
    assert (later.work_per_hour, later.standstill_per_hour) == (85.5, 0.0)


@pytest.mark.parametrize("work", ["much", "0", "-5", "nan", "1e400", "2e6", "60 mm", "\x00", "9" * 300])
def test_every_bad_rate_is_named_and_nothing_is_written(shop, work):
    with pytest.raises(InputError) as refused:
        tasks.place(shop, "moon", "", "", False, work, "-1")
    assert [problem.where for problem in refused.value.problems] == ["at", "work_per_hour", "standstill_per_hour"]
    assert not Path(shop.casebook).exists()


def test_pages_written_before_there_were_rates_are_read(shop):
    data = entry_to_data(Opened(FeedPath(), ("burns-back",)))
    del data["place"]["work_per_hour"], data["place"]["standstill_per_hour"]
    assert entry_from_data(data).place == Place()
