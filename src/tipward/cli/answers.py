"""A case answered from a file: what the technician would find, done and read, in TOML.

otherwise = "normal"            # checks not listed: "normal" outcome, or "cannot"
[answers]                       # check id = outcome id, or readings with unit
look-hub = "loose"
pull-torch-straight = ["31 N", "30 N"]
[after.replace-liner]           # answers that hold once this action is done; a later table goes before an earlier one
pull-torch-straight = "9 N"
[after."replace-liner, straighten-lead".proof]     # the same once both are done, for the proof
feed-ratio = [0.99, 0.99, 1.0]
[repairs]                       # action id = "done" or "cannot"; not listed: done
replace-gun = "cannot"
[proof]                         # target id = readings, or true / false; not listed: met
"gone:burns-back" = true
"""

import tomllib
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import click

from tipward import tasks
from tipward.cli.show import step_text
from tipward.foundation import InputError, Problem
from tipward.model import Cannot, Case, CaseView, Finding, NextCheck, ProofTarget, ProofTest, Repair

MOST_STEPS = 120
CATALOGUE = "see docs/catalogue.md"


@dataclass
class Answers:
    """The tables of an answers file, and what is done so far."""

    otherwise: str = "normal"
    answers: dict[str, Any] = field(default_factory=dict)
    after: dict[str, dict[str, Any]] = field(default_factory=dict)
    repairs: dict[str, str] = field(default_factory=dict)
    proof: dict[str, Any] = field(default_factory=dict)


def read_answers(file: Path) -> Answers:
    """Read an answers file; every bad key is named."""
    try:
        data = tomllib.loads(file.read_text("utf-8"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as problem:
        raise InputError(str(file), [Problem("file", str(problem), "mend the file")]) from None
    known = {"otherwise": str, "answers": dict, "after": dict, "repairs": dict, "proof": dict}
    problems = [Problem(key, "is not known", f"use {', '.join(known)}") for key in data if key not in known]
    problems += [
        Problem(key, "has the wrong form", "see docs/how-to/scripted-case.md")
        for key, kind in known.items()
        if key in data and not isinstance(data[key], kind)
    ]
    if data.get("otherwise", "normal") not in {"normal", "cannot"}:
        problems.append(Problem("otherwise", "is neither normal nor cannot", "write one of them"))
    if problems:
        raise InputError(str(file), problems)
    return Answers(**data)


def check_answers(shop: tasks.Shop, script: Answers, file: Path) -> None:
    """Refuse an answers file that names a check or action which is not there: it would be passed over in silence."""
    checks, actions = set(shop.catalogue.checks), set(shop.catalogue.actions)
    problems = [Problem(f"answers.{name}", "is no check", CATALOGUE) for name in script.answers if name not in checks]
    problems += [
        Problem(f"repairs.{name}", "is no action", CATALOGUE) for name in script.repairs if name not in actions
    ]
    for key, table in script.after.items():
        if not isinstance(table, dict):
            problems.append(Problem(f"after.{key}", "is no table", "see docs/how-to/scripted-case.md"))
            continue
        problems += [Problem(f"after.{key}", f"{name!r} is no action", CATALOGUE) for name in _actions(key) - actions]
        problems += [
            Problem(f"after.{key}.{name}", "is no check", CATALOGUE) for name in table if name not in {*checks, "proof"}
        ]
    if problems:
        raise InputError(str(file), problems)


def run_answers(shop: tasks.Shop, case: Case, script: Answers, quiet: bool = False) -> Case:
    """Answer whatever is asked from the file until the case closes."""
    for _ in range(MOST_STEPS):
        if case.closed() is not None:
            return case
        view = tasks.see(shop, case, explain=False)
        if not quiet:
            click.echo("\n" + step_text(view.next_step, view.proof))
        case = _answer(shop, view, script, quiet)
    return tasks.close_case(shop, case.id, f"no end after {MOST_STEPS} steps")


def _answer(shop: tasks.Shop, view: CaseView, script: Answers, quiet: bool) -> Case:
    step, case = view.next_step, view.case
    if step.what == "check" and step.check is not None:
        said = said_of(script, case, step.check.check)
        entry = Cannot(step.check.check) if said == "cannot" else _finding(step.check, said)
        if not quiet:
            click.echo(f"  > {said if said != 'normal' else step.check.outcomes[0].text}")
        return tasks.add(shop, case.id, entry)
    if step.fix is not None and script.repairs.get(step.fix.action, "done") != "cannot":
        case = tasks.add(shop, case.id, Repair(step.fix.action))
        return tasks.close_case(shop, case.id) if step.what == "service" else case
    if step.fix is not None and step.what == "fix":
        return tasks.add(shop, case.id, Cannot(step.fix.action))
    if step.what == "prove":
        readings = tuple((target.id, _read(script, case, target)) for target in view.proof.targets)
        return tasks.add(shop, case.id, ProofTest(readings))
    return tasks.close_case(shop, case.id)


def _actions(key: str) -> set[str]:
    return {name.strip() for name in key.split(",")}


def _after(script: Answers, case: Case) -> Iterator[dict[str, Any]]:
    """The tables that hold by now: every action they name has been done."""
    done = {page.entry.action for page in case.live() if isinstance(page.entry, Repair)}
    for key, table in script.after.items():
        if _actions(key) <= done:
            yield table


def said_of(script: Answers, case: Case, check: str) -> Any:
    """What the file answers to a check by now: an outcome, readings, "normal" or "cannot"."""
    said = script.answers.get(check, script.otherwise)
    for table in _after(script, case):
        said = table.get(check, said)
    return said


def _finding(check: NextCheck, said: Any) -> Finding:
    if check.reading and said == "normal" and check.expected is not None:
        return Finding(check.check, readings=(check.expected.mid,))
    if check.reading:
        texts = said if isinstance(said, list) else [said]
        return Finding(check.check, readings=tasks.read_readings(";".join(map(str, texts)), check.unit))
    return Finding(check.check, check.outcomes[0].outcome if said == "normal" else str(said))


def _read(script: Answers, case: Case, target: ProofTarget) -> tuple[float, ...]:
    said = script.proof.get(target.id)
    for table in _after(script, case):
        said = table.get("proof", {}).get(target.id, said)
    if isinstance(said, bool):
        return (float(said),)
    if said is not None:
        texts = said if isinstance(said, list) else [said]
        return tasks.read_readings(";".join(map(str, texts)), target.unit)
    if target.low is not None and target.high is not None:
        return ((target.low + target.high) / 2,) * 3
    return (target.low * 1.2,) if target.low is not None and target.unit else (1.0 if target.high is None else 0.0,)
