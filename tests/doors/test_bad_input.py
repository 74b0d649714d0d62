"""Bad set-up files through the real commands: every bad field named, what to do, exit code 2, nothing written."""

import json
import subprocess
import sys

import pytest

BAD = {
    "unknown field": (
        '[wire]\ndiametre = "0.9 mm"\n',
        ["wire.diametre: is not a field of a feed path; did you mean diameter?"],
    ),
    "unknown table": ('[whire]\ndiameter = "0.9 mm"\n', ["whire: is not a field of a feed path; did you mean wire?"]),
    "text for a number": ('[spool]\nwire_left = "plenty"\n', ["spool.wire_left: 'plenty' is not a quantity; write"]),
    "text for a count": ('[drive_rolls]\npairs = "two"\n', ["drive_rolls.pairs: ", "correct it"]),
    "no unit": ("[wire]\ndiameter = 0.9\n", ["wire.diameter: 0.9 has no unit; write it with its unit"]),
    "a unit of another kind": ('[wire]\ndiameter = "0.9 kg"\n', ["wire.diameter: '0.9 kg' is not in a unit that fits"]),
    "zero": ('[wire]\ndiameter = "0 mm"\n', ["wire.diameter_m: ", "greater than 0"]),
    "negative": ('[liner]\nbore = "-2 mm"\n', ["liner.bore_m: ", "greater than 0"]),
    "NaN": ("[liner]\nbore_m = nan\n", ["liner.bore_m: ", "finite"]),
    "NaN as text": ('[liner]\nbore = "nan mm"\n', ["liner.bore: 'nan mm' is not a quantity"]),
    "infinity": ("[torch_lead]\nlength_m = inf\n", ["torch_lead.length_m: ", "finite"]),
    "division by zero": ('[wire]\ndiameter = "3/0 in"\n', ["wire.diameter: '3/0 in' is not a finite number"]),
    "a word that is none of the choices": ('[liner]\nmaterial = "rubber"\n', ["liner.material: ", "'steel', 'ptfe'"]),
    "given twice": ('[wire]\ndiameter = "0.9 mm"\ndiameter_m = 0.0009\n', ["wire.diameter: is given twice"]),
    "turns longer than the lead": (
        '[torch_lead]\nlength = "3 m"\nturns = 4\nturn_radius = "150 mm"\n',
        ["torch_lead.length: is 3 m, shorter than its bends of 3.77 m; check length, turns and radius"],
    ),
    "route longer than the lead": (
        '[torch_lead]\nlength = "1 m"\nroute = [{ length = "0.8 m" }, { radius = "300 mm", turning = "90°" }]\n',
        ["torch_lead.length: is 1 m, shorter than its bends of 1.27 m"],
    ),
    "a bend without a radius": (
        '[torch_lead]\nroute = [{ turning = "90°" }]\n',
        ["torch_lead.route.0: says too little; give length, or radius and turning"],
    ),
    "empty": ("", ["file: is empty; start from one of the files in examples/"]),
    "only white space": (" \n\n", ["file: is empty"]),
    "not TOML": ("[wire\n", ["file: is not TOML: "]),
    "a value where a table stands": ('wire = "0.9 mm"\n', ["wire: "]),
}
COMMANDS = (["fit"], ["force"], ["find", "--says", "it slips"])


@pytest.fixture
def workplace(tmp_path, monkeypatch):
    monkeypatch.setenv("TIPWARD_CASEBOOK", str(tmp_path / "book.db"))
    return tmp_path


@pytest.mark.parametrize("command", COMMANDS, ids=lambda words: words[0])
@pytest.mark.parametrize("what", BAD)
def test_a_bad_file_is_refused_with_every_reason(tipward, workplace, what, command):
    text, expected = BAD[what]
    file = workplace / "bad.toml"
    file.write_text(text, "utf-8")
    ran = tipward(command[0], file, *command[1:], "--json")
    assert ran.code == 2 and ran.out == ""
    assert "Traceback" not in ran.err and str(file) in ran.err
    assert [part for part in expected if part not in ran.err] == [], ran.err
    assert sorted(workplace.iterdir()) == [file], "something was written"


@pytest.mark.parametrize("command", COMMANDS, ids=lambda words: words[0])
def test_every_bad_field_is_named_at_once(tipward, workplace, command):
    file = workplace / "bad.toml"
    file.write_text(
        '[wire]\ndiameter = "nine"\ncolour = "red"\n[liner]\nbore = "0 mm"\n[torch_lead]\nlength_m = -4\n[settings]\ngass = "M21"\n',
        "utf-8",
    )
    ran = tipward(command[0], file, *command[1:])
    assert ran.code == 2 and "5 problems" in ran.err
    for field in ("wire.diameter", "wire.colour", "liner.bore", "torch_lead.length", "settings.gass"):
        assert f"- {field}" in ran.err, ran.err


def test_a_lead_shorter_than_its_bends_is_named_beside_other_bad_fields(tipward, workplace):
    file = workplace / "bad.toml"
    lead = '[torch_lead]\nlength = "3 m"\nturns = 4\nturn_radius = "150 mm"\n'
    file.write_text(f'{lead}[wire]\ncolour = "red"\n', "utf-8")
    ran = tipward("fit", file)
    assert ran.code == 2 and "- torch_lead.length: is 3 m, shorter" in ran.err and "- wire.colour" in ran.err


