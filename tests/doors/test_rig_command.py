"""``tipward rig`` and what it serves: ``find --rig``, ``fit --serves``, bad input included."""

import json

import pytest


@pytest.fixture(autouse=True)
def book(tmp_path, monkeypatch):
    monkeypatch.setenv("TIPWARD_CASEBOOK", str(tmp_path / "book.db"))
    return tmp_path / "book.db"


@pytest.fixture
def bay(tipward, examples):
    assert tipward("rig", "add", "Bay 2", examples / "rig-steel-0.9.toml", "--customer", "I. Aldric").code == 0


READ = (
    "--read",
    "pull-torch-straight=6 N; 7 N",
    "--read",
    "pull-torch-one-loop=3 N",
    "--read",
    "measure-feed-ratio=0.99",
)


def test_a_rig_is_added_listed_and_shown(tipward, examples, bay):
    listed = tipward("rig", "list")
    assert listed.code == 0 and "bay-2" in listed.out and "ER70S-6" in listed.out and "I. Aldric" in listed.out
    shown = tipward("rig", "show", "BAY 2")
    assert shown.code == 0 and 'diameter = "0.9 mm"' in shown.out and "no healthy baseline" in shown.out
    assert json.loads(tipward("rig", "show", "bay-2", "--json").out)["rig"]["id"] == "bay-2"
    assert [rig["id"] for rig in json.loads(tipward("rig", "list", "--json").out)] == ["bay-2"]


def test_what_a_rig_shows_reads_back_as_a_set_up_file(tipward, bay, tmp_path):
    file = tmp_path / "again.toml"
    file.write_text(tipward("rig", "show", "bay-2").out, "utf-8")
    assert tipward("fit", file).code == 0


def test_an_empty_book_says_how_to_begin(tipward):
    assert "tipward rig add NAME SETUP" in tipward("rig", "list").out


def test_the_same_name_again_needs_replace(tipward, examples, bay):
    ran = tipward("rig", "add", "bay 2", examples / "rig-aluminium-1.2.toml")
    assert ran.code == 2 and "is that of rig bay-2" in ran.err
    assert tipward("rig", "add", "bay 2", examples / "rig-aluminium-1.2.toml", "--replace").code == 0
    seen = json.loads(tipward("rig", "show", "bay-2", "--json").out)["rig"]
    assert seen["path"]["wire"]["wire_class"] == "er4043" and seen["customer"] == "I. Aldric"


def test_a_baseline_is_kept_where_it_is_healthy(tipward, bay):
    asked = tipward("rig", "baseline", "bay-2")
    assert asked.code == 0 and asked.out.count("healthy parts like these read") == 3
    ran = tipward("rig", "baseline", "bay-2", *READ)
    assert ran.code == 0 and "Kept for rig bay-2" in ran.out
    kept = json.loads(tipward("rig", "show", "bay-2", "--json").out)["baselines"]
    assert [one["readings"]["pull-torch-straight"] for one in kept] == [6.5]
    assert (
        "healthy" in tipward("rig", "show", "bay-2").out and " lbf" in tipward("rig", "show", "bay-2", "--inches").out
    )


def test_a_baseline_that_no_healthy_path_reads_is_not_kept_unless_asked(tipward, bay):
    ran = tipward("rig", "baseline", "bay-2", "--read", "pull-torch-straight=60 N", "--json")
    assert ran.code == 1 and json.loads(ran.out)["kept"] is False
    assert json.loads(tipward("rig", "show", "bay-2", "--json").out)["baselines"] == []
    ran = tipward("rig", "baseline", "bay-2", "--read", "pull-torch-straight=60 N", "--anyway")
    assert ran.code == 0 and "Kept" in ran.out
    assert len(json.loads(tipward("rig", "show", "bay-2", "--json").out)["baselines"]) == 1


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["show", "bay-9"], "no rig 'bay-9'; there are: bay-2"),
        (["baseline", "bay-9"], "no rig 'bay-9'"),
        (["add", "+++", "{setup}"], "has neither letters nor digits"),
        (["add", "Bay 5", "none.toml"], "does not exist"),
        (["add", "bay 9", "{setup}", "--replace"], "no rig 'bay 9'"),
        (["baseline", "bay-2", "--read", "pull-tooth=9 N"], "pull-tooth: is no measured check; one of"),
        (["baseline", "bay-2", "--read", "pull-spool=9 kg"], "pull-spool: '9 kg' is not in a unit that fits"),
        (["baseline", "bay-2", "--read", "pull-spool=stuck"], "pull-spool: must be finite numbers of 0 or more"),
        (["baseline", "bay-2", "--read", "pull-spool=-3 N"], "pull-spool: must be finite numbers of 0 or more"),
        (["baseline", "bay-2", "--read", "pull-spool"], "pull-spool: '' is not a quantity"),
    ],
)
def test_wrong_use_is_refused_with_the_reason(tipward, examples, bay, words, said):
    ran = tipward("rig", *(word.replace("{setup}", str(examples / "rig-steel-0.9.toml")) for word in words))
    assert ran.code == 2 and ran.out == "" and said in ran.err, ran.err
    seen = json.loads(tipward("rig", "list", "--json").out)
    assert [rig["id"] for rig in seen] == ["bay-2"]


