"""Rigs: a machine with its torch under a name of the shop's own, with the readings of its healthy days."""

import re
from collections.abc import Mapping, Sequence

from tipward.foundation import InputError, NotKnownError, Problem
from tipward.model import FeedPath, Rig, RigView, now
from tipward.tasks.baselines import healthy_of, same_feed, set_aside
from tipward.tasks.shop import Shop

_ID = re.compile(r"^[a-z0-9]+(-[a-z0-9]+)*$")
LONGEST_ID, LONGEST_NAME = 40, 120


def list_rigs(shop: Shop) -> tuple[Rig, ...]:
    """List the rigs of a shop.

    Parameters
    ----------
    shop : Shop
        The shop.

    Returns
    -------
    tuple of Rig
        By id.

    Raises
    ------
    RecordError
        The casebook cannot be read.

    Source: design.

    >>> import tempfile
    >>> from tipward.tasks.shop import open_shop
    >>> list_rigs(open_shop(tempfile.mkdtemp() + "/book.db"))
    ()
    """
    return shop.book.rigs()


def rig_id(name: str) -> str:
    """Make the id of a rig out of its name.

    Parameters
    ----------
    name : str
        Name of the shop's own.

    Returns
    -------
    str
        Small letters, digits and hyphens, "" where nothing is left.

    Raises
    ------
    Nothing.

    Source: design.

    >>> rig_id("Bay 3, aluminium")
    'bay-3-aluminium'
    """
    return re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")[:LONGEST_ID].strip("-")


def save_rig(shop: Shop, name: str, path: FeedPath, customer: str = "", known_as: str = "") -> Rig:
    """Keep a rig; one that is known is replaced, a new one gets its id from its name.

    Parameters
    ----------
    shop : Shop
        The shop.
    name : str
        Name of the shop's own.
    path : FeedPath
        The feed path as it should be.
    customer : str
        Whose it is.
    known_as : str
        Id of the rig to replace; "" for a new one.

    Returns
    -------
    Rig
        As kept. Where its wire, liner, torch lead or gun changed, its healthy readings no longer count.

    Raises
    ------
    InputError
        No name, or an overlong one, or one that another rig has already.
    NotKnownError
        No rig with the id to replace.

    Source: design.

    >>> import tempfile
    >>> from tipward.tasks.shop import open_shop
    >>> save_rig(open_shop(tempfile.mkdtemp() + "/book.db"), "Bay 3", FeedPath()).id
    'bay-3'
    """
    made = known_as or rig_id(name)
    problems = []
    if not _ID.match(made) or len(made) > LONGEST_ID:
        problems.append(Problem("name", "has neither letters nor digits", "give the rig a name, as Bay 3"))
    if len(name) > LONGEST_NAME or len(customer) > LONGEST_NAME:
        problems.append(Problem("name", f"is longer than {LONGEST_NAME} characters", "shorten it"))
    known = {rig.id for rig in shop.book.rigs()}
    if not known_as and made in known:
        problems.append(Problem("name", f"is that of rig {made}", "take another name, or change that rig"))
    if problems:
        raise InputError("rig", problems)
    if known_as and known_as not in known:
        raise NotKnownError(f"no rig {known_as!r}; there are: {', '.join(sorted(known)) or 'none yet'}")
    rig = Rig(made, name, path, customer)
    if known_as and not same_feed(shop.book.rig(made).path, path):
        set_aside(shop, made)
    shop.book.save_rig(rig)
    return rig


def rig_named(shop: Shop, name: str) -> Rig:
    """Look a rig up by its id or by its name, whichever the technician has at hand.

    Parameters
    ----------
    shop : Shop
        The shop.
    name : str
        Id, or name in small or large letters.

    Returns
    -------
    Rig
        The rig.

    Raises
    ------
    NotKnownError
        No rig has that id or name.

    Source: design.

    >>> import tempfile
    >>> from tipward.tasks.shop import open_shop
    >>> shop = open_shop(tempfile.mkdtemp() + "/book.db")
    >>> rig_named(shop, save_rig(shop, "Bay 3", FeedPath()).name.upper()).id
    'bay-3'
    """
    for rig in shop.book.rigs():
        if name == rig.id or name.casefold() == rig.name.casefold():
            return rig
    return shop.book.rig(name)


def see_rig(shop: Shop, rig: str) -> RigView:
    """A rig with its healthy baselines and its cases.

    Parameters
    ----------
    shop : Shop
        The shop.
    rig : str
        Id of the rig.

    Returns
    -------
    RigView
        Baselines since the feed path last changed, oldest first; cases newest first.

    Raises
    ------
    NotKnownError
        No such rig.

    Source: design.

    >>> import tempfile
    >>> from tipward.tasks.shop import open_shop
    >>> shop = open_shop(tempfile.mkdtemp() + "/book.db")
    >>> see_rig(shop, save_rig(shop, "Bay 3", FeedPath()).id).cases
    ()
    """
    return RigView(shop.book.rig(rig), healthy_of(shop, rig), shop.book.cases(rig=rig))


def baseline_targets(shop: Shop) -> tuple[tuple[str, str, str], ...]:
    """List what can be read of a healthy rig: the measured checks.

    Parameters
    ----------
    shop : Shop
        The shop.

    Returns
    -------
    tuple of (str, str, str)
        Id, name and SI unit of each measured check.

    Raises
    ------
    Nothing.

    Source: design; the rules of proof compare with this rig's own healthy readings.

    >>> import tempfile
    >>> from tipward.tasks.shop import open_shop
    >>> len(baseline_targets(open_shop(tempfile.mkdtemp() + "/book.db"))) > 3
    True
    """
    measured = [check for check in shop.catalogue.checks.values() if check.reading is not None]
    return tuple((check.id, check.name, check.reading.unit) for check in measured if check.reading is not None)


def save_baseline(shop: Shop, rig: str, readings: Mapping[str, Sequence[float]]) -> RigView:
    """Keep the readings of a rig that is healthy, for later proofs to compare with.

    Parameters
    ----------
    shop : Shop
        The shop.
    rig : str
        Id of the rig.
    readings : Mapping of str to sequence of float
        Repeats by check id (SI); their mean is kept.

    Returns
    -------
    RigView
        With the new baseline.

    Raises
    ------
    InputError
        No reading, an unknown check, or a reading that is no number of 0 or more.
    NotKnownError
        No such rig.

    Source: design.

    >>> import tempfile
    >>> from tipward.tasks.shop import open_shop
    >>> shop = open_shop(tempfile.mkdtemp() + "/book.db")
    >>> known = baseline_targets(shop)[0][0]
    >>> save_baseline(shop, save_rig(shop, "Bay 3", FeedPath()).id, {known: [9.0, 11.0]}).baselines[0].readings[known]
    10.0
    """
    known = {item[0] for item in baseline_targets(shop)}
    problems = [Problem(name, "is no measured check", "see the list") for name in readings if name not in known]
    problems += [
        Problem(name, "must be finite numbers of 0 or more", "read again")
        for name, values in readings.items()
        if not values or any(not 0 <= value < float("inf") for value in values)
    ]
    if problems or not readings:
        raise InputError("baseline", problems or [Problem("readings", "are empty", "give at least one")])
    means = {name: sum(values) / len(values) for name, values in readings.items()}
    shop.book.save_baseline(rig, means, now())
    return see_rig(shop, rig)
