"""``tipward route``: what the lie of the torch lead costs."""

import sys
from pathlib import Path

import click

from tipward import tasks
from tipward.cli import options
from tipward.cli.show import band, print_json, wrapped
from tipward.foundation import InputError, Problem, read_quantity, show_quantity
from tipward.model import FeedPath, RouteCost, read_setup

BITES = 0.5


@click.command("route")
@click.argument("file", type=click.Path(path_type=Path), required=False)
@options.as_json
@options.inches
@click.option("--length", help="Length of the torch lead, as 4 m (where FILE does not say it).")
@click.option("--turns", help="So many loops in the middle instead of FILE.")
@click.option("--radius", help="Radius of those loops, as 150 mm.")
@click.option("--setup", "setup", type=click.Path(path_type=Path), help="Set-up file of the rig whose lead it is.")
def command(
    file: Path | None,
    json_: bool,
    inches: bool,
    length: str | None,
    turns: str | None,
    radius: str | None,
    setup: Path | None,
) -> None:
    """Measure the torch lead drawn in FILE: turns, tightest radius, and the newtons that each bend costs.

    FILE holds points along the lead, machine to gun, in any one unit: JSON {"length": "4 m", "points": [[x, y], …]} or CSV
    with x and y. Exit code 1 where the wire more likely locks up than not.
    """
    path = read_setup(setup) if setup else FeedPath()
    if file is not None:
        drawing = tasks.read_drawing(file)
        cost = tasks.drawn_lead(path, drawing.points, _length(length, drawing.length_m, path))
    else:
        loops = _read("--turns", turns, ""), _read("--radius", radius, "m")
        cost = tasks.looped_lead(path, _length(length, None, path), *loops)
    if json_:
        print_json(cost)
    else:
        click.echo(route_text(cost, inches))
    sys.exit(1 if cost.lock_up_share > BITES else 0)


def _length(said: str | None, beside: float | None, path: FeedPath) -> float:
    """The length that was said, else that in the file, else that of the rig."""
    known = beside if beside is not None else path.torch_lead.length_m
    return _read("--length", said, "m") if said or known is None else known


def _read(option: str, said: str | None, unit: str) -> float:
    if said is None:
        raise InputError("route", [Problem(option, "is missing", "give it, or FILE with the points; see --help")])
    try:
        return read_quantity(said, unit)
    except ValueError as problem:
        what, _, step = str(problem).partition("; ")
        raise InputError("route", [Problem(option, what, step or "write number and unit")]) from None


def about(length_m: float, inches: bool) -> str:
    """A drawn length: two figures are all that a hand can draw."""
    return show_quantity(float(f"{length_m:.2g}"), "m", inches)


def route_text(cost: RouteCost, inches: bool) -> str:
    """Turning, tightest radius, push, and each bend with its cost."""
    tightest = "nothing bends" if cost.tightest_radius_m is None else about(cost.tightest_radius_m, inches)
    lines = [
        f"Torch lead of {show_quantity(cost.length_m, 'm', inches)}: {cost.turns:.2f} turns in all; tightest radius {tightest}",
        f"Push as it lies     {band(cost.push_n, 'N', inches)}",
        f"Push laid straight  {band(cost.straight_n, 'N', inches)}",
    ]
    for number, bend in enumerate(cost.bends):
        most = "   costs most" if number == cost.costliest and len(cost.bends) > 1 else ""
        lines.append(
            f"  bend {number + 1}  {about(bend.start_m, inches)} to {about(bend.end_m, inches)}"
            f" from the machine, {show_quantity(bend.turning_rad, 'rad')} at radius"
            f" {about(bend.radius_m, inches)}: {show_quantity(bend.cost_n.mid, 'N', inches)}{most}"
        )
    if len(cost.bends) > 1:
        lines.append("  Bends multiply each other: their costs do not add up to the push.")
    if cost.lock_up_share:
        lines.append(f"The wire locks up in {100 * cost.lock_up_share:.0f} % of the draws.")
    return "\n".join([*lines, *(wrapped(f"! {mark}", "") for mark in cost.marks)])
