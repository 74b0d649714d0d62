"""How a rule answers: does not match, fits, or cannot be judged for want of a field."""

from collections.abc import Iterable
from dataclasses import dataclass

from tipward.foundation import Sourced
from tipward.matching.kinds import WireKind
from tipward.model import Mismatch
from tipward.reference import Row, table


@dataclass(frozen=True, slots=True)
class Fits:
    """Two parts that suit each other, in words, and who says so."""

    text: str
    source: str


@dataclass(frozen=True, slots=True)
class NotJudged:
    """What could not be judged, and which field would settle it."""

    text: str


@dataclass(frozen=True, slots=True)
class Grounds:
    """What a rule rests on where no table row states it."""

    source: str
    grade: str


PRACTICE = Grounds("common-practice", "common practice")
GEOMETRY = Grounds("own-derivation", "derivation")

Verdict = Mismatch | Fits | NotJudged


def number(name: str, **keys: str) -> Sourced:
    """The one number of a table row with these keys.

    >>> number("brakes", rule="overrun most").value
    0.02
    """
    found = [row.number for row in table(name) if all(row.keys[key] == value for key, value in keys.items())]
    if len(found) != 1 or found[0] is None:
        raise LookupError(f"table {name} has {len(found)} rows for {keys}")
    return found[0]


def rows_for(name: str, kind: WireKind) -> tuple[Row, ...]:
    """Rows of a table of standings that speak of this kind of wire.

    >>> from tipward.matching.kinds import known
    >>> {row.keys["groove"] for row in rows_for("grooves", known("er4043")) if row.keys["standing"] == "best"}
    {'u'}
    """
    return tuple(row for row in table(name) if row.keys["metal"] in {"", kind.metal} and row.keys["form"] == kind.form)


def standing(name: str, kind: WireKind, column: str, value: str) -> Row | None:
    """The row that says how one choice stands with this kind of wire.

    >>> from tipward.matching.kinds import known
    >>> standing("grooves", known("er4043"), "groove", "knurled").keys["standing"]
    'wrong'
    """
    return next((row for row in rows_for(name, kind) if row.keys[column] == value), None)


def best(rows: Iterable[Row]) -> tuple[Row, ...]:
    """The rows to recommend.

    >>> from tipward.matching.kinds import known
    >>> [row.keys["groove"] for row in best(rows_for("grooves", known("e71t-11")))]
    ['knurled']
    """
    return tuple(row for row in rows if row.keys["standing"] == "best")


def reliability(grade: str, *doubts: str) -> float:
    """How far a rule of this grade can be trusted, each doubt lowering it.

    >>> reliability("standard") > reliability("common practice") > reliability("common practice", "doubtful")
    True
    """
    trust = number("reliability", of=f"grade {grade}").value
    for doubt in doubts:
        trust *= number("reliability", of=doubt).value
    return round(trust, 3)


def wrong(
    fault: str,
    station: str,
    what: str,
    reason: str,
    fix: str,
    by: Row | Sourced | WireKind | Grounds,
    *doubts: str,
) -> Mismatch:
    """A mismatch whose grade and source are those of what it rests on.

    >>> wrong("groove-small", "drive-rolls", "too small", "because", "change it", PRACTICE).reliability
    0.85
    """
    trust = reliability(by.grade, *doubts)
    return Mismatch(fault, station, what, reason, fix, by.grade, by.source, trust)
