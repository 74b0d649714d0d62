"""Opening a case: the path and the complaint are saved, then what the set-up already declares."""

import secrets
from collections.abc import Sequence

from tipward.faults import understand
from tipward.foundation import InputError, Problem
from tipward.matching import fit as fit_of
from tipward.model import (
    Case,
    FeedPath,
    Finding,
    Opened,
    Place,
)
from tipward.tasks.shop import Shop


def open_case(
    shop: Shop,
    path: FeedPath,
    complaints: Sequence[str] = (),
    words: str = "",
    place: Place | None = None,
    rig: str = "",
    customer: str = "",
    key: str | None = None,
    author: str = "",
) -> Case:
    """Open a case: save the path and the complaint, then what the set-up already declares.

    Parameters
    ----------
    shop : Shop
        The shop.
    path : FeedPath
        The path as it came.
    complaints : sequence of str
        Complaint ids.
    words : str
        The customer's own words; complaints are read out of them too.
    place : Place, optional
        Where, with which tools, spares and qualification; none assumed.
    rig, customer : str
        Names of the shop's own.
    key : str, optional
        Idempotency key; the same key opens one case only.
    author : str
        Who writes.

    Returns
    -------
    Case
        With its first pages.

    Raises
    ------
    InputError
        A complaint id that the catalogue does not hold; all are named.

    Source: design (docs/decisions/0005).

    >>> import tempfile
    >>> from pathlib import Path
    >>> from tipward.model import FeedPath
    >>> from tipward.tasks.opening import open_case
    >>> from tipward.tasks.shop import open_shop
    >>> shop = open_shop(Path(tempfile.mkdtemp()) / "book.db")
    >>> open_case(shop, FeedPath(), words="the wire slips").opened().complaints[0]
    'slips-or-surges'
    """
    wrong = [item for item in complaints if item not in shop.catalogue.complaints]
    if wrong:
        known = ", ".join(shop.catalogue.complaints)
        raise InputError("complaint", [Problem(item, "is no complaint", f"one of {known}") for item in wrong])
    heard = tuple(dict.fromkeys([*complaints, *understand(shop.catalogue, words)]))
    entry = Opened(path, heard, place or Place(), words, rig, customer)
    first = key_or_new(key)
    case = shop.book.new_case(entry, first, author)
    return declare(shop, case, path, first)


def key_or_new(key: str | None) -> str:
    return key or secrets.token_hex(8)


def declare(shop: Shop, case: Case, path: FeedPath, key: str) -> Case:
    """Save what the set-up declares: each mismatch as a finding with its own reliability."""
    for mismatch in fit_of(path).mismatches:
        if mismatch.fault in shop.catalogue.faults:
            entry = Finding(f"match:{mismatch.fault}", "mismatch", (mismatch.reliability,), "declared", mismatch.what)
            case = shop.book.append(case.id, entry, f"{key}:{mismatch.fault}")
    return case
