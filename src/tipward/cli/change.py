"""``tipward change``: a change of wire, step by step."""

import sys
from pathlib import Path

import click

from tipward import tasks
from tipward.cli import options
from tipward.cli.show import band, baseline_text, cautions_text, print_json, rounded, wrapped
from tipward.foundation import InputError, Problem
from tipward.model import BaselineReading, ChangeLine, FeedPath, Rig, WalkStep, WireWalk, read_setup

STANDINGS = {
    "must change": "MUST CHANGE",
    "set anew": "SET ANEW",
    "look": "LOOK, CHANGE IF IT DOES NOT SUIT",
    "stays": "STAYS",
}
WIRE_STEPS = {"old-wire", "spool", "thread"}  # without these the old wire is still in
KEYS = "d done · n could not be done · q leave (nothing is kept)"


@click.command("change")
@click.argument("rig_or_setup", metavar="RIG_OR_SETUP")
@options.casebook
@options.catalogue
@options.as_json
@options.inches
@click.option(
    "--to",
    "new",
    metavar="NEWSETUP",
    type=click.Path(path_type=Path),
    required=True,
    help="Set-up file of the new wire, with the parts that are already chosen.",
)
@click.option("--plan", "plan_only", is_flag=True, help="Only show what must change and the steps; ask nothing.")
@click.option("--write", "file", type=click.Path(path_type=Path), help="Write the set-up afterwards to this new file.")
def command(
    rig_or_setup: str,
    casebook: str,
    own: tuple[Path, ...],
    json_: bool,
    inches: bool,
    new: Path,
    plan_only: bool,
    file: Path | None,
) -> None:
    """Lead through a change of wire: RIG_OR_SETUP as it is, NEWSETUP as it shall be.

    What must change and why, then the steps in order, then the healthy baseline; a rig keeps both. With --plan or --json
    nothing is asked or kept: exit code 1 where parts must change. Of the walk: 0 when all was done, everything suits
    and the readings are those of a healthy path, else 1.
    """
    shop = tasks.open_shop(casebook, own)
    rig, path = _start(shop, rig_or_setup)
    walk = tasks.walk_wire(shop, path, read_setup(new))
    if file is not None and file.exists():
        raise InputError(str(file), [Problem("write", "is there already", "name a new file")])
    if json_:
        print_json(walk)
    else:
        click.echo(_plan_text(walk, inches))
    if json_ or plan_only:
        if plan_only and not json_:
            click.echo("".join(f"\n{_step_text(number, step)}\n" for number, step in enumerate(walk.steps, 1)))
        sys.exit(1 if walk.left or any(line.standing == "must change" for line in walk.lines()) else 0)
    sys.exit(0 if _walk(shop, walk, rig, file, inches) else 1)


def _start(shop: tasks.Shop, said: str) -> tuple[Rig | None, FeedPath]:
    file = Path(said)
    if file.suffix.lower() in {".toml", ".json"} or file.is_file():
        return None, read_setup(file)
    rig = tasks.rig_named(shop, said)
    return rig, rig.path


def _walk(shop: tasks.Shop, walk: WireWalk, rig: Rig | None, file: Path | None, inches: bool) -> bool:
    """Step after step; at the end rig, file and baseline are kept together. Whether all is well."""
    undone: list[str] = []
    read: list[BaselineReading] = []
    click.echo(f"\n{tasks.local_codes()}")
    for number, step in enumerate(walk.steps, 1):
        click.echo(f"\n{_step_text(number, step)}")
        try:
            done = (
                _measured(shop, tasks.path_after(walk, undone), step, inches) if step.measured is not None else _done()
            )
        except (click.Abort, EOFError):
            click.echo("\nLeft. Nothing was kept; begin again with the same command.")
            return False
        if isinstance(done, BaselineReading):
            read.append(done)
        elif not done:
            undone.append(step.id)
    return _keep(shop, tasks.path_after(walk, undone), undone, read, rig, file)


def _done() -> bool:
    said = ""
    while said not in {"d", "n", "q"}:
        said = click.prompt(f"  {KEYS}\n ").strip()
    if said == "q":
        raise click.Abort
    return said == "d"


