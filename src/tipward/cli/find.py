"""``tipward find``: the guided case."""

import sys
from pathlib import Path

import click

from tipward import tasks
from tipward.cli import options
from tipward.cli.answers import check_answers, read_answers, run_answers
from tipward.cli.guide import guide
from tipward.cli.show import print_json, step_text, suspicions_text, wrapped
from tipward.model import Case, FeedPath, Place, read_setup


@click.command("find")
@click.argument("setup", type=click.Path(path_type=Path), required=False)
@options.casebook
@options.catalogue
@options.as_json
@click.option("--case", "case_id", help="Go on with this case.")
@click.option("--says", default="", help="The complaint in the customer's own words.")
@click.option("--complaint", "complaints", multiple=True, help="A complaint by its id; may be given several times.")
@click.option("--at", type=click.Choice(["phone", "counter", "machine"]), default="machine", show_default=True)
@click.option("--tools", default="", help='What is at hand, separated by commas; "all" for everything.')
@click.option("--spares", default="", help='Known-good spares at hand, separated by commas; "all" for everything.')
@click.option("--qualified", is_flag=True, help="A person qualified for work behind the power-source cover is here.")
@click.option("--rig", default="", help="Name of the rig.")
@click.option("--customer", default="", help="Name of the customer.")
@click.option("--answers", type=click.Path(path_type=Path), help="Answer from this TOML file instead of asking.")
def command(
    setup: Path | None,
    casebook: str,
    own: tuple[Path, ...],
    json_: bool,
    case_id: str | None,
    says: str,
    complaints: tuple[str, ...],
    at: str,
    tools: str,
    spares: str,
    qualified: bool,
    rig: str,
    customer: str,
    answers: Path | None,
) -> None:
    """Lead from a complaint about the path in SETUP, check by check, to all causes, the fix and the proof.

    Every answer is saved as it is given. Exit code 0 when the case closes as proved, 1 otherwise.
    """
    if (setup is None) == (case_id is None):
        raise click.UsageError("give a set-up file for a new case, or --case to go on with one")
    path = read_setup(setup) if setup is not None else None
    script = read_answers(answers) if answers else None
    shop = tasks.open_shop(casebook, own)
    if script is not None and answers is not None:
        check_answers(shop, script, answers)
    if path is not None:
        place = tasks.place(shop, at, tools, spares, qualified)
        case = _new(shop, path, says, complaints, place, rig, customer, asks=script is None)
    else:
        case = tasks.view(shop, str(case_id), explain=False).case
    case = run_answers(shop, case, script, quiet=json_) if script else guide(shop, case)
    view = tasks.view(shop, case.id)
    closed = view.case.closed()
    if json_:
        print_json(view)
    else:
        end = (
            f"CLOSED  {closed.how}\n{wrapped(closed.note)}".rstrip()
            if closed
            else step_text(view.next_step, view.proof)
        )
        told = "" if view.next_step.what == "stop" else f"{suspicions_text(view)}\n"
        click.echo(f"\n{told}{end}")
        click.echo(f"\nCase {case.id}. Card: tipward card {case.id}")
    sys.exit(0 if closed and closed.how == "proved" else 1)


def _new(
    shop: tasks.Shop,
    path: FeedPath,
    says: str,
    complaints: tuple[str, ...],
    place: Place,
    rig: str,
    customer: str,
    asks: bool,
) -> Case:
    if not says and not complaints and asks:
        says = click.prompt("What does the customer say")
    case = tasks.open_case(shop, path, complaints, says, place, rig, customer)
    if not case.opened().complaints:
        click.echo("No complaint recognised in these words; the case starts from the set-up alone.", err=True)
    return case
