"""The group of commands; each is imported only when it is called, so that ``--help`` stays quick."""

import sys
from importlib import import_module

import click

COMMANDS = {
    "demo": "One rig of an invented workshop, from complaint to proof and card.",
    "fit": "Do the parts suit this wire?",
    "force": "Force to push this wire through this path, station by station.",
    "route": "What the lie of the torch lead costs, bend by bend: drawn, tapped or in loops.",
    "find": "The guided case: check by check to all causes, to the fix, to the proof.",
    "prove": "Targets of the proof, and the readings against them.",
    "card": "The case on one page: PDF or text.",
    "inspect": "Look a rig over without a complaint: sale, hire return, new spool.",
    "change": "Change of wire, step by step: what must change and why, up to a healthy baseline.",
    "rig": "Rigs of the shop: add, list, show, healthy baseline.",
    "cases": "The cases in the casebook.",
    "learn": "What closed cases teach: causes, how well the odds held, what would change.",
    "catalogue": "What the catalogue says about a fault, check or action, with file and line.",
    "serve": "The pages, on this machine or for the phones of the workshop.",
}


class _Lazy(click.Group):
    """Commands by name, imported on use."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        command: click.Command = import_module(f"tipward.cli.{cmd_name}").command
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))


@click.group(cls=_Lazy, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(package_name="tipward", message="tipward %(version)s")
def group() -> None:
    """Keep MIG welding wire feeding smoothly from spool to arc.

    Exit codes: 0 fine · 1 something is wrong with the machine under test · 2 wrong use.
    Local codes and licensed practice come first.
    """


def main() -> None:
    """Run the command line; own errors end with exit code 2 and say the next step.

    Returns
    -------
    None
        Ends the process with its exit code.

    Raises
    ------
    SystemExit
        Always.

    Source: design.

    >>> callable(main)
    True
    """
    from tipward.foundation import TipwardError  # after --help has answered

    try:
        group.main(standalone_mode=True)
    except TipwardError as problem:
        click.echo(f"tipward: {problem}", err=True)
        sys.exit(2)
