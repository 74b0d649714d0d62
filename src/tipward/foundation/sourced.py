"""A value that carries its range, its unit, its source and its grade of evidence."""

from dataclasses import dataclass

GRADES = (
    "standard",
    "paper",
    "handbook",
    "abstract",
    "derivation",
    "common practice",
    "memory",
    "judgement",
    "design",
)


@dataclass(frozen=True, slots=True)
class Sourced:
    """A number with where it comes from: no source, no number.

    Parameters
    ----------
    value : float
        Most likely value [unit].
    unit : str
        SI unit of value, low and high.
    low, high : float
        Range in which the true value is expected [unit].
    source : str
        Key in ``sources.bib``.
    grade : str
        One of ``GRADES``.

    Raises
    ------
    ValueError
        Grade unknown, source missing, or low <= value <= high violated.

    >>> Sourced(0.16, "1", 0.10, 0.22, "judgement-friction", "judgement").high
    0.22
    """

    value: float
    unit: str
    low: float
    high: float
    source: str
    grade: str

    def __post_init__(self) -> None:
        if self.grade not in GRADES:
            raise ValueError(f"grade {self.grade!r} is not one of {', '.join(GRADES)}")
        if not self.source:
            raise ValueError("a sourced value needs a source key")
        if not self.low <= self.value <= self.high:
            raise ValueError(f"low {self.low:g} <= value {self.value:g} <= high {self.high:g} does not hold")
