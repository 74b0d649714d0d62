"""The loader: every TOML file of a folder (and a shop's own files) into one catalogue; all errors at once, with their place."""

import tomllib
from collections.abc import Callable, Iterable, Iterator
from functools import cache
from pathlib import Path
from typing import Any

from pydantic import TypeAdapter, ValidationError

from tipward.faults.blocks import Block, blocks
from tipward.faults.catalogue import Catalogue
from tipward.faults.nouns import Action, Caution, Check, Complaint, Fault, SetUp, Shows, Synonym
from tipward.faults.sense import cross_problems
from tipward.foundation import CatalogueError, Problem

SHIPPED = Path(__file__).parent / "catalogue"
_KINDS: dict[str, Any] = {
    "fault": Fault,
    "check": Check,
    "action": Action,
    "complaint": Complaint,
    "caution": Caution,
    "set_up": SetUp,
    "synonym": Synonym,
}
_ADAPTERS: dict[str, TypeAdapter[Any]] = {}


def load_catalogue(*own: Path) -> Catalogue:
    """Load the shipped catalogue, with a shop's own files beside it.

    Parameters
    ----------
    *own : Path
        TOML files of the shop; a table there with an id of the shipped catalogue replaces it.

    Returns
    -------
    Catalogue
        Checked as a whole.

    Raises
    ------
    CatalogueError
        Every problem with file, table id and key.

    Source: design (docs/decisions/0006).

    >>> "liner-dirty" in load_catalogue().faults
    True
    """
    return _load(tuple(own))


@cache
def _load(own: tuple[Path, ...]) -> Catalogue:
    return build_catalogue(_files(sorted(SHIPPED.glob("*.toml"))), _files(own))


def _files(paths: Iterable[Path]) -> Iterator[tuple[str, str]]:
    for path in paths:
        try:
            yield path.name, path.read_text("utf-8")
        except (OSError, UnicodeDecodeError) as problem:
            what = "is not UTF-8" if isinstance(problem, UnicodeDecodeError) else "cannot be read"
            raise CatalogueError("catalogue", [Problem(path.name, what, "check the file")]) from None


def build_catalogue(shipped: Iterable[tuple[str, str]], own: Iterable[tuple[str, str]] = ()) -> Catalogue:
    """Build a catalogue from the texts of its files.

    Parameters
    ----------
    shipped : iterable of (str, str)
        File name and TOML text; ids must be unique over all of them.
    own : iterable of (str, str)
        The same for a shop's own files, whose tables add to or replace those shipped.

    Returns
    -------
    Catalogue
        Checked as a whole.

    Raises
    ------
    CatalogueError
        Every problem with file, table id and key.

    Source: design (docs/decisions/0006).

    >>> build_catalogue([("x.toml", '[[caution]]\\nid = "eyes"\\ntext = "Eye protection."\\nsource = "cp"')]).cautions["eyes"].text
    'Eye protection.'
    """
    tables: dict[str, dict[str, Any]] = {kind: {} for kind in _KINDS}
    places: dict[str, str] = {}
    standing: dict[str, Block] = {}
    problems: list[Problem] = []
    for layer, replaces in ((shipped, False), (own, True)):
        seen: set[tuple[str, str]] = set()
        for name, text in layer:
            standing |= blocks(name, text)
            for kind, key, noun in _tables(name, text, problems):
                if (kind, key) in seen or (key in tables[kind] and not replaces):
                    problems.append(Problem(f"{name}: {kind} {key}: id", "is a duplicate", "give it another id"))
                seen.add((kind, key))
                tables[kind][key] = noun
                places[f"{kind} {key}"] = name
    catalogue = Catalogue(
        tables["fault"],
        tables["check"],
        tables["action"],
        tables["complaint"],
        tables["caution"],
        tables["set_up"],
        tuple(tables["synonym"].values()),
        _shown(tables["fault"], tables["check"]),
        places,
        standing,
    )
    problems += cross_problems(catalogue)
    if problems:
        raise CatalogueError("catalogue", problems)
    return catalogue


def _tables(name: str, text: str, problems: list[Problem]) -> Iterator[tuple[str, str, Any]]:
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as problem:
        problems.append(Problem(name, f"is not TOML: {problem}", "mend that line"))
        return
    for kind, rows in data.items():
        if kind not in _KINDS or not isinstance(rows, list):
            problems.append(Problem(f"{name}: {kind}", "is no table of the catalogue", f"use {', '.join(_KINDS)}"))
            continue
        for index, row in enumerate(rows):
            key = str(row.get("id", row.get("word", f"number {index + 1}")))
            noun = _noun(kind, row, f"{name}: {kind} {key}", problems)
            if noun is not None:
                yield kind, key, noun


def _noun(kind: str, row: Any, where: str, problems: list[Problem]) -> Any:
    if kind not in _ADAPTERS:
        _ADAPTERS[kind] = TypeAdapter(_KINDS[kind])
    try:
        return _ADAPTERS[kind].validate_python(row)
    except ValidationError as refused:
        for error in refused.errors():
            key = ".".join(str(step) for step in error["loc"])
            what = error["msg"][0].lower() + error["msg"][1:]
            problems.append(Problem(f"{where}: {key}", what, "see docs/how-to/own-faults.md"))
        return None


def _shown(faults: dict[str, Fault], checks: dict[str, Check]) -> dict[str, dict[str, dict[str, float]]]:
    """Gather what each check says about each fault, from the checks' side and the faults' side."""
    shown: dict[str, dict[str, dict[str, float]]] = {check: {} for check in checks}
    named: Callable[[Shows], bool] = lambda item: item.fault is not None  # noqa: E731
    for check in checks.values():
        for item in sorted(check.shows, key=named):  # stations first, so that a named fault overrides
            targets = [item.fault] if item.fault else [f.id for f in faults.values() if f.station in item.stations]
            for fault in targets:
                shown[check.id][fault] = dict(item.outcomes)
    for fault_ in faults.values():
        for check_id, outcomes in fault_.shown_by.items():
            shown.setdefault(check_id, {})[fault_.id] = dict(outcomes)
    return shown
