"""``tipward demo``: one rig of an invented workshop, from complaint to proof and card."""

import json
import tempfile
from pathlib import Path

import click

from tipward import tasks
from tipward.cli import options
from tipward.cli.answers import read_answers, run_answers
from tipward.cli.show import budget_text, fit_text, print_json, write_pdf
from tipward.model import read_setup


@click.command("demo")
@options.as_json
@click.option("--pdf", type=click.Path(path_type=Path), help="Also write the card as a PDF.")
def command(json_: bool, pdf: Path | None) -> None:
    """Run a case of the invented Harbour Lane workshop: two faults at once, found, mended and proved.

    Everything in it is invented; it is kept in a casebook of its own that is thrown away afterwards.
    """
    folder = tasks.demo_folder()
    setup, said = folder / "rig-steel-0.9.toml", json.loads((folder / "case-two-faults.json").read_text("utf-8"))
    with tempfile.TemporaryDirectory() as own:
        shop = tasks.open_shop(Path(own) / "demo.db")
        path = read_setup(setup)
        budget = tasks.force(path)
        if not json_:
            click.echo(
                f"{said['title']}\n\n{fit_text(tasks.fit(path))}\n\n{budget_text(budget, tasks.line_of(path, budget))}"
            )
            click.echo(f"\nThe customer says: {said['says']}")
        place = tasks.place(shop, "machine", "all", "all", qualified=False)
        case = tasks.open_case(shop, path, (), said["says"], place, path.name, said["customer"])
        case = run_answers(shop, case, read_answers(folder / said["answers"]), quiet=json_)
        view = tasks.view(shop, case.id)
        if json_:
            print_json(view)
        else:
            click.echo(f"\n{tasks.card_text(shop, view)}")
        if pdf is not None:
            write_pdf(pdf, tasks.card_pdf(shop, view))
