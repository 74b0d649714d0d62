"""The line as text and as table."""

import pytest
from invented_workshop import PATH, PATHS, SUSPICIONS, budget

from tipward.model import STATIONS
from tipward.reports import line_rows, line_text


@pytest.mark.parametrize("inches", [False, True])
@pytest.mark.parametrize("name", PATHS)
def test_at_most_eighty_columns(name: str, inches: bool) -> None:
    for times in (0.01, 1.0, 40.0):
        lines = line_text(PATHS[name], budget(times), SUSPICIONS, inches).splitlines()
        assert max(map(len, lines)) <= 80
        assert len(lines) >= len(STATIONS)


def test_nothing_is_cut_off_at_the_edge() -> None:
    for probability in (0.0, 0.004, 0.07, 0.5, 0.93, 0.999, 1.0):
        lines = line_text(PATH, budget(), dict.fromkeys(STATIONS, probability)).splitlines()
        told = [line for line in lines if "■" in line or "·" in line]
        assert len(told) == len(STATIONS)
        assert all(line.endswith((")", "00", "10", "20")) for line in told)


def test_force_falls_towards_the_tip() -> None:
    lines = line_text(PATH, budget(), SUSPICIONS).splitlines()
    bars = [line.count("█") + line.count("░") for line in lines if "░" in line or "█" in line]
    assert bars == sorted(bars, reverse=True) and bars[0] > 3


def test_the_weakest_limit_comes_first_and_is_marked() -> None:
    lines = line_text(PATH, budget()).splitlines()
    start = lines.index("limits at the rolls, nearest first")
    assert lines[start + 1] == " ▶ wire nests at the guide at 38 N, 3.0× the push"
    assert not any("▶" in line for line in lines[start + 2 :])


def test_pounds_force_where_inches_are_wanted() -> None:
    text = line_text(PATH, budget(), inches=True)
    assert "lbf" in text and " N" not in text and "13.1 ft torch lead" in text


def test_the_table_has_a_row_for_each_station_and_says_what_the_picture_says() -> None:
    rows = {row[0]: row[1:] for row in line_rows(PATH, budget(), SUSPICIONS)}
    assert list(rows) == list(STATIONS.values())
    assert rows["drive rolls"] == (
        "12.7 N (8.5 to 19.0 N)",
        "rolls slip at 41 N, 3.2× the push; wire is crushed at 44 N, 3.4× the push",
        "about 3 in 10 (33 %)",
    )
    assert rows["torch lead"][0] == "11.5 N (7.7 to 17.2 N)"  # the end towards the rolls
    assert rows["nozzle"] == ("", "", "about 1 in 100 (1 %)")


def test_where_nothing_is_said_nothing_is_made_up() -> None:
    assert {row[1:] for row in line_rows(PATH)} == {("", "", "")}
    assert "■" not in line_text(PATH)
