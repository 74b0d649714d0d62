"""What can be chosen when a case opens."""

from tipward.model import Choices
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
