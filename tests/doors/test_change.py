"""``tipward change``: the plan, the walk at a terminal, what is kept and what is not."""

import json

import pytest

STEPS = 14
WALK = ["d"] * 10 + ["2 N", "d", "4 N; 4.2 N", "1.0; 0.999; 1.0"]


@pytest.fixture(autouse=True)
def book(tmp_path, monkeypatch):
    monkeypatch.setenv("TIPWARD_CASEBOOK", str(tmp_path / "book.db"))
    return tmp_path / "book.db"


@pytest.fixture
def change(tipward, examples):
    assert tipward("rig", "add", "Bay 2", examples / "rig-steel-0.9.toml").code == 0

    def run(*lines, start="bay-2", new=examples / "rig-aluminium-1.2.toml", words=()):
        return tipward("change", start, "--to", new, *words, typed="".join(f"{line}\n" for line in lines))

    return run


def kept(tipward):
    return json.loads(tipward("rig", "show", "bay-2", "--json").out)


def test_the_plan_as_json_asks_and_keeps_nothing(tipward, change):
    ran = change(words=["--json"])
    plan = json.loads(ran.out)
    assert ran.code == 1 and len(plan["steps"]) == STEPS and plan["left"] == []
    assert plan["after"]["wire"]["wire_class"] == "er4043" and plan["kept_n"]["mid"] is None
    assert kept(tipward)["rig"]["path"]["wire"]["wire_class"] == "er70s-6"


def test_the_plan_as_text_shows_parts_reasons_and_every_step(change):
    ran = change(words=["--plan"])
    assert ran.code == 1 and ran.out.index("MUST CHANGE") < ran.out.index("SET ANEW") < ran.out.index("STAYS")
    assert "smooth V -> U" in ran.out and "A V presses two lines into soft wire" in ran.out
    assert all(f"STEP {number}  " in ran.out for number in range(1, STEPS + 1))
    assert "Thread with the tip off and the torch lead" in ran.out


def test_the_same_wire_again_needs_no_change(change, examples):
    assert change(new=examples / "rig-steel-0.9.toml", words=["--plan"]).code == 0


def test_the_walk_keeps_rig_and_baseline_and_later_proofs_use_it(tipward, change, examples):
    ran = change(*WALK)
    assert ran.code == 0 and "All done, and all of it suits." in ran.out and ran.err == ""
    seen = kept(tipward)
    assert seen["rig"]["path"]["wire"]["wire_class"] == "er4043" and seen["rig"]["name"] == "Bay 2"
    assert set(seen["baselines"][-1]["readings"]) == {
        "pull-torch-one-loop",
        "pull-torch-straight",
        "measure-feed-ratio",
    }
    answers = ("--answers", examples / "case-no-speed-control.toml", "--json")
    view = json.loads(tipward("find", "--rig", "bay-2", "--at", "machine", "--says", "it slips", *answers).out)
    texts = {target["id"]: target["text"] for target in view["proof"]["targets"]}
    assert "own healthy baseline" in texts["pull-torch-straight"] and "own healthy baseline" in texts["feed-ratio"]


def test_readings_of_the_old_wire_fall_away_even_where_none_are_taken(tipward, change):
    old = ("--read", "pull-torch-straight=6.5 N")
    assert tipward("rig", "baseline", "bay-2", *old).code == 0
    ran = change(*WALK[:10], "n", "d", "n", "n")
    assert ran.code == 1 and "NOT DONE  pull-torch-straight" in ran.out
    assert kept(tipward)["baselines"] == [] and kept(tipward)["rig"]["path"]["wire"]["wire_class"] == "er4043"


@pytest.mark.parametrize("lines", [["q"], ["d", "d", "q"], [*WALK[:10], "q"], ["d", "d"]])
def test_leaving_keeps_nothing(tipward, change, lines):
    ran = change(*lines)
    assert ran.code == 1 and "Nothing was kept" in ran.out
    assert kept(tipward)["rig"]["path"]["wire"]["wire_class"] == "er70s-6"


def test_a_part_that_could_not_be_changed_is_said_and_stays(tipward, change):
    lines = [*WALK]
    lines[5] = "n"  # the liner
    ran = change(*lines)
    assert ran.code == 1 and "NOT DONE  liner" in ran.out and "DOES NOT MATCH  steel spiral liner" in ran.out
    seen = kept(tipward)
    assert seen["rig"]["path"]["liner"]["material"] == "steel" and seen["baselines"] == []


def test_without_the_new_wire_in_nothing_is_kept(tipward, change):
    lines = [*WALK]
    lines[8] = "n"  # threading
    ran = change(*lines)
    assert ran.code == 1 and "The new wire is not in" in ran.out
    assert kept(tipward)["rig"]["path"]["wire"]["wire_class"] == "er70s-6"


def test_a_reading_that_is_not_healthy_is_no_baseline(tipward, change):
    ran = change(*WALK[:12], "40 N", "1.0")
    assert ran.code == 1 and "NOT HEALTHY  Pull through the straight torch" in ran.out
    assert "tipward find --rig bay-2" in ran.out and kept(tipward)["baselines"] == []


def test_slips_at_the_keyboard_are_asked_again(change):
    ran = change("yes", *WALK[:10], "two", "stuck", "-1 N", *WALK[10:])
    assert ran.code == 0 and "'two' is not a quantity" in ran.err and ran.err.count("must be finite numbers") == 2


def test_a_set_up_file_is_changed_too_and_written_anew(change, examples, tmp_path, tipward):
    file = tmp_path / "after.toml"
    ran = change(*WALK, start=examples / "rig-steel-0.9.toml", words=["--write", file])
    assert ran.code == 0 and "er4043" in file.read_text("utf-8") and tipward("fit", file).code == 0
    again = change(*WALK, start=examples / "rig-steel-0.9.toml", words=["--write", file])
    assert again.code == 2 and "is there already" in again.err


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('[wire]\nwire_class = "er4043"\n', "wire.diameter: is missing"),
        ('[drive_rolls]\ngroove = "u"\n', "2 problems"),
        ('[wire]\nwire_class = "twine"\ndiameter = "1.2 mm"\n', "wire.wire_class: 'twine' is not known here"),
        ('[wire]\nwire_class = "er4043"\ndiameter = "1.2 kg"\n', "is not in a unit that fits"),
        ("", "is empty"),
    ],
)
def test_a_bad_new_set_up_is_refused(change, tmp_path, text, said):
    file = tmp_path / "new.toml"
    file.write_text(text, "utf-8")
    ran = change(new=file, words=["--json"])
    assert ran.code == 2 and ran.out == "" and said in ran.err, ran.err


def test_a_rig_or_file_that_is_not_there_is_refused(change, tmp_path):
    ran = change(start="bay-9")
    assert ran.code == 2 and "no rig 'bay-9'; there are: bay-2" in ran.err
    ran = change(start="none.toml")
    assert ran.code == 2 and "does not exist" in ran.err
    ran = change(new=tmp_path / "none.toml")
    assert ran.code == 2 and "does not exist" in ran.err
