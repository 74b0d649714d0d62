"""One table of the catalogue laid open: every figure with its grade, its reason, its file and its line."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class CatalogueLine:
    """One statement: what it says, its probability [1] where it is one, how sure, why, and where it stands.

    ``line`` is 0 where the table was not read from a file; ``about`` is the id of the other table that it names.
    """

    what: str
    value: str
    probability: float | None = None
    grade: str = ""
    reason: str = ""
    file: str = ""
    line: int = 0
    about: str = ""


@dataclass(frozen=True, slots=True)
class CatalogueEntry:
    """Everything that the catalogue says about one fault, check, action, complaint or caution."""

    kind: str
    id: str
    name: str
    text: str
    lines: tuple[CatalogueLine, ...] = ()
