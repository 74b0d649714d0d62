"""Guided tasks beside the case: a change of wire as a walk, healthy readings of a rig, an inspection without a complaint."""

from dataclasses import dataclass
from typing import Literal

from tipward.model.budget import Band, Mismatch
from tipward.model.judgement import CaseView, Fix, Suspicion
from tipward.model.path import FeedPath

Standing = Literal["must change", "set anew", "look", "stays"]


@dataclass(frozen=True, slots=True)
class ChangeLine:
    """One part in a change of wire: what is there, what the new wire wants, why, and whether it must change.

    "look" is a part about which nothing is known: look, and change it where it does not suit.
    """

    part: str
    now: str
    wanted: str
    standing: Standing
    reason: str
    grade: str
    source: str


@dataclass(frozen=True, slots=True)
class BaselineReading:
    """One measured check of a healthy rig: the band a healthy path of these parts reads (SI), and what was read.

    ``healthy`` is None while nothing is read.
    """

    check: str
    name: str
    unit: str
    expected: Band
    readings: tuple[float, ...] = ()
    healthy: bool | None = None


@dataclass(frozen=True, slots=True)
class WalkStep:
    """One step of a change of wire, with its parts, its cautions, and the reading that it takes, if any."""

    id: str
    title: str
    instructions: str
    cautions: tuple[str, ...]
    lines: tuple[ChangeLine, ...] = ()
    measured: BaselineReading | None = None
    tools: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class WireWalk:
    """A change of wire from beginning to end: parts, steps in order, the path when all is done, push [N] at each stage.

    ``kept_n`` is the push of the new wire through the parts as they are; ``left`` is what still does not match when
    all steps are done.
    """

    before: FeedPath
    after: FeedPath
    steps: tuple[WalkStep, ...]
    before_n: Band
    kept_n: Band
    after_n: Band
    left: tuple[Mismatch, ...]

    def lines(self) -> tuple[ChangeLine, ...]:
        """All parts, in the order of the walk.

        >>> WireWalk(FeedPath(), FeedPath(), (), *(Band(1, 2, 3),) * 3, ()).lines()
        ()
        """
        return tuple(line for step in self.steps for line in step.lines)


@dataclass(frozen=True, slots=True)
class Look:
    """One look of an inspection; the first outcome is the normal one."""

    check: str
    name: str
    station: str
    instructions: str
    minutes: float
    tools: tuple[str, ...]
    outcomes: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class LookGroup:
    """Looks that share their set-ups: what to do first, what to put back, the cautions of all of them."""

    set_up: tuple[str, ...]
    first: tuple[str, ...]
    put_back: tuple[str, ...]
    cautions: tuple[str, ...]
    looks: tuple[Look, ...]


@dataclass(frozen=True, slots=True)
class Round:
    """What is left to look at, group by group, and what cannot be looked at here with the reason."""

    groups: tuple[LookGroup, ...]
    left_out: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Found:
    """One look whose outcome was not the normal one."""

    check: str
    name: str
    station: str
    says: str


@dataclass(frozen=True, slots=True)
class Inspected:
    """What an inspection came to: what was found, what to mend, what to look at more closely."""

    view: CaseView
    looked: int
    found: tuple[Found, ...]
    mend: tuple[Fix, ...]
    closer: tuple[Suspicion, ...]
    left_out: tuple[tuple[str, str], ...]
