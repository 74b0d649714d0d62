"""Nouns to plain data and back: the same JSON for file, page, report and stored row."""

import math
from collections.abc import Mapping
from dataclasses import asdict
from datetime import UTC, datetime
from functools import cache
from typing import Any, TypeVar

from pydantic import TypeAdapter, ValidationError
from pydantic_core import to_jsonable_python

from tipward.foundation import InputError, Problem
from tipward.model.case import Entry, Finding, Opened, Repair
from tipward.model.setup import build_path, path_to_data

Noun = TypeVar("Noun")


@cache
def _adapter(kind: Any) -> TypeAdapter[Any]:
    return TypeAdapter(kind)


def entry_to_data(entry: Entry) -> dict[str, Any]:
    """Turn one entry of a case into plain data.

    Parameters
    ----------
    entry : Entry
        Opened, Finding, Cannot, TakenBack, Repair, Moved, ProofTest or Closed.

    Returns
    -------
    dict
        JSON-ready; feed paths as in a set-up file.

    Raises
    ------
    Nothing.

    Source: design (docs/decisions/0005).

    >>> from tipward.model.case import Finding
    >>> entry_to_data(Finding("look-hub", "loose"))["outcome"]
    'loose'
    """
    data = asdict(entry)
    if isinstance(entry, Finding):
        data["readings"] = tuple(map(_finite, entry.readings))
    if isinstance(entry, Opened | Repair) and entry.path is not None:
        data["path"] = path_to_data(entry.path)
    return data


def _finite(value: float) -> float | str:
    """JSON has no infinity: a wire that would not move at all is kept as the text "inf", which reads back."""
    return "inf" if value == math.inf else value


def entry_from_data(data: Mapping[str, Any]) -> Entry:
    """Read one entry of a case back from plain data.

    Parameters
    ----------
    data : Mapping
        As ``entry_to_data`` gives it; ``kind`` says which entry it is.

    Returns
    -------
    Entry
        The noun.

    Raises
    ------
    InputError
        Every field that does not fit.

    Source: design (docs/decisions/0005).

    >>> entry_from_data({"kind": "cannot", "what": "look-hub"}).what
    'look-hub'
    """
    plain = dict(data)
    if isinstance(plain.get("path"), Mapping):
        plain["path"] = build_path(dict(plain["path"]), "path")
    entry: Entry = _read(Entry, plain, "page")
    return entry


def read_noun(kind: type[Noun], data: Any, name: str) -> Noun:
    """Read any noun from plain data, all bad fields at once.

    Parameters
    ----------
    kind : type
        Dataclass of the noun, or a union of them.
    data : object
        Plain data.
    name : str
        What error messages call it.

    Returns
    -------
    object
        The noun.

    Raises
    ------
    InputError
        Every field that does not fit.

    Source: design (docs/decisions/0005).

    >>> from tipward.model.budget import Band
    >>> read_noun(Band, {"low": 1, "mid": 2, "high": 3}, "band").high
    3.0
    """
    noun: Noun = _read(kind, data, name)
    return noun


def _read(kind: Any, data: Any, name: str) -> Any:
    try:
        return _adapter(kind).validate_python(data)
    except ValidationError as refused:
        problems = [
            Problem(".".join(str(step) for step in error["loc"]) or name, error["msg"].lower(), "correct it")
            for error in refused.errors()
        ]
        raise InputError(name, problems) from None


def to_data(noun: Any) -> Any:
    """Turn any noun into JSON-ready data.

    Parameters
    ----------
    noun : object
        Dataclass, or list or tuple of them.

    Returns
    -------
    object
        dict, list, text, number, bool or None.

    Raises
    ------
    Nothing.

    Source: design (docs/decisions/0005).

    >>> from tipward.model.budget import Band
    >>> to_data(Band(1.0, 2.0, 3.0))
    {'low': 1.0, 'mid': 2.0, 'high': 3.0}
    """
    return to_jsonable_python(noun, inf_nan_mode="null")


def now() -> datetime:
    """The time now, UTC, to the millisecond.

    Returns
    -------
    datetime
        With its time zone.

    Raises
    ------
    Nothing.

    Source: design.

    >>> now().tzinfo is not None
    True
    """
    moment = datetime.now(UTC)
    return moment.replace(microsecond=moment.microsecond // 1000 * 1000)
