"""What comes in from people: place and tools, readings with units, page texts."""

import math
import re
from collections.abc import Iterable, Sequence
from typing import Literal

from tipward.foundation import InputError, Problem, read_quantity, show_quantity
from tipward.model import (
    LEAST_RATE,
    MOST_RATE,
    Cannot,
    Closed,
    Finding,
    Moved,
    Opened,
    Page,
    Place,
    Proof,
    ProofTest,
    Repair,
    TakenBack,
)
from tipward.tasks.choices import usual_rate
from tipward.tasks.shop import Shop

AMOUNT = re.compile(r"\d{1,7}([.,]\d{1,2})?")  # 1,200 might mean 1.2 or 1200: it is asked again
STUCK = {"stuck", "would not move", "inf"}


def place(
    shop: Shop,
    at: Literal["phone", "counter", "machine"] | str,
    tools: str,
    spares: str,
    qualified: bool,
    work_per_hour: str | float = "",
    standstill_per_hour: str | float = "",
) -> Place:
    """Read where the work is done, what is at hand and what time is worth there.

    Parameters
    ----------
    shop : Shop
        The shop, whose catalogue names the tools and spares.
    at : str
        phone, counter or machine.
    tools, spares : str
        Names separated by commas; "all" for everything; empty for nothing.
    qualified : bool
        A qualified person is here.
    work_per_hour, standstill_per_hour : str or float
        What an hour of work costs the shop and an hour of the standing machine its customer, in the shop's currency;
        as people write it ("85", "85,50") or as a number; "" for what the shop's newest case said and for no standstill.

    Returns
    -------
    Place
        The place.

    Raises
    ------
    InputError
        Unknown place, tool or spare, a rate that is no number; all are named.

    Source: design.

    >>> import tempfile
    >>> from pathlib import Path
    >>> from tipward.tasks.shop import open_shop
    >>> shop = open_shop(Path(tempfile.mkdtemp()) / "book.db")
    >>> place(shop, "machine", "spring scale", "", False).tools
    ('spring scale',)
    """
    checks = shop.catalogue.checks.values()
    problems: list[Problem] = []
    if at not in {"phone", "counter", "machine"}:
        problems.append(Problem("at", f"{at!r} is no place", "phone, counter or machine"))
    chosen_tools = _chosen("tools", tools, {tool for check in checks for tool in check.tools}, problems)
    chosen_spares = _chosen("spares", spares, {spare for check in checks for spare in check.spares}, problems)
    work = None if _left_out(work_per_hour) else _rate("work_per_hour", work_per_hour, LEAST_RATE, problems)
    idle = 0.0 if _left_out(standstill_per_hour) else _rate("standstill_per_hour", standstill_per_hour, 0.0, problems)
    if problems:
        raise InputError("place", problems)
    rates = usual_rate(shop) if work is None else work, idle
    return Place(at, chosen_tools, chosen_spares, qualified, *rates)  # type: ignore[arg-type]


def _left_out(said: str | float) -> bool:
    return isinstance(said, str) and not said.strip()


def _rate(where: str, said: str | float, least: float, problems: list[Problem]) -> float:
    """Money per hour; what cannot be read is added to the problems."""
    if isinstance(said, str):
        read = AMOUNT.fullmatch(said.strip())
        value = float(read[0].replace(",", ".")) if read else math.nan
    else:
        value = said
    if not least <= value <= MOST_RATE:
        next_step = f"a number from {least:.0f} to {MOST_RATE:.0f}, as 85 or 85.50; without thousands marks"
        problems.append(Problem(where, f"{str(said)[:20]!r} is no amount an hour", next_step))
    return value


def _chosen(where: str, said: str, known: set[str], problems: list[Problem]) -> tuple[str, ...]:
    if said.strip().lower() == "all":
        return tuple(sorted(known))
    names = [name.strip() for name in said.split(",") if name.strip()]
    by_lower = {name.lower(): name for name in known}
    for name in names:
        if name.lower() not in by_lower:
            problems.append(Problem(where, f"{name!r} is not known", f"one of {', '.join(sorted(known))}"))
    return tuple(sorted({by_lower[name.lower()] for name in names if name.lower() in by_lower}))


