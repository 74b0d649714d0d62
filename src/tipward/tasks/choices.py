"""What can be chosen when a case opens."""

from tipward.foundation import RecordError
from tipward.model import Choices, Place
from tipward.reference import table
from tipward.tasks.shop import Shop


def choices(shop: Shop) -> Choices:
    """List complaints, tools, spares and wire classes to choose from.

    Parameters
    ----------
    shop : Shop
        The shop, with its own catalogue.

    Returns
    -------
    Choices
        Complaints in the order of the catalogue, the rest by name.

    Raises
    ------
    Nothing.

    Source: the catalogue; table wire_classes.

    >>> import tempfile
    >>> from tipward.tasks.shop import open_shop
    >>> "spring scale" in choices(open_shop(tempfile.mkdtemp() + "/book.db")).tools
    True
    """
    catalogue = shop.catalogue
    checks = catalogue.checks.values()
    return Choices(
        tuple((item.id, item.name) for item in catalogue.complaints.values()),
        tuple(sorted({tool for check in checks for tool in check.tools})),
        tuple(sorted({spare for check in checks for spare in check.spares})),
        tuple(sorted(row.keys["wire_class"] for row in table("wire_classes"))),
    )


def usual_rate(shop: Shop) -> float:
    """What an hour of the technician's work costs: as in the newest case of the shop, else 60.

    Parameters
    ----------
    shop : Shop
        The shop.

    Returns
    -------
    float
        Money per hour, in the shop's currency; 60 too where the newest case cannot be read.

    Raises
    ------
    Nothing.

    Source: docs/decisions/0009 (60 is judgement).

    >>> import tempfile
    >>> from tipward.tasks.shop import open_shop
    >>> usual_rate(open_shop(tempfile.mkdtemp() + "/book.db"))
    60.0
    """
    if not shop.has_book():
        return Place().work_per_hour
    try:
        newest = shop.book.cases(limit=1)
        return shop.book.case(newest[0].id).place().work_per_hour if newest else Place().work_per_hour
    except RecordError:
        return Place().work_per_hour
