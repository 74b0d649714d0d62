"""A pen for SVG: presentation attributes and class names only, so that it stands under a strict CSP; text escaped."""

import re
from collections.abc import Iterable
from xml.sax.saxutils import escape, quoteattr

Point = tuple[float, float]
_NOT_XML = r"[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]"
_DIRECTION = r"[\u200e\u200f\u202a-\u202e\u2066-\u2069]"
_UNPRINTABLE = re.compile(f"{_NOT_XML}|{_DIRECTION}")

# Colours of light paper as attributes; LINE_CSS overrides them by class (dark, print). None carries meaning alone.
COPPER, FORCE, INK = "#8f4a1c", "#2b5a88", "currentColor"


def clean(text: str) -> str:
    """Text as it may stand in XML and in JSON for print: no control characters, no direction overrides."""
    return _UNPRINTABLE.sub("", text)


def number(value: float) -> str:
    """A coordinate: two digits are finer than any printer, and the same on every machine."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in {"-0", ""} else text


def tag(name: str, content: str = "", /, **attributes: str | float | None) -> str:
    """One element; ``klass`` stands for class, an underscore for a hyphen."""
    parts = []
    for key, value in attributes.items():
        if value is not None:
            shown = number(value) if isinstance(value, int | float) else clean(value)
            parts.append(f" {key.rstrip('_').replace('_', '-').replace('klass', 'class')}={quoteattr(shown)}")
    return f"<{name}{''.join(parts)}>{content}</{name}>" if content else f"<{name}{''.join(parts)}/>"


def words(at: Point, text: str, klass: str, size: float = 11, anchor: str = "start", **more: str | float | None) -> str:
    """A line of text at a point."""
    return tag(
        "text",
        escape(clean(text)),
        x=at[0],
        y=at[1],
        klass=klass,
        font_size=size,
        text_anchor=None if anchor == "start" else anchor,
        fill=str(more.pop("fill", INK)),
        **more,
    )


def through(points: Iterable[Point], closed: bool = False) -> str:
    """The d attribute of a line through points."""
    return "M" + "L".join(f"{number(x)} {number(y)}" for x, y in points) + ("Z" if closed else "")


def stroke(points: Iterable[Point], klass: str, width: float, colour: str = INK, **more: str | float | None) -> str:
    """An open line through points."""
    return tag("path", d=through(points), klass=klass, fill="none", stroke=colour, stroke_width=width, **more)


def area(points: Iterable[Point], klass: str, colour: str = INK, **more: str | float | None) -> str:
    """A filled shape through points."""
    return tag("path", d=through(points, closed=True), klass=klass, fill=colour, **more)