def _measured(shop: tasks.Shop, path: FeedPath, step: WalkStep, inches: bool) -> BaselineReading | bool:
    assert step.measured is not None
    while True:
        said = click.prompt("  readings, as 12 N; 13 N · n could not be done · q leave (nothing is kept)\n ").strip()
        if said == "q":
            raise click.Abort
        if said == "n":
            return False
        try:
            values = tasks.read_readings(said, step.measured.unit)
            if any(not 0 <= value < float("inf") for value in values):
                raise InputError("readings", [Problem(step.id, "must be finite numbers of 0 or more", "read again")])
        except InputError as problem:
            click.echo(f"  {problem}", err=True)
            continue
        judged = tasks.judge_baseline(shop, path, {step.id: values})[0]
        click.echo(baseline_text(judged, inches))
        return judged


def _keep(
    shop: tasks.Shop,
    path: FeedPath,
    undone: list[str],
    read: list[BaselineReading],
    rig: Rig | None,
    file: Path | None,
) -> bool:
    if WIRE_STEPS & set(undone):
        click.echo("\nThe new wire is not in: nothing was kept; begin again with the same command.")
        return False
    left = tasks.fit(path).mismatches
    odd = [item for item in read if not item.healthy]
    if file is not None:
        _write(file, tasks.setup_text(path))
    if rig is not None:
        tasks.save_rig(shop, rig.name, path, rig.customer, rig.id)
        click.echo(f"\nRig {rig.id} kept with the new wire.")
    healthy = {item.check: item.readings for item in read if item.healthy}
    if rig is not None and healthy and not odd and not left:
        tasks.save_baseline(shop, rig.id, healthy)
        click.echo("Its healthy baseline is kept; later proofs compare with it.")
    lines = [f"NOT DONE  {step}" for step in undone]
    lines += [f"DOES NOT MATCH  {item.what}: {item.fix}" for item in left]
    lines += [f"NOT HEALTHY  {item.name}: the baseline is not kept; find out why first" for item in odd]
    lines += [f"Find out with: tipward find --rig {rig.id}"] if odd and rig is not None else []
    click.echo("\n".join(wrapped(line, "") for line in lines) if lines else "All done, and all of it suits.")
    return not lines


def _write(file: Path, text: str) -> None:
    try:
        with file.open("x", encoding="utf-8") as new:
            new.write(text + "\n")
    except OSError as problem:
        reason = problem.strerror or "not said"
        raise InputError(str(file), [Problem("write", f"cannot be written ({reason})", "name another file")]) from None
    click.echo(f"Wrote {file}")


def _plan_text(walk: WireWalk, inches: bool) -> str:
    lines = [walk.before.name, f"Push at the rolls now    {band(walk.before_n, 'N', inches)}"]
    lines.append(f"  new wire, parts kept   {band(walk.kept_n, 'N', inches)}")
    lines.append(f"  when all is done       {band(walk.after_n, 'N', inches)}")
    for standing, title in STANDINGS.items():
        chosen = [line for line in walk.lines() if line.standing == standing]
        lines += ["", title, *(_line_text(line) for line in chosen)] if chosen else []
    for item in walk.left:
        lines += ["", wrapped(f"STILL DOES NOT MATCH  {item.what}. {item.reason} Do: {item.fix}", "")]
    return "\n".join(lines)


def _line_text(line: ChangeLine) -> str:
    if line.standing == "stays":
        return wrapped(f"{line.part}: {line.now}")
    said = f"{line.part}: {line.now} -> {line.wanted}" if line.now != "not known" else f"{line.part}: {line.wanted}"
    return f"{wrapped(said)}\n{wrapped(line.reason, '    ')}\n    [{line.grade}; {line.source}]"


def _step_text(number: int, step: WalkStep) -> str:
    lines = [f"STEP {number}  {step.title}   [{step.id}]"]
    lines += [wrapped(f"{line.part}: {STANDINGS[line.standing].lower()}: {_short(line)}") for line in step.lines]
    lines += [f"  With: {', '.join(step.tools)}"] if step.tools else []
    lines += [wrapped(step.instructions), cautions_text(step.cautions)]
    if step.measured is not None:
        lines.append(f"  Healthy parts like these read {rounded(step.measured.expected, step.measured.unit)}")
    return "\n".join(line for line in lines if line)


def _short(line: ChangeLine) -> str:
    return line.now if line.standing == "stays" else line.wanted