def read_readings(text: str, unit: str) -> tuple[float, ...]:
    """Read one or several readings, separated by semicolons.

    Parameters
    ----------
    text : str
        As "12 N; 13 N", "0.98; 0.99; 1.0", "96 %" or "stuck".
    unit : str
        SI unit of the check.

    Returns
    -------
    tuple of float
        Readings [unit]; infinite where it would not move.

    Raises
    ------
    InputError
        Every reading that cannot be read.

    Source: design.

    >>> read_readings("12 N; 2.7 lbf", "N")
    (12.0, 12.0101983612)
    """
    values, problems = [], []
    for number, part in enumerate(text.split(";"), 1):
        if part.strip().lower() in STUCK:
            values.append(float("inf"))
            continue
        try:
            values.append(read_quantity(part, unit))
        except ValueError as problem:
            what, _, step = str(problem).partition("; ")
            problems.append(Problem(f"reading {number}", what, step or "write number and unit"))
    if problems:
        raise InputError("readings", problems)
    return tuple(values)


def read_targets(proof: Proof, said: Sequence[str]) -> tuple[tuple[str, tuple[float, ...]], ...]:
    """Read proof readings given as TARGET=READINGS.

    Parameters
    ----------
    proof : Proof
        Its targets name what can be read.
    said : sequence of str
        As ``pull-through-torch=9 N; 10 N`` or ``gone:burns-back=yes``.

    Returns
    -------
    tuple of (str, tuple of float)
        Target id and readings (SI).

    Raises
    ------
    InputError
        Every target or reading that is wrong.

    Source: design.

    >>> from tipward.model import ProofTarget
    >>> wanted = ProofTarget("ovality", "round", "m", 0.0, 3e-5)
    >>> read_targets(Proof((wanted,), False, (), 1.0, ()), ["x=1"])
    Traceback (most recent call last):
    ...
    tipward.foundation.errors.InputError: proof: 1 problem
      - x: is no target; one of ovality
    """
    units = {target.id: target.unit for target in proof.targets}
    found, problems = [], []
    for item in said:
        name, _, text = item.rpartition("=")
        if name not in units:
            problems.append(Problem(name or item, "is no target", f"one of {', '.join(units)}"))
            continue
        try:
            plain = {"yes": "1", "no": "0"}.get(text.strip().lower(), text)
            found.append((name, read_readings(plain, units[name])))
        except InputError as problem:
            problems += [Problem(name, item.what, item.next_step) for item in problem.problems]
    if problems:
        raise InputError("proof", problems)
    return tuple(found)


def page_text(page: Page) -> str:
    """One page of a case in a line.

    Parameters
    ----------
    page : Page
        The page.

    Returns
    -------
    str
        Plain words; ids where the words stand in the catalogue.

    Raises
    ------
    Nothing.

    Source: design.

    >>> from datetime import datetime
    >>> page_text(Page(2, "k", datetime(2026, 1, 1), Finding("look-hub", "nut-loose")))
    'look-hub: nut-loose'
    """
    entry = page.entry
    if isinstance(entry, Opened):
        return f"opened: {', '.join(entry.complaints) or 'no complaint'}"
    if isinstance(entry, Finding):
        return f"{entry.check}: {entry.outcome or _values(entry.readings)}"
    if isinstance(entry, ProofTest):
        return "proof: " + "; ".join(f"{name} {_values(values)}" for name, values in entry.readings)
    words = {
        Cannot: lambda: f"cannot be done here: {entry.what}",  # type: ignore[union-attr]
        TakenBack: lambda: f"page {entry.sequence} taken back",  # type: ignore[union-attr]
        Repair: lambda: f"done: {entry.action}",  # type: ignore[union-attr]
        Moved: lambda: f"went on at the {entry.place.at}",  # type: ignore[union-attr]
        Closed: lambda: f"closed: {entry.how}",  # type: ignore[union-attr]
    }
    return words[type(entry)]()


def _values(values: Iterable[float]) -> str:
    return ", ".join(show_quantity(value, "") for value in values)
