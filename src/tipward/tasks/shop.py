"""The handle that every door passes to the tasks: a casebook with the catalogue that this shop uses."""

from collections.abc import Sequence
from functools import cached_property
from pathlib import Path

from tipward.faults import Catalogue, load_catalogue
from tipward.records import Casebook, open_casebook


class Shop:
    """A casebook with the catalogue that this shop uses: the handle that every door passes to the tasks.

    The casebook is opened, and made where there is none, when it is first needed: what is refused writes nothing.
    """

    def __init__(self, casebook: str | Path, catalogue: Catalogue) -> None:
        self.casebook, self.catalogue = casebook, catalogue

    @cached_property
    def book(self) -> Casebook:
        """The open casebook; RecordError where it cannot be opened."""
        return open_casebook(self.casebook)


def open_shop(casebook: str | Path, own: Sequence[Path] = ()) -> Shop:
    """Open the casebook of a shop, with its own catalogue files beside the shipped ones.

    Parameters
    ----------
    casebook : str or Path
        SQLite file (made where there is none) or PostgreSQL URL.
    own : sequence of Path
        The shop's own catalogue files.

    Returns
    -------
    Shop
        Handle for the other tasks.

    Raises
    ------
    CatalogueError
        Every problem of the catalogue files. A casebook that cannot be opened raises RecordError at its first use.

    Source: design (docs/decisions/0005).

    >>> import tempfile
    >>> shop = open_shop(Path(tempfile.mkdtemp()) / "book.db")
    >>> len(shop.catalogue.faults) > 25
    True
    """
    return Shop(casebook, load_catalogue(*own))
