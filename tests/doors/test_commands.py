"""The commands as a shop uses them: what they print, their JSON, their exit codes."""

import json
import re

import pytest


@pytest.fixture
def book(tmp_path, monkeypatch):
    monkeypatch.setenv("TIPWARD_CASEBOOK", str(tmp_path / "book.db"))
    return tmp_path / "book.db"


def test_fit_says_what_suits_and_ends_with_0(tipward, examples):
    ran = tipward("fit", examples / "rig-steel-0.9.toml")
    assert (ran.code, ran.err) == (0, "") and "No mismatch found." in ran.out


def test_fit_of_a_half_changed_rig_ends_with_1(tipward, examples):
    ran = tipward("fit", examples / "rig-after-change.toml", "--json")
    found = {item["fault"] for item in json.loads(ran.out)["mismatches"]}
    assert ran.code == 1 and {"tip-bore-small", "groove-form-wrong", "liner-material-wrong"} <= found


def test_fit_recommends_a_set_up(tipward, examples):
    ran = tipward("fit", examples / "rig-after-change.toml", "--recommend", "--json")
    lines = json.loads(ran.out)["recommended"]["lines"]
    assert len(lines) > 5 and all(line["reason"] and line["grade"] for line in lines)


def test_force_is_the_same_for_the_same_seed_and_fits_80_columns(tipward, examples):
    first, again = (tipward("force", examples / "rig-steel-0.9.toml") for _ in range(2))
    assert first.out == again.out and first.code == 0
    assert max(map(len, first.out.splitlines())) <= 100
    other = tipward("force", examples / "rig-steel-0.9.toml", "--seed", 2)
    assert other.out != first.out


def test_force_in_inches_and_as_json(tipward, examples):
    assert "lbf" in tipward("force", examples / "rig-selfshielded.toml", "--inches").out
    budget = json.loads(tipward("force", examples / "rig-steel-0.9.toml", "--json", "--draws", 64).out)
    assert budget["draws"] == 64 and budget["push_n"]["low"] < budget["push_n"]["mid"] < budget["push_n"]["high"]


def test_force_out_of_range_names_the_limit_and_goes_on_when_asked(tipward, tmp_path):
    file = tmp_path / "long.toml"
    file.write_text('[wire]\ndiameter = "0.9 mm"\n[torch_lead]\nlength = "40 m"\nturns = 0.5\n', "utf-8")
    ran = tipward("force", file)
    assert ran.code == 2 and "torch_lead.length_m = 40 is outside" in ran.err and "extrapolation" in ran.err
    told = tipward("force", file, "--extrapolate")
    assert told.code in {0, 1} and re.search(r"! .*(extrapolated|outside)", told.out)


def test_a_path_with_wire_length_and_one_loop_works(tipward, tmp_path):
    file = tmp_path / "little.toml"
    file.write_text(
        '[wire]\nwire_class = "er70s-6"\ndiameter = "0.9 mm"\n[torch_lead]\nlength = "4 m"\nturns = 1\n', "utf-8"
    )
    little = json.loads(tipward("force", file, "--json").out)
    assert little["push_n"]["high"] / little["push_n"]["low"] > 2 and "liner.friction_1" in little["assumed"]


def scripted(tipward, examples, *words):
    return tipward(
        "find",
        examples / "rig-steel-0.9.toml",
        *("--at", "machine"),
        *("--tools", "all", "--spares", "all"),
        *("--says", "It slips and surges when the torch lead is bent round the bench, and burns back now and then"),
        *("--answers", examples / "case-two-faults.toml"),
        *words,
    )


def test_find_scripted_ends_proved_with_0(tipward, examples, book):
    ran = scripted(tipward, examples)
    assert ran.code == 0 and "CLOSED  proved" in ran.out and book.exists()
    assert "Lay the torch lead out straight" in ran.out and "Blow the liner out" in ran.out


