"""The catalogue as a page: ``python -m tipward.faults.coverage > docs/catalogue.md``."""

import sys

from tipward.faults.catalogue import Catalogue
from tipward.faults.loading import load_catalogue
from tipward.faults.nouns import Reading
from tipward.faults.pages import catalogue_text
from tipward.faults.separation import separation
from tipward.mechanics import READINGS


def catalogue_pages(catalogue: Catalogue) -> str:
    """Write docs/catalogue.md: every table of the catalogue and what tells its faults apart.

    Parameters
    ----------
    catalogue : Catalogue
        What is written.

    Returns
    -------
    str
        Markdown; the same text for the same catalogue, to the byte.

    Raises
    ------
    Nothing.

    Source: design (docs/decisions/0006).

    >>> catalogue_pages(load_catalogue()).splitlines()[0]
    '# The catalogue'
    """
    return catalogue_text(catalogue, separation(catalogue, fields_that_move))


def fields_that_move(reading: Reading) -> frozenset[str]:
    """Find the fields of the feed path that can move a reading in its context, as mechanics takes it.

    Parameters
    ----------
    reading : Reading
        Reading of a measured check.

    Returns
    -------
    frozenset of str
        Dotted names; what the context takes out of circuit (tip off, torch off, slack wire) is not among them.

    Raises
    ------
    KeyError
        No such reading.

    Source: ``mechanics.READINGS``.

    >>> sorted(fields_that_move(Reading("coast", "m")))[0]
    'settings.feed_speed_m_per_s'
    """
    return READINGS[reading.name].fields(reading.context)


if __name__ == "__main__":
    sys.stdout.reconfigure(encoding="utf-8")  # type: ignore[union-attr]
    sys.stdout.write(catalogue_pages(load_catalogue()))
