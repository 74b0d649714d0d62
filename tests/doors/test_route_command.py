"""``tipward route`` through the real entry."""

import json
import subprocess
import sys

import pytest


def tipward(*words):
    return subprocess.run([sys.executable, "-m", "tipward", *words], capture_output=True, text=True, check=False)


def test_a_drawing_is_measured_and_told(tmp_path):
    file = tmp_path / "lead.csv"
    file.write_text("\n".join(f"{x};{y}" for x, y in [(0, 0), (10, 0), (20, 0), (27, 3), (30, 10), (30, 20), (30, 30)]))
    told = tipward("route", str(file), "--length", "4 m")
    assert told.returncode == 0 and "turns in all" in told.stdout and "bend 1" in told.stdout
    said = json.loads(tipward("route", str(file), "--length", "4 m", "--json").stdout)
    assert said["length_m"] == 4.0 and len(said["bends"]) == 1
    assert said["turns"] == pytest.approx(0.25, abs=0.05)  # seven taps round a right angle: docs/explanation/route.md


def test_what_is_missing_is_wrong_use(tmp_path):
    for words in (["route"], ["route", "--turns", "1", "--radius", "15 cm"], ["route", str(tmp_path / "none.csv")]):
        told = tipward(*words)
        assert told.returncode == 2 and told.stdout == "" and "; " in told.stderr