def test_find_as_json_then_card_prove_and_cases(tipward, examples, book, tmp_path):
    view = json.loads(scripted(tipward, examples, "--json", "--customer", "I. Aldric").out)
    case = view["case"]["id"]
    assert view["case"]["pages"][-1]["entry"]["how"] == "proved" and view["proof"]["proved"] is True
    card = tipward("card", case).out
    assert "I. Aldric" in card and "Local codes and licensed practice come first." in card
    pdf = tmp_path / "card.pdf"
    assert tipward("card", case, "--pdf", pdf, "--paper", "letter").code == 0
    assert pdf.read_bytes()[:5] == b"%PDF-"
    assert tipward("prove", case).code == 0
    rows = json.loads(tipward("cases", "--json").out)
    assert [(row["id"], row["closed"]) for row in rows] == [(case, "proved")]
    assert json.loads(tipward("cases", "--open", "--json").out) == []


def test_a_card_is_found_by_the_beginning_of_its_id_and_an_unknown_case_ends_with_2(tipward, examples, book):
    case = json.loads(scripted(tipward, examples, "--json").out)["case"]["id"]
    assert tipward("card", case[:4]).code == 0
    ran = tipward("card", "zzzz-zzzz")
    assert ran.code == 2 and "zzzz-zzzz" in ran.err and "Traceback" not in ran.err


def test_a_card_that_cannot_be_written_says_so(tipward, examples, book, tmp_path):
    case = json.loads(scripted(tipward, examples, "--json").out)["case"]["id"]
    ran = tipward("card", case, "--pdf", tmp_path / "nowhere" / "card.pdf")
    assert ran.code == 2 and "card.pdf" in ran.err and "Traceback" not in ran.err


def test_prove_takes_readings_and_ends_with_1_until_all_are_met(tipward, examples, book):
    ran = tipward(
        "find",
        examples / "rig-steel-0.9.toml",
        *("--at", "machine"),
        *("--says", "it slips", "--answers", examples / "case-no-speed-control.toml", "--json"),
    )
    case = json.loads(ran.out)["case"]["id"]
    told = json.loads(tipward("prove", case, "--json").out)
    assert {target["id"] for target in told["targets"]} >= {"feed-ratio", "pull-through-torch", "slip-pull", "ovality"}
    ran = tipward("prove", case, "--read", "feed-ratio=0.7; 0.71; 0.7")
    assert ran.code == 1 and "NOT MET" in ran.out and "Not proved yet" in ran.out
    ran = tipward("prove", case, "--read", "feed-ratios=1")
    assert ran.code == 2 and "feed-ratios: is no target; one of" in ran.err
    ran = tipward("prove", case, "--read", "pull-through-torch=9 kg")
    assert ran.code == 2 and "pull-through-torch: '9 kg' is not in a unit that fits" in ran.err


def test_demo_goes_from_complaint_to_proof_and_card(tipward, book, tmp_path):
    ran = tipward("demo", "--pdf", tmp_path / "demo.pdf")
    assert ran.code == 0 and ran.err == ""
    order = ["two faults at once", "The customer says:", "CHECK", "FIX", "PROOF", "proved", "WHAT IT WAS", "SOURCES"]
    places = [ran.out.index(word) for word in order]
    assert places == sorted(places)
    assert (tmp_path / "demo.pdf").read_bytes()[:5] == b"%PDF-" and not book.exists()


def test_demo_as_json_is_one_noun(tipward, book):
    view = json.loads(tipward("demo", "--json").out)
    assert view["proof"]["proved"] is True and len(view["case"]["pages"]) > 10


def test_no_command_and_wrong_command(tipward):
    assert tipward("--help").code == 0
    ran = tipward("fitt")
    assert ran.code == 2 and "No such command" in ran.err


def test_version(tipward):
    assert re.fullmatch(r"tipward \d+\.\d+\.\d+\s*", tipward("--version").out)


def test_find_names_a_bad_rate_and_keeps_good_ones_with_the_case(tipward, examples, book):
    ran = scripted(tipward, examples, "--work-per-hour", "plenty", "--standstill-per-hour", "-2")
    assert ran.code == 2 and "work_per_hour" in ran.err and "standstill_per_hour" in ran.err
    view = json.loads(scripted(tipward, examples, "--json", "--work-per-hour", "90").out)
    assert view["case"]["pages"][0]["entry"]["place"]["work_per_hour"] == 90
