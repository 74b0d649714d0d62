"""``tipward card``: the case on one page."""

from pathlib import Path

import click

from tipward import tasks
from tipward.cli import options
from tipward.cli.show import print_json, write_pdf


@click.command("card")
@click.argument("case_id", metavar="CASE")
@options.casebook
@options.catalogue
@options.as_json
@options.inches
@click.option("--paper", type=click.Choice(["a4", "letter"]), default="a4", show_default=True)
@click.option("--pdf", type=click.Path(path_type=Path), help="Write the card to this PDF file; else text is printed.")
def command(
    case_id: str, casebook: str, own: tuple[Path, ...], json_: bool, inches: bool, paper: str, pdf: Path | None
) -> None:
    """Tell CASE on one page: what was found, done and proved, what is left, cautions and sources."""
    shop = tasks.open_shop(casebook, own)
    view = tasks.view(shop, case_id)
    if json_:
        print_json(view)
        return
    if pdf is None:
        click.echo(tasks.card_text(shop, view, inches))
        return
    write_pdf(pdf, tasks.card_pdf(shop, view, paper, inches))
    click.echo(f"Wrote {pdf}")
