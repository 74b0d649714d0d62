"""Photos of a case. What may come in (size, kind of picture) is the door's to check."""

from sqlalchemy import insert, select

from tipward.foundation import NotKnownError
from tipward.model import Photo, now
from tipward.records.casebook import Casebook
from tipward.records.listing import full_id
from tipward.records.tables import photos as photos_table
from tipward.records.writing import keepable, new_id, plain_text, refuse


def save_photo(casebook: Casebook, case_id: str, data: bytes, mime: str) -> Photo:
    """Keep a photo of a case.

    Parameters
    ----------
    casebook : Casebook
        Where it is kept.
    case_id : str
        The case.
    data : bytes
        The picture file.
    mime : str
        Its kind, for example "image/jpeg".

    Returns
    -------
    Photo
        As kept, with its id.

    Raises
    ------
    NotKnownError
        No such case.
    InputError
        No data, or no kind.

    Source: design (docs/decisions/0005).

    >>> from tipward.model import FeedPath, Opened
    >>> from tipward.records import open_casebook
    >>> with open_casebook(":memory:") as casebook:
    ...     case = casebook.new_case(Opened(FeedPath(), ()), "tap-1")
    ...     save_photo(casebook, case.id, b"picture", "image/jpeg").case == case.id
    True
    """
    if not data:
        raise refuse("photo", "is empty", "choose it again")
    plain_text(mime, "mime")
    with casebook.store.writing() as connection:
        # Two ids in one: photos are asked for by address alone, so theirs must not be found by trying.
        photo = Photo(f"{new_id()}-{new_id()}", full_id(connection, case_id), mime, now(), data)
        connection.execute(
            insert(photos_table).values(
                id=photo.id, case_id=photo.case, mime=mime, created=photo.created, data=bytes(data)
            )
        )
    return photo


def load_photo(casebook: Casebook, photo_id: str) -> Photo:
    """Load one photo.

    Parameters
    ----------
    casebook : Casebook
        Where to look.
    photo_id : str
        Its id.

    Returns
    -------
    Photo
        With its data.

    Raises
    ------
    NotKnownError
        No such photo.

    Source: design (docs/decisions/0005).

    >>> from tipward.records import open_casebook
    >>> with open_casebook(":memory:") as casebook:
    ...     load_photo(casebook, "gone")
    Traceback (most recent call last):
    ...
    tipward.foundation.errors.NotKnownError: no photo 'gone'; check its id in the case
    """
    with casebook.store.reading() as connection:
        wanted = select(photos_table).where(photos_table.c.id == photo_id)
        row = connection.execute(wanted).first() if keepable(photo_id) else None
    if row is None:
        raise NotKnownError(f"no photo {photo_id!r}; check its id in the case")
    return Photo(row.id, row.case_id, row.mime, row.created, bytes(row.data))


def list_photos(casebook: Casebook, case_id: str) -> tuple[str, ...]:
    """List the photos of a case.

    Parameters
    ----------
    casebook : Casebook
        Where to look.
    case_id : str
        The case.

    Returns
    -------
    tuple of str
        Their ids, oldest first.

    Raises
    ------
    NotKnownError
        No such case.

    Source: design (docs/decisions/0005).

    >>> from tipward.model import FeedPath, Opened
    >>> from tipward.records import open_casebook
    >>> with open_casebook(":memory:") as casebook:
    ...     list_photos(casebook, casebook.new_case(Opened(FeedPath(), ()), "tap-1").id)
    ()
    """
    table = photos_table
    with casebook.store.reading() as connection:
        of_case = table.c.case_id == full_id(connection, case_id)
        return tuple(connection.scalars(select(table.c.id).where(of_case).order_by(table.c.created, table.c.id)))
