"""``tipward force``: the budget along the line."""

import sys
from pathlib import Path

import click

from tipward import tasks
from tipward.cli import options
from tipward.cli.show import budget_text, print_json
from tipward.model import read_setup

BITES = 0.5


@click.command("force")
@options.setup_file
@options.as_json
@options.inches
@click.option(
    "--draws", default=512, show_default=True, type=click.IntRange(16, 65536), help="Draws over the unknowns."
)
@click.option("--seed", default=1, show_default=True, help="Seed of the draws.")
@click.option("--extrapolate", is_flag=True, help="Go on outside a relation's range; the result is marked.")
def command(setup: Path, json_: bool, inches: bool, draws: int, seed: int, extrapolate: bool) -> None:
    """Work out the force to push the wire through the path in SETUP, with every limit and its margin.

    Exit code 1 where a limit more likely bites than not.
    """
    path = read_setup(setup)
    budget = tasks.force(path, draws, seed, extrapolate)
    if json_:
        print_json(budget)
    else:
        click.echo(f"{path.name}\n{budget_text(budget, tasks.line_of(path, budget, inches=inches), inches)}")
    bites = budget.lock_up_share > BITES or any(limit.probability > BITES for limit in budget.limits)
    sys.exit(1 if bites else 0)
