"""``tipward inspect``: a rig looked over without a complaint."""

import sys
from pathlib import Path

import click

from tipward import tasks
from tipward.cli import options
from tipward.cli.answers import Answers, check_answers, read_answers, said_of
from tipward.cli.find import PLACES, at_rates, of_rig, where_is_it
from tipward.cli.guide import last_page
from tipward.cli.show import cautions_text, fix_text, print_json, wrapped
from tipward.foundation import InputError, NotKnownError
from tipward.model import Cannot, Case, Entry, Finding, Inspected, Look, LookGroup, read_setup

KEYS = "Enter: the first · n can't do that here · b take one back · q leave (saved)"


@click.command("inspect")
@click.argument("setup", type=click.Path(path_type=Path), required=False)
@options.casebook
@options.catalogue
@options.as_json
@click.option("--for", "occasion", type=click.Choice(["sale", "hire-return", "new-spool"]), help="Why it is looked at.")
@click.option("--rig", default="", help="Name of the rig; one that the shop keeps needs no set-up file.")
@click.option("--customer", default="", help="Name of the customer.")
@click.option("--case", "case_id", help="Go on with this inspection.")
@click.option("--at", type=click.Choice(PLACES), help="Where you are; asked for where it is not said.")
@options.tools
@options.spares
@options.qualified
@options.work_per_hour
@options.standstill_per_hour
@click.option("--answers", type=click.Path(path_type=Path), help="Answer from this TOML file instead of asking.")
def command(
    setup: Path | None,
    casebook: str,
    own: tuple[Path, ...],
    json_: bool,
    occasion: str | None,
    rig: str,
    customer: str,
    case_id: str | None,
    at: str | None,
    tools: str,
    spares: str,
    qualified: bool,
    work_per_hour: str,
    standstill_per_hour: str,
    answers: Path | None,
) -> None:
    """Look the path in SETUP over from spool to arc: sale, hire return, new spool.

    Looks that share a set-up come together. Every answer is saved as it is given. Exit code 0 when nothing was found,
    1 where something was, or the round was left.
    """
    if (setup is not None or bool(rig)) == (case_id is not None):
        raise click.UsageError(
            "give a set-up file for a new inspection, or --case to go on with one, or --rig for a rig that is kept"
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
        case = tasks.open_case(shop, path, (), "", place, rig, customer)
    else:
        case = at_rates(shop, tasks.read_case(shop, case_id), work_per_hour, standstill_per_hour)
    case, over = _round(shop, case, occasion or "", script, quiet=json_)
    _end(shop, case, occasion or "", over, json_)


def _round(shop: tasks.Shop, case: Case, occasion: str, script: Answers | None, quiet: bool) -> tuple[Case, bool]:
    """Ask look after look until none is left or the technician leaves."""
    shown: LookGroup | None = None
    if not quiet:
        click.echo(f"Case {case.id}. {tasks.local_codes()}")
    while case.closed() is None:
        left = tasks.looks_left(shop, case, occasion)
        if not left.groups:
            if not quiet and shown is not None and shown.set_up:
                click.echo(f"\nPUT BACK  {', '.join(shown.set_up)}")
            return case, True
        group = left.groups[0]
        if shown is None or shown.set_up != group.set_up or not set(group.cautions) <= set(shown.cautions):
            shown = group
            if not quiet:
                click.echo(_group_text(group, sum(len(item.looks) for item in left.groups)))
        look = group.looks[0]
        if not quiet:
            click.echo(_look_text(look))
        after = _answered(shop, case, look, script, quiet)
        if after is None:
            return case, False
        case = after
    return case, True


def _answered(shop: tasks.Shop, case: Case, look: Look, script: Answers | None, quiet: bool) -> Case | None:
    """The case with one answer more, None where the technician leaves; a slip at the keyboard is asked again."""
    if script is not None:
        return tasks.add(shop, case.id, _scripted(script, case, look, quiet))
    try:
        entry = _asked(case, look)
        return None if entry is None else tasks.add(shop, case.id, entry)
    except (click.Abort, EOFError):
        return None
    except (InputError, NotKnownError) as problem:
        click.echo(f"  {problem}", err=True)
        return case


def _scripted(script: Answers, case: Case, look: Look, quiet: bool) -> Entry:
    said = str(said_of(script, case, look.check))
    if not quiet:
        click.echo(f"  > {said}")
    if said == "cannot":
        return Cannot(look.check)
    return Finding(look.check, look.outcomes[0][0] if said == "normal" else said)


def _asked(case: Case, look: Look) -> Entry | None:
    said = click.prompt(f"  1-{len(look.outcomes)} · {KEYS}\n ", default="1", show_default=False).strip()
    if said == "q":
        return None
    if said == "n":
        return Cannot(look.check)
    if said == "b":
        return last_page(case)
    known = [outcome for outcome, _ in look.outcomes]
    return Finding(look.check, known[int(said) - 1] if said.isdecimal() and 1 <= int(said) <= len(known) else said)


def _group_text(group: LookGroup, left: int) -> str:
    lines = ["", f"NEXT  {len(group.looks)} of {left} looks that are left"]
    lines += [f"  Put back: {', '.join(group.put_back)}"] if group.put_back else []
    lines += [f"  First: {', '.join(group.first)}"] if group.first else []
    return "\n".join([*lines, cautions_text(group.cautions)]).rstrip()


def _look_text(look: Look) -> str:
    lines = ["", f"LOOK  {look.name}   [{look.check}]", wrapped(look.instructions)]
    lines += [f"  With: {', '.join(look.tools)}"] if look.tools else []
    return "\n".join([*lines, *(f"  {number}  {text}" for number, (_, text) in enumerate(look.outcomes, 1))])


def _end(shop: tasks.Shop, case: Case, occasion: str, over: bool, json_: bool) -> None:
    result = tasks.inspected(shop, case, occasion)
    if over:
        case = tasks.end_inspection(shop, case, result)
        result = tasks.inspected(shop, case, occasion)
    if json_:
        print_json(result)
    else:
        click.echo("\n" + _result_text(result))
        click.echo(f"\n{tasks.card_text(shop, result.view)}" if over else "")
        click.echo(_onward(case, result, over))
    sys.exit(0 if over and not result.found and not result.mend else 1)


def _onward(case: Case, result: Inspected, over: bool) -> str:
    if not over:
        return f"Saved. Go on with: tipward inspect --case {case.id}"
    mend = f" Mend and prove with: tipward find --case {case.id}" if case.closed() is None else ""
    return f"Case {case.id}. Card: tipward card {case.id}{mend}"


def _result_text(result: Inspected) -> str:
    lines = [f"FOUND  in {result.looked} looks"]
    lines += [wrapped(f"{item.name}: {item.says}") for item in result.found] or ["  nothing out of the usual"]
    lines += [wrapped(f"? {doubt.what}") for doubt in result.view.judgement.doubts]
    for fix in result.mend:
        lines += ["", fix_text(fix)]
    if result.closer:
        lines += ["", "LOOK MORE CLOSELY  (not settled by looks)"]
        lines += [f"  {item.name}: {tasks.odds_in_words(item.probability)}" for item in result.closer]
    why: dict[str, int] = {}
    for _, reason in result.left_out:
        why[reason] = why.get(reason, 0) + 1
    if why:
        told = "; ".join(f"{count} {reason}" for reason, count in why.items())
        lines += ["", wrapped(f"Not looked at: {told}", "")]
    return "\n".join(lines)
