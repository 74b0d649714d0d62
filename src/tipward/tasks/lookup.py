"""Looking up what the catalogue says, down to the line of the file in which each figure stands."""

from tipward.faults import facts, tables
from tipward.model import CatalogueEntry
from tipward.tasks.shop import Shop


def look_up(shop: Shop, name: str) -> CatalogueEntry:
    """Lay open one fault, check, action, complaint or caution of the catalogue.

    Parameters
    ----------
    shop : Shop
        The shop, with its own catalogue files.
    name : str
        Id, as it stands in brackets wherever a fault, check or action is shown.

    Returns
    -------
    CatalogueEntry
        Every figure with grade, reason, file and line.

    Raises
    ------
    NotKnownError
        No table of that id; near ids are named.

    Source: the catalogue.

    >>> import tempfile
    >>> from tipward.tasks.shop import open_shop
    >>> shop = open_shop(tempfile.mkdtemp() + "/book.db")
    >>> look_up(shop, "liner-dirty").lines[0].file
    'liner.toml'
    """
    return facts(shop.plain, name)


def list_catalogue(shop: Shop) -> tuple[tuple[str, str, str], ...]:
    """List everything in the catalogue that can be looked up.

    Parameters
    ----------
    shop : Shop
        The shop, with its own catalogue files.

    Returns
    -------
    tuple of (str, str, str)
        Kind, id and name; faults, checks, actions, complaints, cautions, set-ups, each in the order of the files.

    Raises
    ------
    Nothing.

    Source: the catalogue.

    >>> import tempfile
    >>> from tipward.tasks.shop import open_shop
    >>> len(list_catalogue(open_shop(tempfile.mkdtemp() + "/book.db"))) > 300
    True
    """
    return tuple(
        (kind, name, str(getattr(noun, "name", getattr(noun, "text", name))))
        for kind, table in tables(shop.plain).items()
        for name, noun in table.items()
    )
