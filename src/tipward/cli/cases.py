"""``tipward cases``: the cases in the casebook."""

import click

from tipward import tasks
from tipward.cli import options
from tipward.cli.show import print_json


@click.command("cases")
@options.casebook
@options.as_json
@click.option("--open", "open_only", is_flag=True, help="Only cases that are still open.")
def command(casebook: str, json_: bool, open_only: bool) -> None:
    """List the cases in the casebook, newest first."""
    rows = tasks.list_cases(tasks.open_shop(casebook), open_only)
    if json_:
        print_json(rows)
        return
    for row in rows:
        click.echo(
            f"{row.id}  {row.opened_at:%Y-%m-%d %H:%M}  {row.closed or 'open':<9} {row.rig or row.customer or '-'}"
        )
    if not rows:
        click.echo('No cases yet; start one with: tipward find SETUP --says "..."')
