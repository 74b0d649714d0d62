"""A feed path as the text of a set-up file, for people to read and edit."""

import math
from typing import Any

from tipward.foundation import unit_of_field
from tipward.model import FeedPath, path_to_data

# How a unit is written in a set-up file, its factor from SI; other units are written as they are.
_WRITTEN = {"m/s": ("m/min", 60.0), "rad": ("deg", 180 / math.pi), "hour": ("h", 1.0), "N*m": ("N*m", 1.0)}


def setup_text(path: FeedPath) -> str:
    """Write a feed path as the text of a set-up file that reads back the same.

    Parameters
    ----------
    path : FeedPath
        The path; unknown fields are left out.

    Returns
    -------
    str
        TOML, quantities with their unit.

    Raises
    ------
    Nothing.

    Source: design (docs/decisions/0002).

    >>> from tipward.model import Wire
    >>> print(setup_text(FeedPath("bench", Wire("er70s-6", 0.0009))))
    name = "bench"
    <BLANKLINE>
    [wire]
    wire_class = "er70s-6"
    diameter = "0.9 mm"
    """
    data = path_to_data(path)
    lines = [f"name = {_text(str(data.pop('name')))}"]
    for part, values in data.items():
        if isinstance(values, dict):
            lines += ["", f"[{part}]", *(_line(key, value) for key, value in values.items())]
    return "\n".join(lines)


def path_texts(path: FeedPath) -> dict[str, str]:
    """Write each known field of a feed path as a form shows it.

    Parameters
    ----------
    path : FeedPath
        The path.

    Returns
    -------
    dict of str to str
        Dotted plain name, for example "wire.diameter", to text that ``build_path`` reads back the same.

    Raises
    ------
    Nothing.

    Source: design (docs/decisions/0002).

    >>> from tipward.model import Wire
    >>> path_texts(FeedPath(wire=Wire(diameter_m=0.0009)))
    {'wire.diameter': '0.9 mm'}
    """
    found = {}
    for part, values in path_to_data(path).items():
        for field, value in values.items() if isinstance(values, dict) else ():
            if field != "route":
                name, _, text = _line(field, value).partition(" = ")
                found[f"{part}.{name}"] = str(value) if isinstance(value, str) else text.strip('"')
    return found


def _line(field: str, value: Any) -> str:
    if field == "route":
        pieces = ", ".join("{ " + ", ".join(_line(key, item) for key, item in piece.items()) + " }" for piece in value)
        return f"route = [{pieces}]"
    name, unit = unit_of_field(field) or (field, None)
    if isinstance(value, bool):
        return f"{name} = {str(value).lower()}"
    if isinstance(value, int | float):
        return f"{name} = {_quantity(float(value), unit)}"
    return f"{name} = {_text(str(value))}"


def _quantity(value: float, unit: str | None) -> str:
    if not unit:
        return f"{value:.12g}"
    written, factor = ("m" if value >= 1 else "mm", 1.0 if value >= 1 else 1e3) if unit == "m" else _written(unit)
    return f'"{_shortest(value, factor)} {written}"'


def _written(unit: str) -> tuple[str, float]:
    return _WRITTEN.get(unit, (unit, 1.0))


def _shortest(value: float, factor: float) -> str:
    """The fewest figures that read back as the same value; what is read is kept to twelve figures."""
    texts = (f"{value * factor:.{figures}g}" for figures in range(3, 13))
    return next((text for text in texts if float(f"{float(text) / factor:.12g}") == value), f"{value * factor:.17g}")


def _text(text: str) -> str:
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    plain = "".join(f"\\u{ord(sign):04x}" if ord(sign) < 32 or ord(sign) == 127 else sign for sign in escaped)
    return f'"{plain}"'
