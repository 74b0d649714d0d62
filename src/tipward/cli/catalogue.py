"""``tipward catalogue``: what the catalogue says, down to the file and line of each figure."""

from collections.abc import Iterable
from pathlib import Path

import click

from tipward import tasks
from tipward.cli import options
from tipward.cli.show import WIDTH, print_json, wrapped
from tipward.model import CatalogueEntry, CatalogueLine

HEADS = {
    "fault": "FAULTS",
    "check": "CHECKS",
    "action": "ACTIONS",
    "complaint": "COMPLAINTS",
    "caution": "CAUTIONS",
    "set_up": "SET-UPS",
}


@click.command("catalogue")
@click.argument("name", metavar="[ID]", required=False)
@options.catalogue
@options.as_json
def command(name: str | None, own: tuple[Path, ...], json_: bool) -> None:
    """Say everything that the catalogue holds about ID, with the file and line of each figure.

    ID is that of a fault, check, action, complaint, caution or set-up, as it stands in brackets wherever one is shown.
    Without ID all are listed.
    """
    shop = tasks.open_shop(options.default_casebook(), own)  # no casebook is opened for this
    if name is None:
        rows = tasks.list_catalogue(shop)
        if json_:
            print_json([{"kind": kind, "id": item, "name": text} for kind, item, text in rows])
        else:
            click.echo(_listed(rows))
        return
    entry = tasks.look_up(shop, name)
    if json_:
        print_json(entry)
    else:
        click.echo(_laid_open(entry))


def _listed(rows: Iterable[tuple[str, str, str]]) -> str:
    lines: list[str] = []
    last = ""
    for kind, name, text in rows:
        if kind != last:
            lines += ["", HEADS[kind]] if lines else [HEADS[kind]]
            last = kind
        room = WIDTH - 30
        lines.append(f"  {name:<27} {text if len(text) <= room else text[: room - 1] + '…'}")
    return "\n".join(lines)


def _laid_open(entry: CatalogueEntry) -> str:
    lines = [f"{entry.kind.upper().replace('_', '-')}  {entry.id}   {entry.name}"]
    lines += [wrapped(entry.text)] if entry.text else []
    last = ""
    for line in entry.lines:
        place = f"{line.file}:{line.line}" if line.line else line.file
        about = f" {line.about}" if line.about else ""
        if line.what != last:
            lines.append(f"\n{line.what}")
        last = line.what
        lines.append(wrapped(_said(line, about)))
        lines += _grounds(f"[{'; '.join(item for item in (line.grade, line.reason) if item)}]", place)
    lines.append("\nFiles: src/tipward/faults/catalogue. The whole on one page: docs/catalogue.md.")
    return "\n".join(lines)


def _said(line: CatalogueLine, about: str) -> str:
    if line.probability is None and line.about in line.value:
        return line.value
    return f"{line.value} {about}" if about else line.value


def _grounds(why: str, place: str) -> list[str]:
    """Grade and reason with the place behind them, or below where the terminal is too narrow; a place is never cut."""
    lines = wrapped(why, "      ").splitlines()
    if len(lines[-1]) + 2 + len(place) <= WIDTH:
        return [*lines[:-1], f"{lines[-1]}  {place}"]
    return [*lines, f"      {place}"]
