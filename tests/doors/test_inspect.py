"""``tipward inspect``: a round from a file, at the keyboard, left and taken up again."""

import json
import re

import pytest


@pytest.fixture(autouse=True)
def book(tmp_path, monkeypatch):
    monkeypatch.setenv("TIPWARD_CASEBOOK", str(tmp_path / "book.db"))
    return tmp_path / "book.db"


@pytest.fixture
def inspect(tipward, examples, tmp_path):
    def run(*words, answers=None, typed="", setup=examples / "rig-steel-0.9.toml"):
        if answers is not None:
            file = tmp_path / "answers.toml"
            file.write_text(answers, "utf-8")
            words = (*words, "--answers", file)
        return tipward("inspect", *([setup] if setup else []), *words, typed=typed)

    return run


def test_a_sound_rig_ends_with_0_and_its_case_is_closed(tipward, inspect):
    ran = inspect("--at", "machine", "--tools", "all", "--for", "sale", answers="")
    assert ran.code == 0 and "nothing out of the usual" in ran.out and "WHAT WAS FOUND" in ran.out
    assert "Not looked at: 2 for a qualified person" in ran.out
    rows = json.loads(tipward("cases", "--json").out)
    assert [(row["closed"], row["complaints"]) for row in rows] == [("open end", [])]


def test_what_is_found_ends_with_1_a_list_to_mend_and_a_card(tipward, inspect):
    ran = inspect(
        "--at", "machine", "--tools", "all", answers='[answers]\nlook-tip = "worn-oval"\nlook-hub = "nut-loose"\n'
    )
    assert ran.code == 1 and ran.out.index("FOUND  in") < ran.out.index("FIX  Fit a new tip") < ran.out.index("CASE ")
    assert "Tighten the spool nut by hand" in ran.out and "Bore worn to an oval" in ran.out
    case = re.search(r"tipward find --case (\S+)", ran.out)[1]
    assert json.loads(tipward("cases", "--open", "--json").out)[0]["id"] == case
    assert "looked over without a complaint" in tipward("card", case).out


def test_it_is_grouped_and_each_set_up_is_named_once(inspect):
    out = inspect("--at", "machine", "--tools", "all", answers="").out
    assert out.count("First: Door of the wire compartment open") == 1
    assert out.count("Torch taken off the machine, Wire drawn back") == 1
    order = [
        out.index(f"[{name}]") for name in ("look-wire-label", "look-hub", "look-groove", "look-neck", "look-arc-start")
    ]
    assert order == sorted(order)
    assert "Switch off and pull the plug" in out and "Arc light burns" in out


def test_json_is_one_noun(inspect):
    ran = inspect("--json", "--at", "phone", "--rig", "the red one", answers='[answers]\nlook-lead-lie = "folded"\n')
    result = json.loads(ran.out)
    assert ran.code == 1 and [item["check"] for item in result["found"]] == ["look-lead-lie"]
    assert result["mend"][0]["action"] and result["view"]["case"]["pages"][0]["entry"]["rig"] == "the red one"
    assert {why for _, why in result["left_out"]} >= {"not at the phone"}


def test_what_cannot_be_looked_at_is_left_out_and_no_evidence(inspect):
    ran = inspect("--at", "phone", "--json", answers='otherwise = "cannot"\n')
    result = json.loads(ran.out)
    assert ran.code == 0 and result["looked"] == 0
    assert "could not be done" in {why for _, why in result["left_out"]}


def test_a_new_spool_is_a_short_round(inspect):
    result = json.loads(inspect("--at", "machine", "--for", "new-spool", "--tools", "all", "--json", answers="").out)
    stations = {
        page["entry"]["check"] for page in result["view"]["case"]["pages"] if page["entry"]["kind"] == "finding"
    }
    assert 10 < len(stations) < 25 and "look-inlet-guide" in stations and "look-tip" not in stations


def test_a_kept_rig_needs_no_file(tipward, inspect, examples):
    tipward("rig", "add", "Bay 2", examples / "rig-steel-0.9.toml")
    ran = inspect("--rig", "bay 2", "--at", "phone", answers="", setup=None)
    assert ran.code == 0
    assert len(json.loads(tipward("rig", "show", "bay-2", "--json").out)["cases"]) == 1


