"""What the force budget of a feed path says."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Band:
    """A quantity with its uncertainty: 5, 50 and 95 % quantiles over the draws (SI).

    >>> Band(1.0, 2.0, 4.0).mid
    2.0
    """

    low: float
    mid: float
    high: float


@dataclass(frozen=True, slots=True)
class StationForce:
    """Compression in the wire where it leaves a station towards the rolls [N], and where that is along the
    path [m from the tip].
    """

    station: str
    name: str
    from_tip_m: float
    force_n: Band


@dataclass(frozen=True, slots=True)
class Limit:
    """One limit of the push: ``force_n`` at which it bites, ``margin`` = limit over push at the rolls, chance
    that it bites.

    ``name`` is one of "slip", "collapse", "lock-up", "crush", "motor"; ``station`` says where it bites.
    """

    name: str
    station: str
    force_n: Band
    margin: Band
    probability: float
    note: str = ""


@dataclass(frozen=True, slots=True)
class Influence:
    """How much one unknown field moves the push force (rank correlation with the log force, -1 to 1)."""

    field: str
    rank_correlation: float


@dataclass(frozen=True, slots=True)
class ForceBudget:
    """Force to push this wire through this path, station by station, with every limit and its margin.

    Forces [N] are compression in the wire (negative: tension). ``lock_up_share`` is the share of draws in which the
    wire locks up (those draws are infinite and counted apart). ``sources`` are keys of sources.bib.
    """

    push_n: Band
    stations: tuple[StationForce, ...]
    limits: tuple[Limit, ...]
    first_limit: str
    backlash_m: Band
    lock_up_share: float
    influences: tuple[Influence, ...]
    dominant_unknown: str
    spool_back_tension_n: Band
    assumed: tuple[str, ...]
    marks: tuple[str, ...]
    draws: int
    seed: int
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Mismatch:
    """Two parts that do not suit each other, why, how sure, what to do, and the fault that it declares."""

    fault: str
    station: str
    what: str
    reason: str
    fix: str
    grade: str
    source: str
    reliability: float = 0.95


@dataclass(frozen=True, slots=True)
class Fit:
    """How the parts of a path suit its wire: mismatches, what fits, and what could not be judged for want
    of a field.
    """

    mismatches: tuple[Mismatch, ...]
    fitting: tuple[str, ...]
    not_judged: tuple[str, ...]
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Advice:
    """One line of a recommended set-up: what to fit or set, its range (SI, None where words say it), and why.

    >>> Advice("groove form", "V", None, None, "", "solid steel", "common practice", "common-practice").text
    'V'
    """

    line: str
    text: str
    low: float | None
    high: float | None
    unit: str
    reason: str
    grade: str
    source: str


@dataclass(frozen=True, slots=True)
class Recommended:
    """The set-up that suits a wire, line by line, with the sources that it used (keys of sources.bib)."""

    lines: tuple[Advice, ...]
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Served:
    """One kind of wire and the parts on the shelf: the diameters [m] they serve, and why they do not serve the others.

    ``refused`` pairs a diameter [m] with its reasons.
    """

    kind: str
    wire_class: str
    diameters_m: tuple[float, ...]
    refused: tuple[tuple[float, tuple[str, ...]], ...]
