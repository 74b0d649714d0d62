"""Closing a case by the rules of proof."""

from tipward.model import (
    Case,
    Closed,
    Repair,
)
from tipward.planning import next_step, proof_passed, prove
from tipward.tasks.baselines import baseline_of
from tipward.tasks.opening import key_or_new
from tipward.tasks.shop import Shop


def close_case(
    shop: Shop, case_id: str, note: str = "", key: str | None = None, after: int | None = None, author: str = ""
) -> Case:
    """Close a case: as proved where the rules of proof hold, else for service or with an open end, and why.

    Parameters
    ----------
    shop : Shop
        The shop.
    case_id : str
        The case.
    note : str
        Why, where it is not proved.
    key : str, optional
        Idempotency key: the same key again changes nothing.
    after : int, optional
        Last page that the writer saw; pages written since raise a ConflictError.
    author : str
        Who writes.

    Returns
    -------
    Case
        Closed.

    Raises
    ------
    ConflictError
        Somebody else wrote since ``after``.
    NotKnownError
        No such case.

    Source: rules of proof (docs/explanation/proof.md), common practice.

    >>> import tempfile
    >>> from pathlib import Path
    >>> from tipward.model import FeedPath
    >>> from tipward.tasks.opening import open_case
    >>> from tipward.tasks.shop import open_shop
    >>> shop = open_shop(Path(tempfile.mkdtemp()) / "book.db")
    >>> close_case(shop, open_case(shop, FeedPath(), ("burns-back",)).id).closed().how
    'open end'
    """
    case = shop.book.case(case_id)
    proof = prove(shop.catalogue, case, baseline_of(shop, case))
    sent = any(
        isinstance(page.entry, Repair) and shop.catalogue.actions[page.entry.action].kind == "service"
        for page in case.live()
    )
    if proof.proved and proof_passed(case):
        how = Closed("proved", note)
    elif sent or next_step(shop.catalogue, case).what in {"service", "stop"}:
        how = Closed("service", note or "; ".join(proof.missing))
    else:
        how = Closed("open end", note or "; ".join(proof.missing))
    return shop.book.append(case.id, how, key_or_new(key), author, after)
