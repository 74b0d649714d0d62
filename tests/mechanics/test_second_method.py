"""The march against the same march written a second time, one draw at a time in plain floats (the benchmark's loop)."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from benchmarks import Measured  # noqa: E402 (the benchmarks lie beside the package, not in it)
from benchmarks.__main__ import disagreements, main, registry  # noqa: E402
from benchmarks.force import looped_draws  # noqa: E402

KEYS = {"setups_per_s", "speedup_vs_loop", "ratio_to_bare_exp", "reference_0_loops_n", "reference_1_loop_n"}
KEYS |= {"reference_2_loops_n", "row17_n"}


def test_arrays_and_plain_loop_agree_on_every_draw():
    assert looped_draws()[1] < 1e-12  # rounding only


def test_quick_slice_prints_one_json_object_last_and_agrees_with_the_full_run():
    told = subprocess.run(
        [sys.executable, "-m", "benchmarks", "force", "--quick", "--json"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert told.returncode == 0, told.stderr
    found = json.loads(told.stdout.splitlines()[-1])
    assert found["name"] == "force" and set(found["figures"]) >= KEYS


def test_a_quick_slice_past_three_standard_errors_disagrees():
    committed = {"policy": {"figures": {"ratio": 0.50, "timing": 3.0}, "errors": {"ratio": 0.01}}}
    near, far = Measured({"ratio": 0.52, "timing": 9.0}), Measured({"ratio": 0.54})
    assert disagreements("policy", near, committed) == []
    assert disagreements("policy", far, committed)[0].startswith("policy.ratio: 0.54 now, 0.5 in figures.json")
    assert disagreements("policy", Measured({}), committed) == []  # absent stays absent


def test_one_file_is_enough_and_an_unknown_name_is_refused(capsys):
    assert registry()["force"] == "benchmarks.force" and "world" not in registry()
    assert main(["moon"]) == 2
    assert "no benchmark moon; there are:" in capsys.readouterr().err


def test_the_committed_figures_are_there():
    committed = json.loads((ROOT / "benchmarks" / "figures.json").read_text("utf-8"))
    assert set(committed["force"]["figures"]) >= KEYS
    assert committed["force"]["figures"]["row17_n"] == pytest.approx(44.0, rel=0.05)
