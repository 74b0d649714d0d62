"""Photos of a case, as the door made them safe; and the label that a rig carries."""

from tipward import records, reports
from tipward.foundation import InputError, Problem
from tipward.model import Photo
from tipward.tasks.shop import Shop

MOST_PHOTOS = 24
KIND = "image/jpeg"


def keep_photo(shop: Shop, case_id: str, data: bytes) -> Photo:
    """Keep a photo of a case.

    Parameters
    ----------
    shop : Shop
        The shop.
    case_id : str
        The case.
    data : bytes
        JPEG that the door decoded and wrote anew, so that nothing but the picture is in it.

    Returns
    -------
    Photo
        As kept.

    Raises
    ------
    InputError
        No data, no JPEG, or a case that holds 24 photos already.
    NotKnownError
        No such case.

    Source: design (docs/explanation/security.md).

    >>> import tempfile
    >>> from tipward.model import FeedPath
    >>> from tipward.tasks.opening import open_case
    >>> from tipward.tasks.shop import open_shop
    >>> shop = open_shop(tempfile.mkdtemp() + "/book.db")
    >>> case = open_case(shop, FeedPath(), ("burns-back",))
    >>> keep_photo(shop, case.id, b"\\xff\\xd8\\xff and so on").mime
    'image/jpeg'
    """
    if not data.startswith(b"\xff\xd8\xff"):
        raise InputError("photo", [Problem("photo", "is no JPEG", "choose another photo")])
    if len(records.list_photos(shop.book, case_id)) >= MOST_PHOTOS:
        raise InputError("photo", [Problem("photo", f"would be one more than {MOST_PHOTOS}", "send no more photos")])
    return records.save_photo(shop.book, case_id, data, KIND)


def photos_of(shop: Shop, case_id: str) -> tuple[str, ...]:
    """List the photos of a case.

    Parameters
    ----------
    shop : Shop
        The shop.
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

    Source: design.

    >>> import tempfile
    >>> from tipward.model import FeedPath
    >>> from tipward.tasks.opening import open_case
    >>> from tipward.tasks.shop import open_shop
    >>> shop = open_shop(tempfile.mkdtemp() + "/book.db")
    >>> photos_of(shop, open_case(shop, FeedPath(), ("burns-back",)).id)
    ()
    """
    return records.list_photos(shop.book, case_id)


def see_photo(shop: Shop, photo: str) -> Photo:
    """One photo.

    Parameters
    ----------
    shop : Shop
        The shop.
    photo : str
        Its id.

    Returns
    -------
    Photo
        With its data.

    Raises
    ------
    NotKnownError
        No such photo.

    Source: design.

    >>> import tempfile
    >>> from tipward.tasks.shop import open_shop
    >>> see_photo(open_shop(tempfile.mkdtemp() + "/book.db"), "gone")
    Traceback (most recent call last):
    ...
    tipward.foundation.errors.NotKnownError: no photo 'gone'; check its id in the case
    """
    return records.load_photo(shop.book, photo)


def address_code(url: str) -> str:
    """Draw the QR code of an address.

    Parameters
    ----------
    url : str
        The address, up to about 2,000 characters.

    Returns
    -------
    str
        One SVG element.

    Raises
    ------
    ValueError
        Empty, or too long.

    Source: ISO/IEC 18004 through the segno library.

    >>> address_code("http://workshop.local/rigs/bay-3")[:4]
    '<svg'
    """
    return reports.qr_svg(url)
