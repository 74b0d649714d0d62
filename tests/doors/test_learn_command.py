"""``tipward learn``: shows, applies, reverses, exports, imports; wrong use ends with 2 and changes nothing."""

import json

import pytest


@pytest.fixture
def book(tmp_path, monkeypatch):
    monkeypatch.setenv("TIPWARD_CASEBOOK", str(tmp_path / "book.db"))
    return tmp_path / "book.db"


@pytest.fixture
def shop_with_a_case(book, tipward, examples):
    """A casebook in which the tight brake of the examples was found, mended and proved."""
    says = "The wire starts with a jerk and slows, worse now that the spool is nearly empty"
    place = ["--at", "machine", "--tools", "all", "--spares", "all"]
    answers = ["--says", says, "--answers", examples / "case-tight-brake.toml"]
    assert tipward("find", examples / "rig-aluminium-1.2.toml", *place, *answers).code == 0
    return book


def changes(tipward):
    return json.loads(tipward("learn", "--json").out)["changes"]


def test_an_empty_shop_has_learned_nothing(book, tipward):
    ran = tipward("learn")
    assert ran.code == 0 and "CLOSED CASES  none yet" in ran.out and "HOW WELL" not in ran.out
    assert tipward("learn", "--apply").code == 2


def test_it_shows_causes_calibration_and_what_would_change(shop_with_a_case, tipward):
    ran = tipward("learn")
    assert ran.code == 0 and ran.err == ""
    assert "     1  Spool brake too tight  [spool-brake-tight]" in ran.out
    for part in ("CLOSED CASES  1 proved", "0 to 5 %", "Brier score", "log score", "Calibration error", "HOW COMMON"):
        assert part in ran.out
    assert "LESSONS IN USE\n  none" in ran.out  # nothing is changed by looking


def test_apply_changes_the_catalogue_and_reverse_takes_it_back(shop_with_a_case, tipward, examples):
    asked = ["learn", "--json"]
    before = json.loads(tipward(*asked).out)
    ran = tipward("learn", "--apply")
    assert ran.code == 0 and "is in use: 1 closed case of this shop" in ran.out
    number = json.loads(tipward(*asked).out)["in_use"][0]["id"]
    assert f"tipward learn --reverse {number}" in ran.out
    ran = tipward("learn", "--reverse", number)
    assert ran.code == 0 and f"Lesson {number} is taken back" in ran.out
    after = json.loads(tipward(*asked).out)
    assert after["in_use"] == [] and after["changes"] == before["changes"]
    assert tipward("learn", "--reverse", number).code == 2


def test_numbers_in_json_have_before_and_after(shop_with_a_case, tipward):
    told = changes(tipward)
    assert {item["kind"] for item in told} == {"odds", "shows", "false"}
    assert all(item["low"] <= item["after"] <= item["high"] and 0 < item["before"] < 1 for item in told)


def test_counts_go_from_shop_to_shop_as_a_file(shop_with_a_case, tipward, tmp_path, monkeypatch):
    file = tmp_path / "counts.json"
    ran = tipward("learn", "--export", file)
    assert ran.code == 0 and "no customer, rig, word or time" in ran.out
    ours = json.loads(tipward("learn", "--json").out)["counts"]
    monkeypatch.setenv("TIPWARD_CASEBOOK", str(tmp_path / "other.db"))
    ran = tipward("learn", "--import", file, "--json")
    assert ran.code == 0 and json.loads(ran.out)["payload"] == ours
    assert "1 closed case of another shop" in tipward("learn").out
    ran = tipward("learn", "--import", file)
    assert ran.code == 2 and "in use already, as lesson 1" in ran.err


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--reverse", "7"], "no lesson 7; there are none"),
        (["--import", "nothing.json"], "file: cannot be read"),
        (["--export", "counts.json"], "there is no closed case to learn from"),
        (["--apply", "--reverse", "1"], "exclude each other; give one of them"),
        (["--pdf", "sheet.pdf", "--apply"], "exclude each other; give one of them"),
    ],
)
def test_wrong_use_says_the_next_step(book, tipward, words, told, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    ran = tipward("learn", *words)
    assert ran.code == 2 and told in ran.err and "Traceback" not in ran.err
    assert not (tmp_path / "counts.json").exists()


def test_what_is_shown_goes_on_paper(shop_with_a_case, tipward, tmp_path):
    ran = tipward("learn", "--pdf", tmp_path / "sheet.pdf", "--paper", "letter")
    assert ran.code == 0 and ran.out.startswith("Wrote ") and (tmp_path / "sheet.pdf").read_bytes()[:5] == b"%PDF-"
    assert tipward("learn", "--pdf", tmp_path / "no" / "sheet.pdf").code == 2


def test_a_file_that_cannot_be_written_is_wrong_use(shop_with_a_case, tipward, tmp_path):
    ran = tipward("learn", "--export", tmp_path / "no" / "counts.json")
    assert ran.code == 2 and "export: cannot be written" in ran.err
