"""The guided case at a terminal: what can be typed at each question, and what becomes of it."""

import json
import re

import pytest

SAYS = ("--says", "the wire slips and surges when the lead is bent")


@pytest.fixture
def talk(tipward, examples, tmp_path, monkeypatch):
    """Type lines into a new case of bay 2, leave, and give what was printed with the case as JSON."""
    monkeypatch.setenv("TIPWARD_CASEBOOK", str(tmp_path / "book.db"))

    def typed(*lines, words=SAYS, case=None):
        new = ("--case", case) if case else (examples / "rig-steel-0.9.toml", "--at", "machine", *words)
        ran = tipward("find", *new, typed="\n".join([*lines, "q"]) + "\n")
        card = json.loads(tipward("card", re.search(r"tipward card (\S+)", ran.out)[1], "--json").out)
        return ran, card["case"]

    return typed


def entries(case):
    return [page["entry"] for page in case["pages"][1:]]


def first_check(out):
    return re.search(r"^CHECK .*?\[([a-z-]+)\]", out, re.M)[1]


def test_leaving_at_once_saves_the_case_and_says_how_to_go_on(talk):
    ran, case = talk()
    assert ran.code == 1 and entries(case) == []
    assert "Local codes and licensed practice come first." in ran.out
    assert f"Saved. Go on with: tipward find --case {case['id']}" in ran.out


def test_the_complaint_is_asked_where_none_is_given(talk):
    ran, case = talk("it burns back to the tip", words=())
    assert "What does the customer say" in ran.out and "burns-back" in case["pages"][0]["entry"]["complaints"]


def test_an_answer_by_number_and_by_id(talk):
    ran, case = talk("2", "1")
    check = first_check(ran.out)
    assert entries(case)[0]["check"] == check and entries(case)[0]["outcome"] != ""
    _, by_id = talk(entries(case)[0]["outcome"])
    assert entries(by_id)[0]["outcome"] == entries(case)[0]["outcome"]


@pytest.mark.parametrize("nonsense", ["9", "0", "-1", "perhaps", "", "²"])
def test_nonsense_is_refused_and_asked_again(talk, nonsense):
    ran, case = talk(nonsense)
    assert ran.code == 1 and entries(case) == []
    if nonsense:
        assert "is no outcome of" in ran.err and "Traceback" not in ran.err


def test_cannot_do_that_here_is_no_evidence_and_is_not_asked_again(talk):
    ran, case = talk("n", "n")
    asked = re.findall(r"^(?:CHECK|FIX) .*?\[([a-z-]+)\]", ran.out, re.M)
    assert [entry["kind"] for entry in entries(case)] == ["cannot", "cannot"]
    assert len(asked) == 4 and len(set(asked)) == 3  # three steps; the open one is told again at the end


def test_something_else_was_seen(talk):
    ran, case = talk("e", "look-tip-stamp", "3")
    assert "Read the size on the tip" in ran.out
    assert entries(case)[0]["check"] == "look-tip-stamp" and entries(case)[0]["outcome"] == "smaller"


def test_something_else_lists_what_there_is_and_takes_a_word_of_a_name(talk):
    ran, case = talk("e", "?", "e", "wooden elephant", "e", "stamps on the roll", "n")
    assert "look-tip-stamp" in ran.out and "none that can be done now has that in its name" in ran.out
    assert "Read the stamps on the roll" in ran.out and entries(case) == []


def test_take_that_back(talk):
    ran, case = talk("e", "look-tip-stamp", "3", "b", "")
    assert re.search(r"2  look-tip-stamp: smaller", ran.out)
    assert entries(case)[-1] == {"sequence": 2, "why": "", "kind": "taken back"}
    ran, case = talk("b")
    assert "nothing to take back yet" in ran.err and entries(case) == []


def test_go_on_elsewhere_with_other_tools(talk):
    ran, case = talk("w", "phone", "")
    assert entries(case)[0]["kind"] == "moved" and entries(case)[0]["place"]["at"] == "phone"
    ran, case = talk("w", "machine", "spring scale, pen")
    assert entries(case)[0]["place"]["tools"] == ["pen", "spring scale"]
    ran, case = talk("w", "machine", "magic wand")
    assert "'magic wand' is not known" in ran.err and entries(case) == []


def test_readings_are_typed_with_their_unit(talk):
    lines = ("w", "machine", "spring scale", "e", "pull-torch-straight", "5.5 N; 1.3 lbf")
    ran, case = talk(*lines)
    assert "A healthy path reads" in ran.out
    assert entries(case)[1]["readings"] == pytest.approx([5.5, 1.3 * 4.4482216152605])
    ran, case = talk(*lines[:-1], "5.5")
    assert "has no unit" in ran.err and len(entries(case)) == 1
    ran, case = talk(*lines[:-1], "stuck")
    assert len(entries(case)) == 2


def test_a_fix_is_done_or_refused(talk):
    to_fix = ("e", "look-lead-lie", "2")
    ran, case = talk(*to_fix, "d")
    assert "FIX  Lay the torch lead out straight" in ran.out
    assert entries(case)[-1]["action"] == "straighten-lead"
    ran, case = talk(*to_fix, "7")
    assert "'7' is none of d, x, n, e, b, w, q" in ran.err
    ran, case = talk(*to_fix, "n")
    assert entries(case)[-1] == {"what": "straighten-lead", "why": "", "kind": "cannot"}
    ran, case = talk(*to_fix, "x")
    assert entries(case)[-1]["how"] == "open end" and ran.code == 1


def test_a_case_goes_on(talk):
    _, case = talk("1")
    _, again = talk("1", case=case["id"])
    assert again["pages"][: len(case["pages"])] == case["pages"] and len(again["pages"]) == len(case["pages"]) + 1


def test_a_shock_stops_everything(talk, tipward):
    ran, case = talk(words=("--says", "it gives a tingle when I touch the case"))
    assert "CHECK" not in ran.out and "SUSPICIONS" not in ran.out and ran.code == 1
    assert ran.out.index("STOP") < ran.out.index("pull the plug") and entries(case)[-1]["how"] == "service"


def test_rates_are_put_right_when_a_case_goes_on_and_stay_with_a_change_of_place(talk, tipward):
    _, case = talk(words=(*SAYS, "--work-per-hour", "90"))
    refused = tipward("find", "--case", case["id"], "--standstill-per-hour", "1,500", typed="q\n")
    assert refused.code == 2 and "standstill_per_hour: '1,500' is no amount an hour" in refused.err
    tipward("find", "--case", case["id"], "--standstill-per-hour", "30", typed="q\n")
    _, went = talk("w", "counter", "", case=case["id"])
    put_right, moved = (entry["place"] for entry in entries(went))
    assert (put_right["at"], put_right["work_per_hour"], put_right["standstill_per_hour"]) == ("machine", 90, 30)
    assert (moved["at"], moved["work_per_hour"], moved["standstill_per_hour"]) == ("counter", 90, 30)
