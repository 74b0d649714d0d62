"""``tipward fit``: do the parts suit this wire?"""

import sys
from pathlib import Path

import click

from tipward import tasks
from tipward.cli import options
from tipward.cli.show import fit_text, print_json, served_text, wrapped
from tipward.model import FeedPath, read_setup


@click.command("fit")
@options.setup_file
@options.as_json
@click.option("--recommend", is_flag=True, help="Also the full recommended set-up for this wire.")
@click.option("--serves", is_flag=True, help="The reverse: which wires these parts serve, and why not the others.")
def command(setup: Path, json_: bool, recommend: bool, serves: bool) -> None:
    """Say which parts of the path in SETUP do not suit its wire or each other, and why.

    Exit code 1 where anything does not match, or with --serves where the parts serve no wire.
    """
    if recommend and serves:
        raise click.UsageError("give --recommend or --serves, not both")
    path = read_setup(setup)
    if serves:
        _serves(path, json_)
    found = tasks.fit(path)
    advice = tasks.recommend(path) if recommend else None
    if json_:
        print_json({"fit": found, "recommended": advice} if recommend else found)
    else:
        click.echo(f"{path.name}\n{fit_text(found)}")
        for line in advice.lines if advice else ():
            click.echo(f"\n{line.line}: {line.text}\n{wrapped(line.reason, '    ')}\n    [{line.grade}; {line.source}]")
    sys.exit(1 if found.mismatches else 0)


def _serves(path: FeedPath, json_: bool) -> None:
    found = tasks.serves(path)
    if json_:
        print_json(found)
    else:
        click.echo(f"{path.name}\n" + "\n".join(map(served_text, found)))
    sys.exit(0 if any(item.diameters_m for item in found) else 1)
