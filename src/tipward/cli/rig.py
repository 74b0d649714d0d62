"""``tipward rig``: the rigs of the shop and the readings of their healthy days."""

import sys
from pathlib import Path

import click

from tipward import tasks
from tipward.cli import options
from tipward.cli.show import baseline_text, print_json
from tipward.foundation import InputError, Problem, show_quantity
from tipward.model import Rig, RigView, read_setup

name = click.argument("name", metavar="NAME")


@click.group("rig")
def command() -> None:
    """Rigs of the shop: a machine with its torch under a name, and the readings of its healthy days."""


@command.command("add")
@name
@options.setup_file
@options.casebook
@options.as_json
@click.option("--customer", default="", help="Whose it is.")
@click.option("--replace", "replaces", is_flag=True, help="Keep this set-up for a rig that is there already.")
def add(name: str, setup: Path, casebook: str, json_: bool, customer: str, replaces: bool) -> None:
    """Keep the rig NAME with the feed path in SETUP as it should be."""
    path = read_setup(setup)
    shop = tasks.open_shop(casebook)
    old = tasks.rig_named(shop, name) if replaces else None
    if old is None:
        rig = tasks.save_rig(shop, name, path, customer)
    else:
        rig = tasks.save_rig(shop, old.name, path, customer or old.customer, old.id)
    if json_:
        print_json(rig)
    else:
        click.echo(f"Rig {rig.id} kept. Open a case for it with: tipward find --rig {rig.id}")


@command.command("list")
@options.casebook
@options.as_json
def list_(casebook: str, json_: bool) -> None:
    """List the rigs, by id."""
    rigs = tasks.list_rigs(tasks.open_shop(casebook))
    if json_:
        print_json(rigs)
        return
    for rig in rigs:
        click.echo(f"{rig.id:<24} {_wire(rig):<18} {rig.name}{f' ({rig.customer})' if rig.customer else ''}")
    if not rigs:
        click.echo("No rigs yet; keep one with: tipward rig add NAME SETUP")


def _wire(rig: Rig) -> str:
    wire = rig.path.wire
    size = show_quantity(wire.diameter_m, "m") if wire.diameter_m is not None else ""
    return f"{size} {(wire.wire_class or 'wire unknown').upper()}".strip()


@command.command("show")
@name
@options.casebook
@options.as_json
@options.inches
def show(name: str, casebook: str, json_: bool, inches: bool) -> None:
    """Show the rig NAME: its feed path as a set-up file, its healthy baseline, its cases."""
    shop = tasks.open_shop(casebook)
    seen = tasks.see_rig(shop, tasks.rig_named(shop, name).id)
    if json_:
        print_json(seen)
        return
    rig = seen.rig
    click.echo(f"# Rig {rig.id}{f', {rig.customer}' if rig.customer else ''}\n{tasks.setup_text(rig.path)}")
    click.echo("\n# " + "\n# ".join(_past(shop, seen, inches)))


def _past(shop: tasks.Shop, seen: RigView, inches: bool) -> list[str]:
    lines = []
    known = {check: (text, unit) for check, text, unit in tasks.baseline_targets(shop)}
    for one in seen.baselines:
        for check, value in one.readings.items():
            text, unit = known.get(check, (check, ""))
            lines.append(f"healthy {one.at:%Y-%m-%d}: {text} {show_quantity(value, unit, inches)}  [{check}]")
    if not lines:
        lines.append(f"no healthy baseline of these parts; take one with: tipward rig baseline {seen.rig.id}")
    lines += [f"case {row.id} {row.opened_at:%Y-%m-%d} {row.closed or 'open'}" for row in seen.cases]
    return lines


@command.command("baseline")
@name
@options.casebook
@options.catalogue
@options.as_json
@options.inches
@click.option("--read", "read", multiple=True, metavar="CHECK=READINGS", help='As pull-torch-straight="9 N; 10 N".')
@click.option("--anyway", is_flag=True, help="Keep readings outside what a healthy path of these parts reads.")
def baseline(
    name: str, casebook: str, own: tuple[Path, ...], json_: bool, inches: bool, read: tuple[str, ...], anyway: bool
) -> None:
    """Keep readings of the rig NAME while it is healthy; the proof of later cases compares with them.

    Without --read it says what to read and what a healthy path of these parts reads. Exit code 1 where a reading lies
    outside that; nothing is kept then, unless --anyway is given.
    """
    shop = tasks.open_shop(casebook, own)
    rig = tasks.rig_named(shop, name)
    readings = read_checks(shop, read)
    judged = tasks.judge_baseline(shop, rig.path, readings or None)
    odd = [item for item in judged if item.healthy is False]
    kept = bool(readings) and (anyway or not odd)
    if kept:
        tasks.save_baseline(shop, rig.id, readings)
    if json_:
        print_json({"rig": rig.id, "kept": kept, "readings": judged})
    else:
        click.echo("\n".join(baseline_text(item, inches) for item in judged))
        if readings:
            click.echo(f"Kept for rig {rig.id}." if kept else "Not kept. Find out why first, or give --anyway.")
    sys.exit(1 if odd and not kept else 0)


def read_checks(shop: tasks.Shop, said: tuple[str, ...]) -> dict[str, tuple[float, ...]]:
    """Readings given as CHECK=READINGS; every wrong one is named."""
    units = {check: unit for check, _, unit in tasks.baseline_targets(shop)}
    found: dict[str, tuple[float, ...]] = {}
    problems = []
    for item in said:
        check, _, text = item.partition("=")
        if check not in units:
            problems.append(Problem(check, "is no measured check", f"one of {', '.join(units)}"))
            continue
        try:
            found[check] = tasks.read_readings(text, units[check])
        except InputError as problem:
            problems += [Problem(check, part.what, part.next_step) for part in problem.problems]
    problems += [
        Problem(check, "must be finite numbers of 0 or more", "read again")
        for check, values in found.items()
        if any(not 0 <= value < float("inf") for value in values)
    ]
    if problems:
        raise InputError("baseline", problems)
    return found
