"""Nouns as plain terminal text."""

import json
import textwrap
from pathlib import Path
from typing import Any

import click

from tipward.foundation import InputError, Problem, show_quantity, unit_of_field
from tipward.model import (
    Band,
    BaselineReading,
    CaseView,
    Fit,
    Fix,
    ForceBudget,
    NextCheck,
    NextStep,
    Proof,
    Served,
    to_data,
)
from tipward.tasks import caution_texts, odds_in_words

WIDTH = 80
WORTH_TELLING = 0.02  # a standard error above this is told


def print_json(noun: Any) -> None:
    """Print a noun as JSON."""
    click.echo(json.dumps(to_data(noun), ensure_ascii=False, indent=1))


def write_pdf(file: Path, paper: bytes) -> None:
    """Write a card; a file that cannot be written is wrong use."""
    try:
        file.write_bytes(paper)
    except OSError as problem:
        raise InputError(
            str(file), [Problem("pdf", f"cannot be written ({problem.strerror})", "check folder and rights")]
        ) from None


def wrapped(text: str, indent: str = "  ") -> str:
    """Text wrapped to the terminal's 80 columns, its own line ends kept."""
    lines = [textwrap.fill(line, WIDTH, initial_indent=indent, subsequent_indent=indent) for line in text.splitlines()]
    return "\n".join(lines)


def field_in_words(field: str) -> str:
    """A dotted field as people say it: "contact_tip.bridge_force_n" is "contact tip: bridge force"."""
    part, dot, name = field.partition(".")
    if not dot:
        return field
    name, _, note = name.partition(": ")
    plain = (unit_of_field(name) or (name, ""))[0]
    return f"{part}: {plain}".replace("_", " ") + (f" ({note})" if note else "")


def band(value: Band, unit: str, inches: bool = False) -> str:
    """A band as "mid (low to high)"."""
    if value.mid == float("inf"):
        return "the wire does not move"
    shown = [
        "no movement" if item == float("inf") else show_quantity(item, unit, inches)
        for item in (value.mid, value.low, value.high)
    ]
    return f"{shown[0]} ({shown[1]} to {shown[2]})"


def rounded(value: Band, unit: str, inches: bool = False) -> str:
    """A band of plain numbers to three digits after the point; others as their unit asks."""
    if unit in {"", "1"}:
        value = Band(*(round(item, 3) for item in (value.low, value.mid, value.high)))
    return band(value, unit, inches)


def fit_text(fit: Fit) -> str:
    """What does not match, what does, what could not be judged."""
    lines = []
    for item in fit.mismatches:
        lines += [f"DOES NOT MATCH  {item.what}", wrapped(item.reason, "    "), wrapped(f"Do: {item.fix}", "    ")]
        lines.append(f"    [{item.grade}; {item.source}]")
    if not fit.mismatches:
        lines.append("No mismatch found.")
    if fit.fitting:
        lines.append(wrapped("Fits: " + "; ".join(fit.fitting), ""))
    if fit.not_judged:
        lines.append(wrapped("Not judged (unknown): " + "; ".join(fit.not_judged), ""))
    return "\n".join(lines)


def served_text(served: Served) -> str:
    """One kind of wire and the parts: the sizes they serve, and why not the next ones (all of them in the JSON)."""
    taken, kind = served.diameters_m, served.kind
    kind += f" ({served.wire_class.upper()})" if any(map(str.isdigit, served.wire_class)) else ""
    if not taken:
        return "\n".join([f"NOT SERVED  {kind}", *(wrapped(text, "    ") for text in _why_none(served))])
    lines = [f"SERVES      {kind}: {', '.join(show_quantity(size, 'm') for size in taken)}"]
    below = [item for item in served.refused if item[0] < min(taken)][-1:]
    above = [item for item in served.refused if item[0] > max(taken)][:1]
    for size, reasons in (*below, *above):
        lines.append(wrapped(f"not {show_quantity(size, 'm')}: {reasons[0]}", "    "))
    return "\n".join(lines)


def _why_none(served: Served) -> list[str]:
    """What refuses every size; where nothing does, what refuses the size that comes nearest."""
    size, fewest = min(served.refused, key=lambda item: len(item[1]))
    every = [text for text in fewest if all(text in reasons for _, reasons in served.refused)]
    return every or [f"nearest is {show_quantity(size, 'm')}: {text}" for text in fewest]


def budget_text(budget: ForceBudget, line: str, inches: bool = False) -> str:
    """The line, the push, each limit, the backlash and the unknown that dominates."""
    lines = [line, "", f"Push at the rolls   {band(budget.push_n, 'N', inches)}"]
    for limit in budget.limits:
        chance = f"{100 * limit.probability:.0f} %"
        lines.append(
            f"  {limit.name:<10} bites at {band(limit.force_n, 'N', inches)}; margin {limit.margin.mid:.1f}; chance {chance}"
        )
    lines.append(f"First to bite: {budget.first_limit}. Most uncertain: {field_in_words(budget.dominant_unknown)}.")
    lines.append(f"Backlash of the wire in the liner: {band(budget.backlash_m, 'm', inches)}")
    if budget.lock_up_share:
        lines.append(f"The wire locks up in {100 * budget.lock_up_share:.0f} % of the draws.")
    if budget.assumed:
        lines.append(wrapped("Assumed, not given: " + "; ".join(map(field_in_words, budget.assumed)), ""))
    lines += [wrapped(f"! {mark}", "") for mark in budget.marks]
    return "\n".join(lines)


