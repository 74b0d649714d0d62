"""``tipward prove``: targets of the proof, and readings against them."""

import sys
from pathlib import Path

import click

from tipward import tasks
from tipward.cli import options
from tipward.cli.show import print_json, proof_text, wrapped
from tipward.model import ProofTest


@click.command("prove")
@click.argument("case_id", metavar="CASE")
@options.casebook
@options.catalogue
@options.as_json
@options.inches
@click.option("--read", "read", multiple=True, metavar="TARGET=READINGS", help='As pull-through-torch="9 N; 10 N".')
@click.option("--close", is_flag=True, help="Close the case afterwards.")
def command(
    case_id: str, casebook: str, own: tuple[Path, ...], json_: bool, inches: bool, read: tuple[str, ...], close: bool
) -> None:
    """Show the targets of the proof of CASE, take readings, and say whether it may close as proved.

    Exit code 0 where it is proved, 1 where it is not.
    """
    shop = tasks.open_shop(casebook, own)
    view = tasks.view(shop, case_id, explain=False)
    if read:
        readings = tasks.read_targets(view.proof, read)
        tasks.add(shop, view.case.id, ProofTest(readings))
        view = tasks.view(shop, view.case.id, explain=False)
    if close:
        tasks.close_case(shop, view.case.id)
        view = tasks.view(shop, view.case.id, explain=False)
    if json_:
        print_json(view.proof)
    else:
        click.echo(proof_text(view.proof, inches))
        click.echo("PROVED" if view.proof.proved else "Not proved yet:")
        for item in view.proof.missing:
            click.echo(wrapped(f"- {item}"))
    sys.exit(0 if view.proof.proved else 1)
