"""``tipward find``: the guided case."""

import sys
from dataclasses import replace
from pathlib import Path

import click

from tipward import tasks
from tipward.cli import options
from tipward.cli.answers import check_answers, read_answers, run_answers
from tipward.cli.guide import guide
from tipward.cli.show import print_json, step_text, suspicions_text, wrapped
from tipward.model import Case, FeedPath, Place, read_setup

PLACES = ("phone", "counter", "machine")


@click.command("find")
@click.argument("setup", type=click.Path(path_type=Path), required=False)
@options.casebook
@options.catalogue
@options.as_json
@click.option("--case", "case_id", help="Go on with this case.")
@click.option("--says", default="", help="The complaint in the customer's own words.")
@click.option("--complaint", "complaints", multiple=True, help="A complaint by its id; may be given several times.")
@click.option("--at", type=click.Choice(PLACES), help="Where you are; asked for where it is not said.")
@options.tools
@options.spares
@options.qualified
@options.work_per_hour
@options.standstill_per_hour
@click.option("--rig", default="", help="Name of the rig; one that the shop keeps needs no set-up file.")
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
    at: str | None,
    tools: str,
    spares: str,
    qualified: bool,
    work_per_hour: str,
    standstill_per_hour: str,
    rig: str,
    customer: str,
    answers: Path | None,
) -> None:
    """Lead from a complaint about the path in SETUP, check by check, to all causes, the fix and the proof.

    Every answer is saved as it is given. Exit code 0 when the case closes as proved, 1 otherwise.
    """
    if (setup is not None or bool(rig)) == (case_id is not None):
        raise click.UsageError(
            "give a set-up file for a new case, or --case to go on with one, or --rig for a rig that is kept"
        )
    path = read_setup(setup) if setup is not None else None
    script = read_answers(answers) if answers else None
    shop = tasks.open_shop(casebook, own)
    if script is not None and answers is not None:
        check_answers(shop, script, answers)
    if case_id is None:
        path, rig, customer = of_rig(shop, path, rig, customer)
        rates = work_per_hour, standstill_per_hour
        place = tasks.place(shop, at or where_is_it(asks=script is None), tools, spares, qualified, *rates)
        case = _new(shop, path, says, complaints, place, rig, customer, asks=script is None)
    else:
        case = at_rates(shop, tasks.view(shop, str(case_id), explain=False).case, work_per_hour, standstill_per_hour)
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


def at_rates(shop: tasks.Shop, case: Case, work_per_hour: str, standstill_per_hour: str) -> Case:
    """The case with other rates, where they were given; a page of its own says so."""
    if not (work_per_hour or standstill_per_hour):
        return case
    old = case.place()
    rates = work_per_hour or old.work_per_hour, standstill_per_hour or old.standstill_per_hour
    read = tasks.place(shop, old.at, "", "", old.qualified, *rates)
    return tasks.move(shop, case.id, replace(read, tools=old.tools, spares=old.spares))


def where_is_it(asks: bool) -> str:
    """Where the work is done: asked, never assumed."""
    if not asks:
        raise click.UsageError(f"say where the case is answered: --at {'|'.join(PLACES)}")
    said: str = click.prompt("Where are you", type=click.Choice(PLACES))
    return said


def of_rig(shop: tasks.Shop, path: FeedPath | None, rig: str, customer: str) -> tuple[FeedPath, str, str]:
    """Path, rig and customer of a new case: what was given, else what the shop keeps of that rig."""
    if path is None:
        kept = tasks.rig_named(shop, rig)
        return kept.path, kept.id, customer or kept.customer
    names = {name: one.id for one in tasks.list_rigs(shop) for name in (one.id, one.name)} if rig else {}
    return path, names.get(rig, rig), customer


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
