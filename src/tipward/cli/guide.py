"""The guided case by prompts. Everything is saved before the next question; leaving at any prompt loses nothing."""

import click

from tipward import tasks
from tipward.cli.show import cautions_text, check_text, proof_text, step_text, suspicions_text, wrapped
from tipward.foundation import InputError, NotKnownError
from tipward.model import Cannot, Case, CaseView, Entry, Finding, NextCheck, Place, ProofTest, Repair, TakenBack

KEYS = "n can't do that here · e I saw something else · b take that back · w go on elsewhere · q leave (saved)"


def guide(shop: tasks.Shop, case: Case) -> Case:
    """Ask until the case closes or the technician leaves."""
    click.echo(f"Case {case.id}. {tasks.local_codes()}")
    while case.closed() is None:
        view = tasks.see(shop, case)
        if view.next_step.what == "stop":
            click.echo("\n" + step_text(view.next_step, view.proof))
            return tasks.close_case(shop, case.id, view.next_step.why)
        click.echo("\n" + tasks.line_of_view(view))
        click.echo(suspicions_text(view) + "\n")
        click.echo(step_text(view.next_step, view.proof))
        try:
            left, case = _turn(shop, view)
        except (click.Abort, EOFError):
            left = True
        except (InputError, NotKnownError) as problem:
            click.echo(f"  {problem}", err=True)
            continue
        if left:
            click.echo(f"\nSaved. Go on with: tipward find --case {case.id}")
            return case
    return case


def _turn(shop: tasks.Shop, view: CaseView) -> tuple[bool, Case]:
    step, case = view.next_step, view.case
    if step.what == "close":
        click.confirm("Close the case as proved", default=True, abort=True)
        return False, tasks.close_case(shop, case.id)
    if step.what == "check" and step.check is not None:
        said = click.prompt(f"  {_ask(step.check)} · {KEYS}\n ").strip()
        done = _common(shop, case, said, step.check.check)
        return done if done is not None else (False, tasks.add(shop, case.id, finding(step.check, said)))
    if step.fix is not None:
        said = click.prompt(f"  d done · x close without it · {KEYS}\n ").strip()
        if said == "x":
            return False, tasks.close_case(shop, case.id)
        done = _common(shop, case, said, step.fix.action)
        return done if done is not None else (False, _repaired(shop, case, said, step.fix.action))
    if step.what == "prove":
        return _prove(shop, view)
    click.confirm("Close the case as it is", default=False, abort=True)
    return False, tasks.close_case(shop, case.id)


def _ask(check: NextCheck) -> str:
    return "readings, as 12 N; 13 N (or: stuck)" if check.reading else f"1-{len(check.outcomes)}"


def finding(check: NextCheck, said: str) -> Finding:
    """What was typed, as a finding: the number or id of an outcome, or readings with their unit."""
    if check.reading:
        return Finding(check.check, readings=tasks.read_readings(said, check.unit))
    known = [outcome.outcome for outcome in check.outcomes]
    if said.isdecimal() and 1 <= int(said) <= len(known):
        said = known[int(said) - 1]
    return Finding(check.check, said)


def _repaired(shop: tasks.Shop, case: Case, said: str, action: str) -> Case:
    if said != "d":
        raise NotKnownError(f"{said!r} is none of d, x, n, e, b, w, q")
    return tasks.add(shop, case.id, Repair(action))


def _common(shop: tasks.Shop, case: Case, said: str, what: str) -> tuple[bool, Case] | None:
    """The keys that work at every question; None where something else was typed."""
    if said == "q":
        return True, case
    entry: Entry | None = None
    if said == "n":
        entry = Cannot(what)
    elif said == "b":
        entry = last_page(case)
    elif said == "e":
        return False, _something_else(shop, case)
    elif said == "w":
        at = click.prompt("  where", type=click.Choice(["phone", "counter", "machine"]))
        tools = click.prompt("  tools at hand, separated by commas", default=", ".join(case.place().tools))
        old = case.place()
        spares, rates = ", ".join(old.spares), (old.work_per_hour, old.standstill_per_hour)
        place: Place = tasks.place(shop, at, tools, spares, old.qualified, *rates)
        return False, tasks.move(shop, case.id, place)
    return None if entry is None else (False, tasks.add(shop, case.id, entry))


def last_page(case: Case) -> TakenBack:
    """Ask which page to take back; the last one is offered."""
    pages = [page for page in case.live() if page.sequence > 1]
    if not pages:
        raise NotKnownError("nothing to take back yet")
    for page in pages:
        click.echo(f"  {page.sequence}  {tasks.page_text(page)}")
    return TakenBack(click.prompt("  take back page", type=int, default=pages[-1].sequence))


def _something_else(shop: tasks.Shop, case: Case) -> Case:
    said = click.prompt("  which check (its id, a word of its name, or ? for all)").strip()
    known = tasks.checks_now(shop, case.id)
    found = [item for item in known if item[0] == said.lower()]
    found = found or [item for item in known if said == "?" or said.lower() in " ".join(item).lower()]
    if len(found) != 1:
        for one, name in found:
            click.echo(f"  {one:<32} {name}")
        if not found:
            click.echo("  none that can be done now has that in its name")
        return case
    check = tasks.look_up_check(shop, case.id, found[0][0])
    click.echo(check_text(check))
    said = click.prompt(f"  {_ask(check)} · n none of these\n ").strip()
    return case if said == "n" else tasks.add(shop, case.id, finding(check, said))


def _prove(shop: tasks.Shop, view: CaseView) -> tuple[bool, Case]:
    case = view.case
    for target in view.proof.targets:
        if target.met is not None:
            continue
        click.echo(wrapped(target.text))
        click.echo(cautions_text(target.cautions))
        kind = "y or n" if not target.unit and target.high is None else "readings with unit; several with ;"
        said = click.prompt(f"  {kind} · {KEYS}\n ").strip()
        done = _common(shop, case, said, "proof")
        if done is not None:
            return done
        values = (float(said == "y"),) if said in {"y", "n"} else tasks.read_readings(said, target.unit)
        case = tasks.add(shop, case.id, ProofTest(((target.id, values),)))
        if said == "n":
            break
    click.echo(proof_text(tasks.see(shop, case, explain=False).proof))
    return False, case
