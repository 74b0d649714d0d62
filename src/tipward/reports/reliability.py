"""Reliability: stated chances against how often it was so, as a picture; on the diagonal the odds meant what they said."""

from collections.abc import Sequence
from math import sqrt

from tipward.model import HowOften
from tipward.reports.drawing import FORCE, INK, number, stroke, tag, words

SIDE, LEFT, FOOT, TOP = 200.0, 44.0, 40.0, 12.0  # the square, and room for its scales
SMALLEST, LARGEST = 2.5, 6.0  # radius of a dot, by the root of what it stands for
MARKS = (0.0, 0.25, 0.5, 0.75, 1.0)


def reliability_svg(rows: Sequence[HowOften], font_family: str | None = None) -> str:
    """Draw a reliability table: one dot a row, its area by how many suspicions the row holds.

    Parameters
    ----------
    rows : sequence of HowOften
        Said [1], found and of so many.
    font_family : str or None
        Font of the text; None takes that of the page.

    Returns
    -------
    str
        SVG with a description; no style attribute and no script.

    Raises
    ------
    Nothing.

    Source: reliability diagram, Murphy & Winkler 1977.

    >>> reliability_svg((HowOften(0.4, 0.6, 0.5, 9.0, 20),)).count("<circle")
    1
    """
    drawn = [_frame(), *(_dot(row, max(item.of for item in rows)) for row in rows)]
    return tag(
        "svg",
        "".join(drawn),
        xmlns="http://www.w3.org/2000/svg",
        klass="tw-reliability",
        viewBox=f"0 0 {number(LEFT + SIDE + 2 * LARGEST)} {number(TOP + SIDE + FOOT)}",
        role="img",
        aria_label=reliability_in_words(rows),
        font_family=font_family,
    )


def reliability_in_words(rows: Sequence[HowOften]) -> str:
    """Say in one sentence what the picture of a reliability table shows.

    Parameters
    ----------
    rows : sequence of HowOften
        Said [1], found and of so many.

    Returns
    -------
    str
        Every row with what was said and what was found.

    Raises
    ------
    Nothing.

    Source: design.

    >>> reliability_in_words((HowOften(0.4, 0.6, 0.5, 9.0, 20),))
    'Chance given against how often it was so: given 50 %, so in 45 % of 20.'
    """
    told = (f"given {100 * row.said:.0f} %, so in {100 * row.found / row.of:.0f} % of {row.of}" for row in rows)
    return f"Chance given against how often it was so: {'; '.join(told)}."


def _frame() -> str:
    corner, far = (LEFT, TOP + SIDE), (LEFT + SIDE, TOP)
    lines = [
        stroke([(LEFT, TOP), corner, (far[0], corner[1])], "axis", 1),
        stroke([corner, far], "even", 1, stroke_dasharray="4 4", opacity=0.6),
    ]
    for mark in MARKS:
        x, y = _at(mark, mark)
        lines += [
            stroke([(x, corner[1]), (x, corner[1] + 4)], "axis", 1),
            stroke([(LEFT - 4, y), (LEFT, y)], "axis", 1),
            words((x, corner[1] + 16), f"{100 * mark:.0f}", "scale", 10, "middle"),
            words((LEFT - 7, y + 3.5), f"{100 * mark:.0f}", "scale", 10, "end"),
        ]
    middle = TOP + SIDE / 2
    lines.append(words((LEFT + SIDE / 2, TOP + SIDE + 33), "chance given, %", "scale", 11, "middle"))
    turned = f"rotate(-90 12 {number(middle)})"
    lines.append(words((12, middle), "there, %", "scale", 11, "middle", transform=turned))
    return "".join(lines)


def _dot(row: HowOften, most: int) -> str:
    x, y = _at(row.said, row.found / row.of)
    radius = max(LARGEST * sqrt(row.of / most), SMALLEST)
    return tag("circle", cx=x, cy=y, r=radius, fill=FORCE, stroke=INK, stroke_width=0.8, klass="dot")


def _at(said: float, found: float) -> tuple[float, float]:
    return LEFT + SIDE * said, TOP + SIDE * (1 - found)
