"""QR labels."""

import io


def qr_svg(url: str) -> str:
    """Draw the QR label of an address.

    Parameters
    ----------
    url : str
        Address, up to about 2,000 characters.

    Returns
    -------
    str
        One SVG element without size, black on white with its quiet zone; presentation attributes only.

    Raises
    ------
    ValueError
        Empty, or longer than a QR label can hold.

    Source: ISO/IEC 18004 through the segno library, error correction M.

    >>> qr_svg("http://workshop.local/rig/7").startswith("<svg")
    True
    """
    import segno  # only when a label is drawn

    if not url:
        raise ValueError("an empty address has no QR label; give the address of the rig")
    try:
        code = segno.make(url, error="m", micro=False)
    except segno.DataOverflowError:
        raise ValueError(f"an address of {len(url)} characters is too long for a QR label; shorten it") from None
    out = io.BytesIO()
    code.save(
        out,
        kind="svg",
        xmldecl=False,
        svgns=True,
        omitsize=True,
        nl=False,
        light="#fff",
        border=4,
        svgclass="tw-qr",
        lineclass=None,
    )
    return out.getvalue().decode("ascii")