def test_every_bad_reading_is_named_at_once(tipward, bay):
    ran = tipward("rig", "baseline", "bay-2", "--read", "x=1", "--read", "pull-spool=bad", "--read", "pull-slip=-1 N")
    assert ran.code == 2 and "3 problems" in ran.err


def found(tipward, examples, *words):
    answers = ("--answers", examples / "case-two-faults.toml", "--json")
    return tipward(
        "find", *words, "--at", "machine", "--says", "it slips", "--tools", "all", "--spares", "all", *answers
    )


def test_find_takes_path_and_customer_of_a_kept_rig_and_its_baseline(tipward, examples, bay):
    tipward("rig", "baseline", "bay-2", *READ)
    view = json.loads(found(tipward, examples, "--rig", "Bay 2").out)
    opened = view["case"]["pages"][0]["entry"]
    assert (opened["rig"], opened["customer"], opened["path"]["wire"]["diameter_m"]) == ("bay-2", "I. Aldric", 0.0009)
    assert "pull-torch-straight" in {target["id"] for target in view["proof"]["targets"]}
    seen = json.loads(tipward("rig", "show", "bay-2", "--json").out)
    assert [row["id"] for row in seen["cases"]] == [view["case"]["id"]]


def test_find_with_a_set_up_file_goes_by_the_file_and_still_knows_the_rig(tipward, examples, bay):
    view = json.loads(found(tipward, examples, examples / "rig-steel-0.9.toml", "--rig", "Bay 2").out)
    assert view["case"]["pages"][0]["entry"]["rig"] == "bay-2"
    view = json.loads(found(tipward, examples, examples / "rig-steel-0.9.toml", "--rig", "the red one").out)
    assert view["case"]["pages"][0]["entry"]["rig"] == "the red one"


def test_find_for_a_rig_that_is_not_kept_is_refused(tipward, examples, bay):
    ran = tipward("find", "--rig", "bay-9", "--says", "it slips")
    assert ran.code == 2 and "no rig 'bay-9'; there are: bay-2" in ran.err
    ran = tipward("find", "--says", "it slips")
    assert ran.code == 2 and "--rig for a rig that is kept" in ran.err
    ran = tipward("find", "--rig", "bay-2", "--case", "abcd")
    assert ran.code == 2


def test_parts_say_which_wires_they_serve(tipward, examples):
    ran = tipward("fit", examples / "rig-aluminium-1.2.toml", "--serves")
    assert ran.code == 0 and "SERVES      solid aluminium wire (ER4043): 1.143 mm, 1.194 mm, 1.2 mm" in ran.out
    assert "NOT SERVED  flux-cored wire" in ran.out and "knurled" in ran.out
    rows = json.loads(tipward("fit", examples / "rig-aluminium-1.2.toml", "--serves", "--json").out)
    refused = {row["wire_class"]: row for row in rows}["solid steel"]
    assert refused["diameters_m"] == [] and all(reasons for _, reasons in refused["refused"])


def test_parts_that_serve_nothing_end_with_1(tipward, tmp_path):
    file = tmp_path / "odd.toml"
    file.write_text('[drive_rolls]\ngroove = "u"\ngroove_size = "0.6 mm"\n[contact_tip]\nbore = "1.4 mm"\n', "utf-8")
    ran = tipward("fit", file, "--serves")
    assert ran.code == 1 and "SERVES " not in ran.out and "nearest is" in ran.out
    ran = tipward("fit", file, "--serves", "--recommend")
    assert ran.code == 2 and "not both" in ran.err
