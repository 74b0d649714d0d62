"""Options that several commands share."""

import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

Decorator = Callable[[Callable[..., Any]], Callable[..., Any]]


def default_casebook() -> str:
    """Where the casebook is kept: $TIPWARD_CASEBOOK, else a file in the user's data folder."""
    named = os.environ.get("TIPWARD_CASEBOOK")
    if named:
        return named
    base = os.environ.get("XDG_DATA_HOME") or os.environ.get("LOCALAPPDATA") or str(Path.home() / ".local" / "share")
    return str(Path(base) / "tipward" / "casebook.db")


setup_file: Decorator = click.argument("setup", type=click.Path(path_type=Path))
as_json: Decorator = click.option("--json", "json_", is_flag=True, help="Print JSON.")
inches: Decorator = click.option("--inches", is_flag=True, help="Show inches, in/min and pounds-force.")
casebook: Decorator = click.option(
    "--casebook", default=default_casebook, help="SQLite file or PostgreSQL URL (default: your data folder)."
)
catalogue: Decorator = click.option(
    "--catalogue",
    "own",
    multiple=True,
    type=click.Path(path_type=Path),
    help="The shop's own catalogue file beside the shipped one; may be given several times.",
)
tools: Decorator = click.option(
    "--tools", default="", help='What is at hand, separated by commas; "all" for everything.'
)
spares: Decorator = click.option(
    "--spares", default="", help='Known-good spares at hand, separated by commas; "all" for everything.'
)
work_per_hour: Decorator = click.option(
    "--work-per-hour", default="", help="What an hour of your work costs (default: as in the newest case, else 60)."
)
standstill_per_hour: Decorator = click.option(
    "--standstill-per-hour",
    default="",
    help="What an hour of the standing machine costs the customer (default: nothing).",
)
qualified: Decorator = click.option(
    "--qualified", is_flag=True, help="A person qualified for work behind the power-source cover is here."
)