def test_at_the_keyboard_it_is_left_and_taken_up_where_it_was(inspect, tipward):
    ran = inspect("--at", "phone", typed="\n2\nn\nq\n")
    assert ran.code == 1 and "Saved. Go on with: tipward inspect --case " in ran.out
    case = re.search(r"inspect --case (\S+)", ran.out)[1]
    pages = json.loads(tipward("card", case, "--json").out)["case"]["pages"]
    assert [page["entry"]["kind"] for page in pages] == ["opened", "finding", "finding", "cannot"]
    ran = inspect("--case", case, typed="", setup=None)
    assert "[look-wire-label]" not in ran.out and ran.out.count("LOOK  ") == 1
    ran = inspect("--case", case, typed="\n" * 20, setup=None)
    assert ran.code == 1 and "FOUND  in 15 looks" in ran.out


def test_a_slip_is_asked_again_and_an_answer_is_taken_back(inspect, tipward):
    ran = inspect("--at", "phone", typed="9\nfolded\n2\nb\n\n1\nq\n")
    assert ran.err.count("is no outcome of look-wire-label") == 2
    case = re.search(r"inspect --case (\S+)", ran.out)[1]
    pages = json.loads(tipward("card", case, "--json").out)["case"]["pages"]
    assert [page["entry"].get("outcome") for page in pages if page["entry"]["kind"] == "finding"] == [
        "other-size",
        "as-set-up",
    ]


def test_nothing_to_take_back_is_said(inspect):
    ran = inspect("--at", "phone", typed="b\nq\n")
    assert "nothing to take back yet" in ran.err


@pytest.mark.parametrize(
    ("words", "answers", "said"),
    [
        (("--at", "phone"), '[answers]\nlook-hubb = "x"\n', "answers.look-hubb: is no check"),
        (("--at", "phone"), "[answers\n", "file: "),
        (("--at", "phone", "--tools", "divining rod"), "", "'divining rod' is not known"),
        (("--at", "phone", "--for", "birthday"), "", "'birthday' is not one of"),
        ((), "", "say where the case is answered: --at"),
        (("--case", "abcd"), "", "or --case to go on with one"),
    ],
)
def test_wrong_use_is_refused_and_writes_nothing(inspect, book, words, answers, said):
    ran = inspect(*words, answers=answers)
    assert ran.code == 2 and said in ran.err, ran.err
    assert not book.exists()


def test_an_outcome_that_is_none_ends_with_2_and_says_which_there_are(inspect):
    ran = inspect("--at", "phone", "--json", answers='[answers]\nlook-wire-label = "blue"\n')
    assert ran.code == 2 and "'blue' is no outcome of look-wire-label; one of as-set-up" in ran.err.replace(
        "outcome: ", ""
    )


def test_neither_file_nor_rig_and_an_unknown_one_are_refused(inspect):
    assert "give a set-up file" in inspect(setup=None).err
    ran = inspect("--case", "zzzz", setup=None)
    assert ran.code == 2 and "zzzz" in ran.err
    ran = inspect("--rig", "bay-9", setup=None)
    assert ran.code == 2 and "no rig 'bay-9'" in ran.err


def test_where_it_is_done_is_asked_never_assumed(inspect):
    ran = inspect(typed="phone\nq\n")
    assert "Where are you" in ran.out and "[look-wire-label]" in ran.out and "of 16 looks" in ran.out


def test_rates_said_at_the_round_stay_with_its_case(tipward, inspect):
    refused = inspect("--at", "machine", "--work-per-hour", "1.200", answers="")
    assert refused.code == 2 and "work_per_hour: '1.200' is no amount an hour" in refused.err
    ran = inspect(
        "--at", "machine", "--tools", "all", "--work-per-hour", "70", "--standstill-per-hour", "25", answers=""
    )
    case = json.loads(tipward("cases", "--json").out)[0]["id"]
    place = json.loads(tipward("card", case, "--json").out)["case"]["pages"][0]["entry"]["place"]
    assert ran.code == 0 and (place["work_per_hour"], place["standstill_per_hour"]) == (70, 25)
