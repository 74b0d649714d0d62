"""Units at the doors: people write millimetres, inches, m/min or in/min; inside there is SI only."""

import math
import re
from functools import cache
from typing import Any

UNIT_OF_SUFFIX: dict[str, str] = {
    "_kg_per_m3": "kg/m**3",
    "_m_per_s": "m/s",
    "_n_m": "N*m",
    "_kg": "kg",
    "_n": "N",
    "_m": "m",
    "_rad": "rad",
    "_pa": "Pa",
    "_v": "V",
    "_a": "A",
    "_s": "s",
    "_h": "hour",
    "_ohm": "ohm",
    "_1": "",
}

_NUMBER = re.compile(r"^\s*([+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][+-]?\d+)?)(?:\s*/\s*(\d+))?\s*(.*?)\s*$")
_SPELLINGS = {
    "ipm": "inch/minute",
    "wfs": "inch/minute",
    '"': "inch",
    "″": "inch",
    "nm": "newton*meter",
    "µm": "micrometer",
    "°": "degree",
    "%": "percent",
    "turns": "turn",
    "loops": "turn",
    "loop": "turn",
}
_SHOWN = {
    ("m", False): ("mm", 1e3, 3),
    ("m", True): ("in", 1 / 0.0254, 4),
    ("m/s", False): ("m/min", 60.0, 2),
    ("m/s", True): ("in/min", 60 / 0.0254, 0),
    ("N", False): ("N", 1.0, 1),
    ("N", True): ("lbf", 1 / 4.4482216152605, 2),
    ("N*m", False): ("N·m", 1.0, 2),
    ("rad", False): ("°", 180 / math.pi, 0),
    ("rad", True): ("°", 180 / math.pi, 0),
}


@cache
def _registry() -> Any:
    import pint  # 0.2 s with its registry: only when a quantity is read

    return pint.UnitRegistry()


def unit_of_field(name: str) -> tuple[str, str] | None:
    """Split a field name into its plain name and the SI unit that its ending states.

    Parameters
    ----------
    name : str
        Field name of a noun, for example ``bore_m``.

    Returns
    -------
    tuple of str or None
        Plain name and unit, or None where the name states no unit.

    Raises
    ------
    Nothing.

    Source: design (docs/decisions/0002).

    >>> unit_of_field("feed_speed_m_per_s")
    ('feed_speed', 'm/s')
    """
    for suffix, unit in UNIT_OF_SUFFIX.items():
        if name.endswith(suffix):
            return name[: -len(suffix)], unit
    return None


def read_quantity(text: str, unit: str) -> float:
    """Read a quantity as people write it and return it in the wanted SI unit.

    Parameters
    ----------
    text : str
        Number and unit, for example ``0.9 mm``, ``0,9 mm``, ``0.035 in``, ``3/64 in``, ``250 ipm``.
    unit : str
        Wanted unit, for example ``m`` [pint spelling]; "" or "1" for a plain number.

    Returns
    -------
    float
        Value [unit], finite.

    Raises
    ------
    ValueError
        Not a number, no unit, or a unit of another kind; the message says what was expected.

    Source: conversion factors of the pint library (NIST SP 811).

    >>> round(read_quantity("0.035 in", "m") * 1e3, 3)
    0.889
    >>> round(read_quantity("250 ipm", "m/s"), 4)
    0.1058
    """
    unit = "" if unit == "1" else unit
    match = _NUMBER.match(text) if len(text) <= 60 else None
    example = {"m": "0.9 mm or 0.035 in", "m/s": "8 m/min or 315 in/min", "N": "120 N", "": "0.98 or 98 %"}.get(
        unit, f"a number in {unit}"
    )
    if match is None:
        raise ValueError(f"{text[:60]!r} is not a quantity; write for example {example}")
    value = float(match[1].replace(",", ".")) / float(match[2] or 1) if match[2] != "0" else math.nan
    if not math.isfinite(value):
        raise ValueError(f"{text!r} is not a finite number; write for example {example}")
    if not unit and not match[3]:
        return value
    if not match[3]:
        raise ValueError(f"{text!r} has no unit; write for example {example}")
    return _convert(value, match[3], unit, text, example)


def _convert(value: float, written: str, unit: str, text: str, example: str) -> float:
    spelled = _SPELLINGS.get(written.lower(), written)
    try:
        if len(spelled) > 24 or re.search(r"\d{3}|\*\*\s*\d{2}", spelled):
            raise ValueError(spelled)
        converted = float(_registry().Quantity(value, spelled).to(unit or "dimensionless").magnitude)
        return float(f"{converted:.12g}")  # 0.9 mm is 0.0009 m, not 0.0009000000000000001 m
    except Exception as problem:  # pint raises a family of its own; the message must be ours
        raise ValueError(f"{text!r} is not in a unit that fits; write for example {example}") from problem


def show_quantity(value: float, unit: str, inches: bool = False) -> str:
    """Write an SI value as people read it.

    Parameters
    ----------
    value : float
        Value [unit].
    unit : str
        SI unit as in ``UNIT_OF_SUFFIX``.
    inches : bool
        Inches, in/min and pounds-force instead of millimetres, m/min and newtons.

    Returns
    -------
    str
        Number and unit.

    Raises
    ------
    Nothing.

    Source: exact definitions, 1 in = 25.4 mm, 1 lbf = 4.4482216152605 N.

    >>> show_quantity(0.0009, "m"), show_quantity(0.09, "m/s"), show_quantity(0.000889, "m", inches=True)
    ('0.9 mm', '5.4 m/min', '0.035 in')
    """
    shown = _SHOWN.get((unit, inches)) or _SHOWN.get((unit, False))
    if shown is None:
        return f"{value:g} {unit}".removesuffix(" 1").strip()
    if unit == "m" and not inches and abs(value) >= 1.0:
        return f"{value:.3g} m"
    if unit == "m" and inches and abs(value) >= 0.6096:
        return f"{value / 0.3048:.3g} ft"
    name, factor, digits = shown
    text = f"{value * factor:.{digits}f}"
    return f"{text.rstrip('0').rstrip('.') if '.' in text else text} {name}"


def show_share(share: float) -> str:
    """Show a share as a percentage of two digits, so that a small change still shows.

    Parameters
    ----------
    share : float
        From 0 to 1 [1].

    Returns
    -------
    str
        As "0.66 %", "5.5 %" or "31 %".

    Raises
    ------
    Nothing.

    Source: design.

    >>> show_share(0.0066), show_share(0.055), show_share(0.312)
    ('0.66 %', '5.5 %', '31 %')
    """
    return f"{100 * share:.2g} %" if share < 0.1 else f"{100 * share:.0f} %"
