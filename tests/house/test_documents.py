"""README and docs: the commands word for word, the first result by line 40, links that lead somewhere, outputs of real runs."""

import importlib.util
import re
import subprocess
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text("utf-8")
RUN = (ROOT / ".ci" / "run").read_text("utf-8")
FIRST = "python3 -m venv .venv && .venv/bin/pip install -c constraints.txt -e . && .venv/bin/tipward demo"
SECOND = ".venv/bin/pip install -c constraints.txt -e '.[dev]' && .venv/bin/pytest -n 2"
DOCUMENTS = [*sorted(ROOT.glob("*.md")), *sorted((ROOT / "docs").rglob("*.md"))]


def documents():
    spec = importlib.util.spec_from_file_location("documents", ROOT / ".ci" / "documents.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


RUNS = documents()


def test_the_two_commands_stand_in_the_readme_and_run_in_ci():
    for command in (FIRST, SECOND):
        assert f"\n{command}\n" in README and command in RUN


def test_the_system_packages_are_the_same_in_both():
    line = re.search(r"^sudo apt-get install -y ([a-z \-]+)$", README, re.M)[1]
    assert line.split() == ["chromium", "postgresql", "poppler-utils"]
    assert re.search(rf"apt-get install .*{line}$", RUN, re.M) and f"dpkg -s {line}" in RUN


def test_the_readme_says_the_job_first_and_shows_a_result_by_line_40():
    lines = README.splitlines()
    assert lines[0] == "# Tipward" and len(lines[2]) > 60
    result = next(number for number, line in enumerate(lines, 1) if line.startswith("WHAT IT WAS"))
    assert result <= 40
    assert "Local codes and licensed practice come first" in README


def test_constraints_are_names_and_versions_only():
    lines = [line for line in (ROOT / "constraints.txt").read_text("utf-8").splitlines() if line and line[0] != "#"]
    assert len(lines) > 60
    wrong = [line for line in lines if not re.fullmatch(r"[a-z0-9][a-z0-9.\-]*==[\w.]+( ; [\w\"'=!<>. ]+)?", line)]
    assert wrong == []


def test_every_direct_dependency_is_pinned():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    asked = [*project["dependencies"], *(item for extra in project["optional-dependencies"].values() for item in extra)]
    names = {re.match(r"[A-Za-z0-9\-]+", item)[0].lower().replace("_", "-") for item in asked}
    pinned = {line.split("==")[0] for line in (ROOT / "constraints.txt").read_text("utf-8").splitlines()}
    assert names - pinned == set()


def test_a_wheel_carries_the_invented_workshop():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))
    included = project["tool"]["hatch"]["build"]["targets"]["wheel"]["force-include"]
    assert included == {"examples": "tipward/examples"} and (ROOT / "examples" / "case-two-faults.json").exists()


@pytest.mark.parametrize("file", DOCUMENTS, ids=lambda file: str(file.relative_to(ROOT)))
def test_links_lead_somewhere(file):
    for target in re.findall(r"\]\((?!https?:|#|mailto:)([^)#\s]+)", file.read_text("utf-8")):
        assert (file.parent / target).exists(), target


def test_every_decision_has_its_four_parts():
    for file in sorted((ROOT / "docs" / "decisions").glob("*.md")):
        text = file.read_text("utf-8")
        missing = [part for part in ("Context", "Decision", "Consequences", "Rejected") if f"**{part}" not in text]
        assert missing == [], file.name
        assert file.name[:4] in text.splitlines()[0]


def test_every_option_of_a_command_is_documented():
    from importlib import import_module

    from tipward.cli.main import COMMANDS

    told = (ROOT / "docs" / "commands.md").read_text("utf-8")
    for name in COMMANDS:
        section = told.split(f"## tipward {name}\n", 1)[1].split("\n## ", 1)[0]
        options = [option for item in import_module(f"tipward.cli.{name}").command.params for option in item.opts]
        common = {"--json", "--inches", "--casebook", "--catalogue"}
        assert [o for o in options if o.startswith("--") and o not in section and o not in common] == [], name


@pytest.mark.parametrize("file", RUNS.documents(), ids=lambda file: str(file.relative_to(ROOT)))
def test_outputs_are_those_of_real_runs(file):
    old = file.read_text("utf-8")
    assert RUNS.alike(RUNS.renewed(old)) == RUNS.alike(old), "run: python .ci/documents.py --write"


def test_the_script_of_ci_is_sound_shell():
    assert subprocess.run(["bash", "-n", ROOT / ".ci" / "run"], check=False).returncode == 0
