"""``tipward fit``: do the parts suit this wire?"""

import sys
from pathlib import Path

import click

from tipward import tasks
from tipward.cli import options
from tipward.cli.show import fit_text, print_json, wrapped
from tipward.model import read_setup


@click.command("fit")
@options.setup_file
@options.as_json
@click.option("--recommend", is_flag=True, help="Also the full recommended set-up for this wire.")
def command(setup: Path, json_: bool, recommend: bool) -> None:
    """Say which parts of the path in SETUP do not suit its wire or each other, and why.

    Exit code 1 where anything does not match.
    """
    path = read_setup(setup)
    found = tasks.fit(path)
    advice = tasks.recommend(path) if recommend else None
    if json_:
        print_json({"fit": found, "recommended": advice} if recommend else found)
    else:
        click.echo(f"{path.name}\n{fit_text(found)}")
        for line in advice.lines if advice else ():
            click.echo(f"\n{line.line}: {line.text}\n{wrapped(line.reason, '    ')}\n    [{line.grade}; {line.source}]")
    sys.exit(1 if found.mismatches else 0)
