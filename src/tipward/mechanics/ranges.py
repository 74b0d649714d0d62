"""What is known about a field that nobody gave: the most specific row of the tables that fits the path."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from tipward.foundation import NotKnownError, Sourced
from tipward.model import FeedPath
from tipward.reference import Row, table

TABLES = ("wire_materials", "friction", "path_ranges")
DIRTY = ("dusty", "rusty", "greasy")
GROUPS = {"al-4043": "aluminium", "al-5356": "aluminium"}
# What a row may ask of a path, and what a match is worth: the exact name wins over the group.
EXACT, GROUP = 1.0, 0.9


@dataclass(frozen=True, slots=True)
class Range:
    """The range of one unknown field, and what its numbers are counted from (``basis``)."""

    number: Sourced
    basis: str


@cache
def _rows() -> Mapping[str, tuple[Row, ...]]:
    found: dict[str, list[Row]] = {}
    for row in (row for name in TABLES for row in table(name)):
        found.setdefault(row.keys["field"], []).append(row)
    return {field: tuple(rows) for field, rows in found.items()}


@cache
def _families() -> Mapping[str, str]:
    return {row.keys["wire_class"]: row.keys["family"] for row in table("wire_classes")}


def wire_family(wire_class: str | None) -> str:
    """Family of a wire class: which rows of the material and friction tables it takes.

    Parameters
    ----------
    wire_class : str or None
        Key of the table of wire classes, for example "er70s-6".

    Returns
    -------
    str
        For example "carbon steel"; "" where the class is unknown.

    Raises
    ------
    Nothing.

    Source: table wire_classes.

    >>> wire_family("er4043"), wire_family(None)
    ('al-4043', '')
    """
    return _families().get((wire_class or "").lower(), "")


def range_of(field: str, path: FeedPath, diameter_m: float | None = None) -> Range:
    """Range of an unknown field on this path: the most specific row of the tables that fits.

    Parameters
    ----------
    field : str
        Dotted field, for example ``liner.friction_1``, or one of the model's own unknowns, ``mechanics.…``.
    path : FeedPath
        The path: wire class and condition, liner, groove, spool and gun choose the row.
    diameter_m : float or None
        Wire diameter where the path does not give it [m].

    Returns
    -------
    Range
        Low, most likely and high value in the SI unit of the field, with source and grade.

    Raises
    ------
    NotKnownError
        No row of any table speaks of this field.

    Source: tables wire_materials, friction, path_ranges.

    >>> range_of("liner.friction_1", FeedPath()).number.value
    0.18
    """
    traits = _traits(path, diameter_m)
    scored = [(_score(row, traits), row) for row in _rows().get(field, ())]
    fitting = [(score, row) for score, row in scored if score is not None]
    if not fitting:
        raise NotKnownError(f"no row for {field!r} in tables {', '.join(TABLES)}; add one with its source")
    row = max(fitting, key=lambda pair: pair[0])[1]
    assert row.number is not None
    return Range(row.number, row.keys.get("basis", ""))


def _traits(path: FeedPath, diameter_m: float | None) -> dict[str, dict[str, float]]:
    family, condition = wire_family(path.wire.wire_class), path.wire.condition or ""
    return {
        "family": {family: EXACT, GROUPS.get(family, family): GROUP} | {family: EXACT},
        "liner": {path.liner.material or "": EXACT},
        "condition": {condition: EXACT} | ({"dirty": GROUP} if condition in DIRTY else {}),
        "groove": {path.drive_rolls.groove or "": EXACT},
        "spool": {path.spool.form or "": EXACT},
        "gun": {path.gun.kind: EXACT},
        "size": {"": path.wire.diameter_m or diameter_m or 0.0},
    }


def _score(row: Row, traits: Mapping[str, Mapping[str, float]]) -> float | None:
    """How specific a row is on this path, or None where it does not fit."""
    total = 0.0
    for key, have in traits.items():
        asked = row.keys.get(key, "")
        if asked and asked not in have:
            return None
        total += have.get(asked, 0.0) if asked else 0.0
    size = traits["size"][""]
    least, below = row.keys.get("wire_from_m", ""), row.keys.get("wire_below_m", "")
    if not least and not below:
        return total
    if not size or (least and size < float(least)) or (below and size >= float(below)):
        return None
    return total + EXACT
