"""``tipward serve``: the pages on this machine, or for the phones of the workshop."""

from pathlib import Path

import click

from tipward import tasks
from tipward.cli import options


@click.command("serve")
@options.casebook
@options.catalogue
@click.option("--port", default=8077, show_default=True, type=click.IntRange(0, 65535))
@click.option("--lan", is_flag=True, help="Also for other machines on the network; everybody signs in.")
@click.option(
    "--name", "names", multiple=True, help="A host name under which it is opened; may be given several times."
)
@click.option("--add-account", "account", metavar="NAME", help="Make an account, asking for its password, and end.")
@click.option(
    "--role",
    type=click.Choice(["owner", "technician", "reader"]),
    help="Role of the new account (default: owner for the first, technician for others).",
)
def command(
    casebook: str,
    own: tuple[Path, ...],
    port: int,
    lan: bool,
    names: tuple[str, ...],
    account: str | None,
    role: str | None,
) -> None:
    """Serve the pages and the API: on this machine without sign-in, with --lan for the phones of the workshop.

    The first account is made with --add-account NAME; --lan refuses to start without one.
    """
    shop = tasks.open_shop(casebook, own)
    if account is not None:
        _add(shop, account, role)
        return
    from tipward import web  # with its server: only when pages are served

    where = "0.0.0.0" if lan else "127.0.0.1"
    web.create_app(shop, lan, names)  # refuses before anything is announced
    click.echo(
        f"Tipward at http://{'<this machine>' if lan else '127.0.0.1'}:{port}/ (Ctrl+C ends it; nothing is lost)"
    )
    web.serve(shop, where, port, lan, names)


def _add(shop: tasks.Shop, name: str, role: str | None) -> None:
    from tipward import web

    role = role or ("technician" if tasks.list_accounts(shop) else "owner")
    password = click.prompt("Password (10 characters or more)", hide_input=True, confirmation_prompt=True)
    made = tasks.add_account(shop, name, web.hash_password(password), role)  # type: ignore[arg-type]
    click.echo(f"Account {made.name} ({made.role}) made. Start with: tipward serve --lan")
