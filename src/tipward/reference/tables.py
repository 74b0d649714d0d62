"""The one loader of reference tables: CSV files named after what they hold, every number with range, source and grade."""

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from tipward.foundation import NotKnownError, Sourced

FOLDER = Path(__file__).parent / "tables"
_FIXED = ("value", "low", "high", "unit", "source", "grade", "note")


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a table: its key columns as text, and its sourced number (None where the row holds words only)."""

    keys: Mapping[str, str]
    number: Sourced | None
    source: str
    grade: str
    note: str


@cache
def table(name: str) -> tuple[Row, ...]:
    """Load a reference table.

    Parameters
    ----------
    name : str
        File name without ``.csv``, for example ``path_ranges``.

    Returns
    -------
    tuple of Row
        Every row, in file order; numbers in the SI unit of their row.

    Raises
    ------
    NotKnownError
        No such table; the message lists what there is.
    ValueError
        A row without source or with an unknown grade.

    Source: the ``source`` column of each row (keys of sources.bib).

    >>> len(table("path_ranges")) > 0
    True
    """
    file = FOLDER / f"{name}.csv"
    if not file.is_file():
        known = ", ".join(sorted(path.stem for path in FOLDER.glob("*.csv")))
        raise NotKnownError(f"no table {name!r}; there are: {known}")
    with file.open(encoding="utf-8", newline="") as lines:
        return tuple(_row(row, file.name) for row in csv.DictReader(lines))


def _row(row: dict[str, str], file: str) -> Row:
    keys = {key: value for key, value in row.items() if key not in _FIXED}
    if not row.get("source") or not row.get("grade"):
        raise ValueError(f"{file}: row {keys} has no source or no grade")
    number = None
    if row.get("value"):
        number = Sourced(
            float(row["value"]),
            row["unit"],
            float(row.get("low") or row["value"]),
            float(row.get("high") or row["value"]),
            row["source"],
            row["grade"],
        )
    return Row(keys, number, row["source"], row["grade"], row.get("note") or "")


@cache
def sources() -> Mapping[str, str]:
    """Load the list of sources.

    Returns
    -------
    Mapping of str to str
        Source key → citation in one line.

    Raises
    ------
    Nothing.

    Source: sources.bib.

    >>> "common-practice" in sources()
    True
    """
    found: dict[str, str] = {}
    key = ""
    values: dict[str, str] = {}
    for line in (FOLDER.parent / "sources.bib").read_text("utf-8").splitlines():
        if line.startswith("@"):
            key, values = line.partition("{")[2].rstrip(",").strip(), {}
        elif "=" in line:
            name, _, value = line.partition("=")
            values[name.strip()] = value.strip().rstrip(",").strip("{}")
        elif line.startswith("}") and key:
            order = ("author", "title", "journal", "publisher", "year", "pages", "note")
            found[key] = ". ".join(values[name] for name in order if values.get(name)) + "."
    return found
