"""The handle that every door passes to the tasks: a casebook with the catalogue that this shop uses."""

import math
from collections.abc import Sequence
from functools import cached_property
from pathlib import Path
from time import monotonic

from tipward.diagnosis import taught
from tipward.faults import Catalogue, load_catalogue
from tipward.model import Lesson
from tipward.records import Casebook, open_casebook
from tipward.tasks.lessons import counts_of, lessons_in_use

RELOOK_S = 30.0  # so long a running server may go on with the lessons that it knows


class Shop:
    """A casebook with the catalogue that this shop uses: the handle that every door passes to the tasks.

    The casebook is opened, and made where there is none, when it is first needed: what is refused writes nothing.
    ``plain`` is the catalogue as loaded, ``catalogue`` the same as the lessons in use teach it.
    """

    def __init__(self, casebook: str | Path, catalogue: Catalogue) -> None:
        self.casebook, self.plain = casebook, catalogue
        self._taught: dict[tuple[int, ...], Catalogue] = {(): catalogue}
        self._now, self._looked_at = catalogue, -math.inf

    @cached_property
    def book(self) -> Casebook:
        """The open casebook; RecordError where it cannot be opened."""
        return open_casebook(self.casebook)

    @property
    def catalogue(self) -> Catalogue:
        """The catalogue with the lessons in use; the same object until they change."""
        if monotonic() - self._looked_at > RELOOK_S and self.has_book():
            self._now = self.taught_by(lessons_in_use(self.book))
            self._looked_at = monotonic()
        return self._now

    def taught_by(self, lessons: Sequence[Lesson]) -> Catalogue:
        """The catalogue as these lessons teach it, made once."""
        key = tuple(lesson.id for lesson in lessons)
        if key not in self._taught:
            self._taught[key] = taught(self.plain, counts_of(lessons))
        return self._taught[key]

    def look_again(self) -> None:
        """Lessons have changed: read them at the next use."""
        self._looked_at = -math.inf

    def has_book(self) -> bool:
        """Whether there is a casebook already; asking for the catalogue makes none."""
        return "book" in self.__dict__ or "://" in str(self.casebook) or Path(self.casebook).is_file()


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