BYTES = {
    "not UTF-8": ("bad.toml", b'[wire]\nwire_class = "\xff\xfe"\n', "byte 21: is not UTF-8; save the file as UTF-8"),
    "too large": ("bad.toml", b"# " + b"x" * 1_000_000, "file: is larger than 1 MB"),
    "not JSON": ("bad.json", b'{"wire": ', "file: is not JSON: "),
    "JSON that is a list": ("bad.json", b"[1, 2]", "file: holds no tables"),
    "JSON with NaN": ("bad.json", b'{"liner": {"bore_m": NaN}}', "liner.bore_m: "),
    "JSON too deep": ("bad.json", b"[" * 100_000, "file: is not JSON"),
}


@pytest.mark.parametrize("command", COMMANDS, ids=lambda words: words[0])
@pytest.mark.parametrize("what", BYTES)
def test_bad_bytes_are_refused(tipward, workplace, what, command):
    name, raw, expected = BYTES[what]
    file = workplace / name
    file.write_bytes(raw)
    ran = tipward(command[0], file, *command[1:])
    assert ran.code == 2 and expected in ran.err, ran.err
    assert sorted(workplace.iterdir()) == [file]


@pytest.mark.parametrize("command", COMMANDS, ids=lambda words: words[0])
def test_a_missing_file_and_a_folder_are_refused(tipward, workplace, command):
    ran = tipward(command[0], workplace / "none.toml", *command[1:])
    assert ran.code == 2 and "file: does not exist; check the name" in ran.err
    ran = tipward(command[0], workplace, *command[1:])
    assert ran.code == 2 and "file: cannot be read" in ran.err
    assert list(workplace.iterdir()) == []


def test_the_installed_command_does_the_same(workplace):
    """Once through the real process, as a script would call it."""
    file = workplace / "bad.toml"
    file.write_text(BAD["negative"][0], "utf-8")
    ran = subprocess.run(
        [sys.executable, "-m", "tipward", "force", file],
        capture_output=True,
        text=True,
        stdin=subprocess.DEVNULL,
        check=False,
    )
    assert ran.returncode == 2 and ran.stdout == "" and ran.stderr.startswith("tipward: ")
    assert "liner.bore_m" in ran.stderr and sorted(workplace.iterdir()) == [file]


WRONG = {
    "tool": (["--tools", "divining rod"], "tools: 'divining rod' is not known; one of"),
    "spare": (["--spares", "spare wheel"], "spares: 'spare wheel' is not known; one of"),
    "complaint": (["--complaint", "it-hums"], "it-hums: is no complaint; one of"),
    "place": (["--at", "beach"], "'beach' is not one of 'phone', 'counter', 'machine'"),
    "catalogue": (["--catalogue", "none.toml"], "none.toml"),
    "answers": (["--answers", "none.toml"], "none.toml"),
    "nothing": (["--case", "abc"], "give a set-up file for a new case, or --case"),
}


@pytest.mark.parametrize("what", WRONG)
def test_wrong_use_of_find_is_refused(tipward, workplace, examples, what, monkeypatch):
    monkeypatch.chdir(workplace)
    words, expected = WRONG[what]
    ran = tipward("find", examples / "rig-steel-0.9.toml", "--at", "machine", "--says", "it slips", *words)
    assert ran.code == 2 and expected in ran.err, ran.err
    assert list(workplace.iterdir()) == []


ANSWERS = {
    "not TOML": ("[answers\n", "file: "),
    "unknown table": ("[answer]\nx = 1\n", "answer: is not known; use otherwise, answers"),
    "wrong form": ("answers = 3\n", "answers: has the wrong form"),
    "otherwise": ('otherwise = "maybe"\n', "otherwise: is neither normal nor cannot"),
    "unknown check": ('[answers]\nlook-hubb = "loose"\n', "answers.look-hubb: is no check"),
    "unknown action": ('[repairs]\nfix-it = "done"\n', "repairs.fix-it: is no action"),
    "after an unknown action": ('[after.fix-it]\nlook-hub = "sound"\n', "after.fix-it: 'fix-it' is no action"),
    "after, unknown check": ('[after.set-brake]\nlook-hubb = "x"\n', "after.set-brake.look-hubb: is no check"),
}


@pytest.mark.parametrize("what", ANSWERS)
def test_a_bad_answers_file_is_refused_before_a_case_is_opened(tipward, workplace, examples, what):
    text, expected = ANSWERS[what]
    file = workplace / "answers.toml"
    file.write_text(text, "utf-8")
    ran = tipward("find", examples / "rig-steel-0.9.toml", "--at", "machine", "--says", "it slips", "--answers", file)
    assert ran.code == 2 and expected in ran.err, ran.err
    assert sorted(workplace.iterdir()) == [file]


SMALL = {
    "tip": '[wire]\nwire_class = "er70s-6"\ndiameter = "0.9 mm"\n[contact_tip]\nbore = "0.8 mm"\nmarked_size = "0.8 mm"\n',
    "liner": '[wire]\nwire_class = "er70s-6"\ndiameter = "1.2 mm"\n[liner]\nbore = "1.1 mm"\nmaterial = "steel"\n',
}


@pytest.mark.parametrize("part", SMALL)
def test_a_part_too_small_for_the_wire_is_a_mismatch_and_no_bad_input(tipward, workplace, part):
    file = workplace / "small.toml"
    file.write_text(SMALL[part], "utf-8")
    ran = tipward("fit", file)
    assert ran.code == 1 and "DOES NOT MATCH" in ran.out and ran.err == ""
    ran = tipward("force", file)
    assert ran.code == 1 and "the wire does not move" in ran.out and "cannot feed" in ran.out
    ran = tipward("force", file, "--json")
    assert ran.code == 1 and json.loads(ran.out)["lock_up_share"] == 1.0
