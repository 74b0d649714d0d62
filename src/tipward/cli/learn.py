"""``tipward learn``: what closed cases teach, taken into use, taken back, or shared as counts."""

import sys
from pathlib import Path

import click

from tipward import tasks
from tipward.cli import options
from tipward.cli.show import print_json, wrapped, write_pdf
from tipward.foundation import InputError, Problem, show_share
from tipward.model import Calibration, ChangedNumber, Learning, Lesson

MOST_SHOWN = 12
KINDS = {"odds": "HOW COMMON", "shows": "WHAT CHECKS SHOW WHEN IT IS THERE", "false": "WHAT CHECKS SHOW WITHOUT CAUSE"}


@click.command("learn")
@options.casebook
@options.catalogue
@options.as_json
@click.option("--apply", "apply_", is_flag=True, help="Take what the closed cases say into use.")
@click.option("--reverse", type=int, metavar="N", help="Take lesson N back.")
@click.option("--export", type=click.Path(path_type=Path), help="Write the counts of this shop for others.")
@click.option("--import", "import_", type=click.Path(path_type=Path), help="Add the counts of another shop.")
@click.option("--pdf", type=click.Path(path_type=Path), help="Write what is shown to this PDF file.")
@click.option("--paper", type=click.Choice(["a4", "letter"]), default="a4", show_default=True)
def command(
    casebook: str,
    own: tuple[Path, ...],
    json_: bool,
    apply_: bool,
    reverse: int | None,
    export: Path | None,
    import_: Path | None,
    pdf: Path | None,
    paper: str,
) -> None:
    """Show which causes this shop really has, how well the odds held, and what that would change.

    Nothing is changed without --apply, --reverse or --import. Counts hold no customer, rig, word or time.
    """
    _one_of(apply_, reverse, export, import_, pdf)
    shop = tasks.open_shop(casebook, own)
    if reverse is not None:
        _done(tasks.reverse_lessons(shop, reverse), "taken back", json_)
    elif import_ is not None:
        _done(tasks.import_counts(shop, import_), "in use", json_)
    elif export is not None:
        counts = tasks.learn(shop, _progress).counts
        if not counts.cases:
            raise InputError(
                "learn", [Problem("--export", "there is no closed case to learn from", "close a case first")]
            )
        _write(export, tasks.export_counts(counts))
    elif pdf is not None:
        write_pdf(pdf, tasks.lessons_pdf(tasks.learn(shop, _progress), paper))
        click.echo(f"Wrote {pdf}")
    else:
        learning = tasks.learn(shop, _progress)
        lesson = tasks.apply_lessons(shop, learning.counts) if apply_ else None
        if json_:
            print_json(learning if lesson is None else lesson)
            return
        click.echo(learning_text(learning))
        if lesson is not None:
            _done(lesson, "in use", json_)


def _one_of(apply_: bool, *others: object) -> None:
    if apply_ + sum(other is not None for other in others) > 1:
        options = "--apply, --reverse, --export, --import and --pdf"
        problem = Problem("options", f"{options} exclude each other", "give one of them")
        raise InputError("learn", [problem])


def _progress(done: int, of: int) -> None:
    """A line on standard error, where somebody is watching it."""
    if sys.stderr.isatty():
        click.echo(f"\rcounting cases: {done} of {of}" + ("\n" if done == of else ""), nl=False, err=True)


def _done(lesson: Lesson, how: str, json_: bool) -> None:
    if json_:
        print_json(lesson)
        return
    click.echo(f"Lesson {lesson.id} is {how}: {_whose(lesson)}.")
    if how == "in use":
        click.echo(f"Take it back with: tipward learn --reverse {lesson.id}")


def _whose(lesson: Lesson) -> str:
    cases = lesson.payload["cases"]
    of = "this shop" if lesson.key == "own" else "another shop"
    return f"{cases} closed {'case' if cases == 1 else 'cases'} of {of}"


def _write(file: Path, text: str) -> None:
    try:
        file.write_text(text, "utf-8")
    except OSError as problem:
        problems = [Problem("export", f"cannot be written ({problem.strerror})", "check folder and rights")]
        raise InputError(str(file), problems) from None
    click.echo(f"Counts written to {file}: no customer, rig, word or time is in it.")


def learning_text(learning: Learning) -> str:
    """Causes, calibration, changes, lessons in use."""
    ends = ", ".join(f"{count} {how}" for how, count in learning.endings) or "none yet"
    lines = [f"CLOSED CASES  {ends}", "", "CAUSES THIS SHOP REALLY HAS  (proved cases)"]
    lines += [f"  {item.cases:>4}  {item.name}  [{item.fault}]" for item in learning.causes[:MOST_SHOWN]]
    if not learning.causes:
        lines.append("  none proved yet")
    if learning.calibration is not None:
        lines += ["", *_calibration(learning.calibration)]
    for kind, title in KINDS.items():
        lines += _changes([item for item in learning.changes if item.kind == kind], title)
    lines += ["", "LESSONS IN USE"]
    lines += [f"  {item.id:>4}  {item.at:%Y-%m-%d}  {_whose(item)}" for item in learning.in_use] or ["  none"]
    lines += [
        wrapped(f"! lesson {number} was counted against another catalogue; --apply, or import it anew")
        for number in learning.stale
    ]
    lines += [
        wrapped(f"! case {case} names what this catalogue does not hold; give the shop's --catalogue")
        for case in learning.left_out
    ]
    return "\n".join(lines)


def _calibration(held: Calibration) -> list[str]:
    cases = "1 proved case" if held.cases == 1 else f"{held.cases} proved cases"
    lines = [
        f"HOW WELL THE ODDS HELD  ({held.stated} suspicions stated in {cases})",
        "  said            expected      there        of",
    ]
    for row in held.rows:
        said = f"{100 * row.low:.0f} to {100 * row.high:.0f} %"
        lines.append(f"  {said:<12}{row.said * row.of:>12.1f}{row.found:>11.1f}{row.of:>10}")
    lines.append(f"  Brier score {held.brier:.4f}, log score {held.log_score_nat:.4f} nat")
    lines.append(f"  Calibration error {held.error:.3f}; between 5 and 95 % {held.error_inside:.3f}")
    lines.append(
        wrapped(f"Of those between 5 and 95 %, {100 * held.unsettled:.0f} % stayed in doubt to the end of their case.")
    )
    return lines


def _changes(changes: list[ChangedNumber], title: str) -> list[str]:
    shown = tasks.largest_changes(changes)
    lines = ["", f"{title}  before, after (90 % sure), found, expected"] if shown else []
    for item in shown[:MOST_SHOWN]:
        where = f", {item.where}" if item.where else ""
        lines.append(f"  {item.name}{where}" + (f"  [{item.key}]" if item.key else ""))
        lines.append(
            f"      {show_share(item.before)} -> {show_share(item.after)}"
            f" ({show_share(item.low)} to {show_share(item.high)}), {item.found:.1f}, {item.expected:.1f}"
        )
    if len(changes) > len(shown[:MOST_SHOWN]) and lines:
        lines.append(f"  and {len(changes) - len(shown[:MOST_SHOWN])} that change less")
    return lines
