"""What doors show beside a case: told pages, choices, a rig with its past, gains, a change of wire, counts."""

from dataclasses import dataclass
from datetime import datetime

from tipward.model.budget import Band, Fit, ForceBudget
from tipward.model.judgement import Rig
from tipward.model.keeping import Baseline, CaseRow
from tipward.model.path import FeedPath


@dataclass(frozen=True, slots=True)
class LinePicture:
    """The line of a path: standing and lying drawing (SVG), its table twin, and the budget behind both."""

    upright: str
    wide: str
    rows: tuple[tuple[str, str, str, str], ...]
    budget: ForceBudget


@dataclass(frozen=True, slots=True)
class ToldPage:
    """One page of a case in words: what it is about, what it says, and whether it still counts."""

    sequence: int
    at: datetime
    author: str
    kind: str
    about: str
    says: str
    note: str
    counts: bool
    may_be_taken_back: bool


@dataclass(frozen=True, slots=True)
class Choices:
    """What can be chosen when a case opens: complaints by id and name, tools, spares, wire classes."""

    complaints: tuple[tuple[str, str], ...]
    tools: tuple[str, ...]
    spares: tuple[str, ...]
    wire_classes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class RigView:
    """A rig with its healthy baselines (oldest first) and its cases (newest first)."""

    rig: Rig
    baselines: tuple[Baseline, ...]
    cases: tuple[CaseRow, ...]


@dataclass(frozen=True, slots=True)
class Gain:
    """What one change of a path is worth: push at the rolls before and after [N], and what it saves at the middle [N].

    ``margin_before`` and ``margin_after`` are the margin of the limit that bites first; ``objections`` are the
    mismatches that the change would bring in.
    """

    change: str
    text: str
    before_n: Band
    after_n: Band
    saves_n: float
    margin_before: float
    margin_after: float
    path: FeedPath
    marks: tuple[str, ...] = ()
    objections: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class WireStep:
    """One line of a change of wire: the part, what is there, what this wire wants, why, with its grade."""

    part: str
    now: str
    wanted: str
    reason: str
    grade: str
    must_change: bool


@dataclass(frozen=True, slots=True)
class WireChange:
    """A change of wire: what must change, how the parts fit as they are, push before and after [N]."""

    before: FeedPath
    after: FeedPath
    fit: Fit
    steps: tuple[WireStep, ...]
    before_n: Band
    after_n: Band
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CauseCount:
    """How often a cause was behind a proved case of this shop."""

    fault: str
    name: str
    station: str
    cases: int


@dataclass(frozen=True, slots=True)
class HowOften:
    """Of the ``of`` causes said to be about this likely, how many were there by what the whole case showed (soft count)."""

    low: float
    high: float
    said: float
    found: float
    of: int


@dataclass(frozen=True, slots=True)
class Learned:
    """What the closed cases of a shop say: how they ended, which causes were behind them, how well the odds held."""

    endings: tuple[tuple[str, int], ...]
    causes: tuple[CauseCount, ...]
    calibration: tuple[HowOften, ...]
