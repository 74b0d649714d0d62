"""The casebook: cases as append-only pages, and the rigs they belong to."""

from collections.abc import Mapping
from datetime import datetime
from types import TracebackType
from typing import Self

from tipward.model import Baseline, Case, CaseRow, Entry, Opened, Rig
from tipward.records import listing, pages, rigs
from tipward.records.store import Store


class Casebook:
    """All cases and rigs of a shop. Whatever a method accepted is on disk before it returns.

    >>> from tipward.model import FeedPath
    >>> from tipward.records import open_casebook
    >>> with open_casebook(":memory:") as casebook:
    ...     case = casebook.new_case(Opened(FeedPath(), ("burns-back",)), key="tap-1")
    ...     len(casebook.case(case.id).pages)
    1
    """

    def __init__(self, store: Store) -> None:
        self.store = store

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, problem: BaseException | None, where: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the database; nothing is left to save."""
        self.store.close()

    def new_case(self, entry: Opened, key: str, author: str = "") -> Case:
        """Open a case; the same key again gives the same case.

        Raises InputError where the entry cannot be kept.
        """
        return pages.new_case(self.store, entry, key, author)

    def append(self, case_id: str, entry: Entry, key: str, author: str = "", after: int | None = None) -> Case:
        """Add one page at the end; a key that this case knows already changes nothing.

        ``after`` is the last sequence number the writer saw. Raises ConflictError (its ``since`` holds the pages)
        where more came in the meantime, NotKnownError without such a case, InputError where it cannot be kept.
        """
        return pages.append(self.store, case_id, entry, key, author, after)

    def case(self, case_id: str) -> Case:
        """A case by its id, or by the beginning of it where only one case begins so; else NotKnownError."""
        return listing.case(self.store, case_id)

    def cases(self, open_only: bool = False, rig: str | None = None, limit: int = 200) -> tuple[CaseRow, ...]:
        """One line per case, newest first."""
        return listing.cases(self.store, open_only, rig, limit)

    def save_rig(self, rig: Rig) -> None:
        """Keep a rig; one with the same id is replaced."""
        rigs.save_rig(self.store, rig)

    def rig(self, rig_id: str) -> Rig:
        """A rig by its id; NotKnownError lists what there is."""
        return rigs.rig(self.store, rig_id)

    def rigs(self) -> tuple[Rig, ...]:
        """All rigs, by id."""
        return rigs.rigs(self.store)

    def save_baseline(self, rig_id: str, readings: Mapping[str, float], at: datetime) -> None:
        """Keep the readings (SI) of a rig that is healthy."""
        rigs.save_baseline(self.store, rig_id, readings, at)

    def baselines(self, rig_id: str) -> tuple[Baseline, ...]:
        """All baselines of a rig, oldest first."""
        return rigs.baselines(self.store, rig_id)
