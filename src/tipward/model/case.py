"""A case: one complaint about one feed path, as append-only pages. A new page makes a new case."""

from dataclasses import dataclass, replace
from datetime import datetime
from typing import Annotated, Literal

from annotated_types import Ge, Le

from tipward.model.path import FeedPath

LEAST_RATE, MOST_RATE = 1.0, 1e6  # money an hour


@dataclass(frozen=True, slots=True)
class Place:
    """Where the technician works, what is at hand and what time is worth there; the plan keeps within it.

    Nothing is assumed to be at hand. ``work_per_hour`` is what an hour of the technician costs, ``standstill_per_hour``
    what an hour of the standing machine costs the customer, in the shop's currency; ValueError where they are no amounts.
    """

    at: Literal["phone", "counter", "machine"] = "machine"
    tools: tuple[str, ...] = ()
    spares: tuple[str, ...] = ()
    qualified: bool = False
    work_per_hour: Annotated[float, Ge(LEAST_RATE), Le(MOST_RATE)] = 60.0
    standstill_per_hour: Annotated[float, Ge(0), Le(MOST_RATE)] = 0.0

    def __post_init__(self) -> None:
        if not (LEAST_RATE <= self.work_per_hour <= MOST_RATE and 0.0 <= self.standstill_per_hour <= MOST_RATE):
            raise ValueError(
                f"an hour of work costs {LEAST_RATE:.0f} to {MOST_RATE:.0f}, an hour of standstill 0 to as much"
            )

    @property
    def money_per_minute(self) -> float:
        """What a minute costs, work and standstill together."""
        return (self.work_per_hour + self.standstill_per_hour) / 60


@dataclass(frozen=True, slots=True)
class Opened:
    """First page: whose rig, which path, what the customer says (complaint ids and own words), where and with what."""

    path: FeedPath
    complaints: tuple[str, ...]
    place: Place = Place()
    words: str = ""
    rig: str = ""
    customer: str = ""
    kind: Literal["opened"] = "opened"


@dataclass(frozen=True, slots=True)
class Finding:
    """One observation: an outcome of a check, or the readings of a measured check (SI), with who looked.

    ``check`` is a check id; ``outcome`` an outcome id of that check ("" for readings); several ``readings`` are
    repeats.
    """

    check: str
    outcome: str = ""
    readings: tuple[float, ...] = ()
    by: Literal["technician", "customer", "qualified", "declared"] = "technician"
    note: str = ""
    kind: Literal["finding"] = "finding"


@dataclass(frozen=True, slots=True)
class Cannot:
    """A check or action that cannot be done here: no evidence, and it is not proposed again."""

    what: str
    why: str = ""
    kind: Literal["cannot"] = "cannot"


@dataclass(frozen=True, slots=True)
class TakenBack:
    """The page with this sequence number no longer counts."""

    sequence: int
    why: str = ""
    kind: Literal["taken back"] = "taken back"


@dataclass(frozen=True, slots=True)
class Repair:
    """An action that was carried out; ``path`` is the path afterwards where it changed a part."""

    action: str
    minutes: float | None = None
    cost: float | None = None
    path: FeedPath | None = None
    note: str = ""
    kind: Literal["repair"] = "repair"


@dataclass(frozen=True, slots=True)
class Moved:
    """The work goes on at another place or with other tools."""

    place: Place
    kind: Literal["moved"] = "moved"


@dataclass(frozen=True, slots=True)
class ProofTest:
    """Readings of the proof, by target id (SI; 1 or 0 for yes or no)."""

    readings: tuple[tuple[str, tuple[float, ...]], ...]
    kind: Literal["proof"] = "proof"


@dataclass(frozen=True, slots=True)
class Closed:
    """The end of the case: "proved", "service", "held" or "open end" (closed without proof, and why)."""

    how: Literal["proved", "service", "held", "open end"]
    note: str = ""
    kind: Literal["closed"] = "closed"


Entry = Opened | Finding | Cannot | TakenBack | Repair | Moved | ProofTest | Closed


@dataclass(frozen=True, slots=True)
class Page:
    """One page of a case: unique by (case, sequence), with a key that makes writing it twice harmless."""

    sequence: int
    key: str
    at: datetime
    entry: Entry
    author: str = ""


@dataclass(frozen=True, slots=True)
class Case:
    """All pages of a case in order. Frozen: adding a page makes a new case."""

    id: str
    pages: tuple[Page, ...] = ()

    def live(self) -> tuple[Page, ...]:
        """Pages that still count: those taken back, and the taking back itself, are left out.

        >>> Case("c").live()
        ()
        """
        back = {page.entry.sequence for page in self.pages if isinstance(page.entry, TakenBack)}
        return tuple(page for page in self.pages if page.sequence not in back and not isinstance(page.entry, TakenBack))

    def with_page(self, page: Page) -> "Case":
        """The case with one page more; a page whose key is already there changes nothing.

        >>> Case("c").with_page(Page(1, "k", datetime(2026, 1, 1), Cannot("look-hub"))).with_page(
        ...     Page(2, "k", datetime(2026, 1, 1), Cannot("look-hub"))).pages[-1].sequence
        1
        """
        if any(known.key == page.key for known in self.pages):
            return self
        return replace(self, pages=(*self.pages, page))

    def opened(self) -> Opened:
        """The first page.

        >>> Case("c").opened()
        Traceback (most recent call last):
        ...
        ValueError: case c has no first page
        """
        for page in self.pages:
            if isinstance(page.entry, Opened):
                return page.entry
        raise ValueError(f"case {self.id} has no first page")

    def path(self) -> FeedPath:
        """The feed path as it is now: as opened, or as the last repair left it."""
        path = self.opened().path
        for page in self.live():
            if isinstance(page.entry, Repair) and page.entry.path is not None:
                path = page.entry.path
        return path

    def place(self) -> Place:
        """Where the work goes on now."""
        place = self.opened().place
        for page in self.live():
            if isinstance(page.entry, Moved):
                place = page.entry.place
        return place

    def closed(self) -> Closed | None:
        """How the case ended, or None while it is open."""
        for page in reversed(self.live()):
            if isinstance(page.entry, Closed):
                return page.entry
        return None
