"""Figures, one module for each name. A module measures when it has ``run(quick) -> (figures, notes)`` or ``-> Measured``.

Adding one file is enough: ``benchmarks/engine.py`` with ``run`` is found by its file name.
"""

from dataclasses import dataclass, field


@dataclass(frozen=True)
class Measured:
    """What one benchmark found. A figure that could not be measured is absent.

    ``errors`` are standard errors of the figures that a quick slice must agree with (0 for a figure that is exact); a
    figure without one is a timing or a count and is not compared. ``n`` says over how many cases.
    """

    figures: dict[str, float]
    notes: list[str] = field(default_factory=list)
    errors: dict[str, float] = field(default_factory=dict)
    n: dict[str, int] = field(default_factory=dict)
