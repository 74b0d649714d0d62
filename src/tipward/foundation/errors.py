"""The error family.

TipwardError
├── InputError (ValueError)        something that came in is wrong; lists every problem
│   ├── SetupError                 a set-up file or form
│   └── CatalogueError             the catalogue of faults, checks and actions
├── RangeError (ValueError)        a value outside the validity range of a relation
├── NotKnownError (LookupError)    a key, case, rig or check that does not exist
├── ConflictError (RuntimeError)   somebody else changed it first
└── RecordError (RuntimeError)     the casebook cannot be read or written
"""

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing that is wrong, where it is, and what to do about it.

    >>> str(Problem("wire.diameter", "is not a length", "write it with its unit, as in 0.9 mm"))
    'wire.diameter: is not a length; write it with its unit, as in 0.9 mm'
    """

    where: str
    what: str
    next_step: str

    def __str__(self) -> str:
        return f"{self.where}: {self.what}; {self.next_step}"


class TipwardError(Exception):
    """The root of everything that Tipward raises on purpose."""


class InputError(TipwardError, ValueError):
    """Something that came in cannot be used; every problem is listed, none is guessed away.

    >>> InputError("set-up", [Problem("wire.size", "is unknown", "remove it")]).problems[0].where
    'wire.size'
    """

    def __init__(self, source: str, problems: Iterable[Problem]) -> None:
        self.source = source
        self.problems = tuple(problems)
        lines = "\n".join(f"  - {problem}" for problem in self.problems)
        count = "1 problem" if len(self.problems) == 1 else f"{len(self.problems)} problems"
        super().__init__(f"{source}: {count}\n{lines}")


class SetupError(InputError):
    """A set-up file or form cannot be used."""


class CatalogueError(InputError):
    """The catalogue of faults, checks and actions contradicts itself."""


class RangeError(TipwardError, ValueError):
    """A value lies outside the range in which a relation holds; names the limit and its source."""

    def __init__(self, name: str, value: float, limit: str, source: str) -> None:
        self.name, self.value, self.limit, self.source = name, value, limit, source
        super().__init__(f"{name} = {value:g} is outside {limit} ({source}); correct it, or ask for extrapolation")


class NotKnownError(TipwardError, LookupError):
    """A key that names nothing; the message lists what there is."""


class ConflictError(TipwardError, RuntimeError):
    """Somebody else wrote first; read again and repeat. ``since`` holds what came in between."""

    def __init__(self, message: str, since: Iterable[object] = ()) -> None:
        self.since = tuple(since)
        super().__init__(message)


class RecordError(TipwardError, RuntimeError):
    """The casebook cannot be read or written."""