def cautions_text(ids: tuple[str, ...]) -> str:
    """Cautions in full, each on its own."""
    return "\n".join(wrapped(f"! {text}") for text in caution_texts(ids))


def check_text(check: NextCheck) -> str:
    """The next check: why, minutes, what to do, cautions, outcomes."""
    lines = [f"CHECK  {check.name}   [{check.check}]   about {check.minutes:.0f} min", wrapped(check.why)]
    if check.set_up:
        lines.append(f"  First: {', '.join(check.set_up)}")
    if check.tools:
        lines.append(f"  With: {', '.join(check.tools)}")
    lines += [wrapped(check.instructions), cautions_text(check.cautions)]
    for number, outcome in enumerate(check.outcomes, 1):
        mark = f"  {number}" if not check.reading else "   "
        lines.append(f"{mark}  {outcome.text}  ({odds_in_words(outcome.probability)})")
    if check.expected is not None:
        lines.append(f"  A healthy path reads {band(check.expected, check.unit)}")
    return "\n".join(line for line in lines if line)


def fix_text(fix: Fix) -> str:
    """An action: why, what to do, minutes, parts, cautions, how to keep the fault away."""
    lines = [
        f"FIX  {fix.name}   [{fix.action}]   about {fix.minutes:.0f} min",
        wrapped(fix.why),
        wrapped(fix.instructions),
    ]
    for name, low, high in fix.parts:
        lines.append(f"  Part: {name}, {low:g} to {high:g}")
    if fix.away_hours:
        lines.append("  The machine stands {:g} to {:g} working hours meanwhile".format(*fix.away_hours))
    lines.append(cautions_text(fix.cautions))
    lines += [wrapped(f"So that it stays away: {text}") for text in fix.prevention]
    return "\n".join(line for line in lines if line)


def proof_text(proof: Proof, inches: bool = False) -> str:
    """Each target with its band and readings, and what is missing."""
    lines = ["PROOF"]
    for target in proof.targets:
        mark = {True: "met", False: "NOT MET", None: "to read"}[target.met]
        wanted = _wanted(target.low, target.high, target.unit, inches)
        lines += [wrapped(f"{target.text}  [{target.id}]"), f"      target {wanted}: {mark}"]
        if target.readings:
            shown = ", ".join(show_quantity(value, target.unit, inches) for value in target.readings)
            lines.append(f"      read {shown}")
    lines.append(f"  Probability that a listed fault is left: {100 * proof.left_probability:.1f} % (at most 2 %)")
    lines += [wrapped(f"The proof sees this badly: {text}") for text in proof.openly]
    return "\n".join(lines)


def _wanted(low: float | None, high: float | None, unit: str, inches: bool) -> str:
    if not unit and low == 1.0 and high is None:
        return "yes (1)"
    if low is not None and high is not None:
        return f"{show_quantity(low, unit, inches)} to {show_quantity(high, unit, inches)}"
    if low is not None:
        return f"at least {show_quantity(low, unit, inches)}"
    return f"at most {show_quantity(high or 0.0, unit, inches)}"


def baseline_text(item: BaselineReading, inches: bool = False) -> str:
    """One measured check of a healthy rig: its band, what was read, and how that stands."""
    lines = [
        f"{item.name}  [{item.check}]",
        f"  healthy parts like these read {rounded(item.expected, item.unit, inches)}",
    ]
    if item.readings:
        shown = ", ".join(show_quantity(value, item.unit, inches) for value in item.readings)
        lines.append(f"  read {shown}: {'healthy' if item.healthy else 'NOT what a healthy path reads'}")
    return "\n".join(lines)


def suspicions_text(view: CaseView, most: int = 5) -> str:
    """The likeliest causes with reasons, what does not fit, and the chance that all is clear."""
    lines = [f"SUSPICIONS  (nothing left: {odds_in_words(view.judgement.all_clear)})"]
    for item in view.judgement.suspicions[:most]:
        if item.probability < 0.02:
            break
        lines.append(f"  {item.name}: {odds_in_words(item.probability)}  [{item.fault}]")
        for reason in item.reasons[:2]:
            sign = "for" if reason.weight > 0 else "against"
            lines.append(wrapped(f"{sign}: {reason.text}", "      "))
    lines += [wrapped(f"? {doubt.what}") for doubt in view.judgement.doubts]
    if view.judgement.budget_push_n is not None:
        lines.append(f"  Push of this path when sound, as the pulls show it: {band(view.judgement.budget_push_n, 'N')}")
    if view.judgement.standard_error > WORTH_TELLING:
        lines.append(f"  Drawn figures: give or take {100 * view.judgement.standard_error:.0f} %")
    return "\n".join(lines)


def step_text(step: NextStep, proof: Proof) -> str:
    """The next step of a case."""
    if step.what == "check" and step.check is not None:
        text = check_text(step.check)
    elif step.fix is not None:
        text = (f"SEND FOR SERVICE\n{wrapped(step.why)}\n" if step.what == "service" else "") + fix_text(step.fix)
    elif step.what == "prove":
        text = f"{proof_text(proof)}\n{wrapped(step.why)}"
    else:
        text = f"{step.what.upper()}\n{wrapped(step.why)}\n{cautions_text(step.cautions)}".rstrip()
    return text + (f"\n  Came second: {step.runner_up}" if step.runner_up else "")
