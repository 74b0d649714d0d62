"""Sizes that go together: when a marked size is the wire's own, which bores suit it, which bands it belongs to."""

from dataclasses import dataclass

from tipward.foundation import Sourced, show_quantity
from tipward.matching.judged import number
from tipward.matching.kinds import WireKind
from tipward.reference import Row, table

# Readings of calipers and float rounding: a tenth of the finest tolerance of ISO 544.
ROUNDING_M = 1e-6


@dataclass(frozen=True, slots=True)
class Window:
    """The bores that suit a wire [m], each end with the number it rests on."""

    low_m: float
    high_m: float
    low_by: Sourced
    high_by: Sourced


def shown(length_m: float) -> str:
    """A small size in millimetres.

    >>> shown(0.00145)
    '1.45 mm'
    """
    return show_quantity(length_m, "m")


def step(marked_m: float, wire_m: float) -> int:
    """-1, 0 or 1: is a marked size smaller than, the same as, or larger than the wire; inch sizes count as the same.

    >>> step(0.0012, 0.001143), step(0.0008, 0.0009), step(0.0010, 0.0009)
    (0, -1, 1)
    """
    same = number("contact_tips", rule="same size").value + ROUNDING_M
    return (marked_m > wire_m + same) - (marked_m < wire_m - same)


def tip_bores(wire_m: float, kind: WireKind | None) -> Window:
    """Bores of a contact tip that suit a wire; both rules together where the metal is unknown.

    >>> from tipward.matching.kinds import known
    >>> window = tip_bores(0.0012, known("er4043"))
    >>> round(window.low_m * 1e3, 3), round(window.high_m * 1e3, 3)
    (1.32, 1.4)
    """
    least, most = (number("contact_tips", rule=f"clearance {end}") for end in ("least", "most"))
    steel = Window(wire_m + least.value, wire_m + most.value, least, most)
    if kind is not None and kind.metal != "aluminium":
        return steel
    soft = _aluminium_bores(wire_m, steel)
    if kind is not None:
        return soft
    low = min((steel, soft), key=lambda window: window.low_m)
    high = max((steel, soft), key=lambda window: window.high_m)
    return Window(low.low_m, high.high_m, low.low_by, high.high_by)


def _aluminium_bores(wire_m: float, steel: Window) -> Window:
    least, most = (number("contact_tips", rule=f"bore over wire {end}") for end in ("least", "most"))
    wide = number("contact_tips", rule="clearance", metal="aluminium")
    lows = ((wire_m * least.value, least), (steel.low_m, steel.low_by))
    highs = ((wire_m * most.value, most), (wire_m + wide.value, wide))
    low, high = max(lows, key=lambda end: end[0]), max(highs, key=lambda end: end[0])
    return Window(low[0], high[0], low[1], high[1])


def bands(wire_m: float) -> tuple[str, ...]:
    """Bands of the trade that a wire belongs to, the smaller bore first; none past the usual sizes.

    >>> bands(0.0009), bands(0.0012), bands(0.0024)
    (('red',), ('red', 'yellow'), ())
    """
    names = dict.fromkeys(row.keys["band"] for row in table("liner_bands"))
    same = number("contact_tips", rule="same size").value
    return tuple(name for name in names if _end(name, "wire least") - same <= wire_m <= _end(name, "wire most") + same)


def _end(band: str, limit: str) -> float:
    return number("liner_bands", band=band, limit=limit).value


def liner_bores(wire_m: float, material: str | None) -> tuple[Row, ...]:
    """Liner bores of the wire's bands, of one material or of all where it is unknown.

    >>> [round(row.number.value * 1e3, 1) for row in liner_bores(0.0012, "steel")]
    [2.0, 2.5]
    """
    order = bands(wire_m)
    fitting = [
        row for row in table("liner_bores") if row.keys["band"] in order and material in {None, row.keys["material"]}
    ]
    return tuple(sorted(fitting, key=lambda row: order.index(row.keys["band"])))


def usual_proportion(bore_over_wire_1: float) -> bool:
    """Whether some band of the trade itself holds a wire in such a bore: then a bore off its own band may still pass.

    >>> usual_proportion(1.5 / 0.9), usual_proportion(1.5 / 1.2), usual_proportion(2.5 / 0.8)
    (True, False, False)
    """
    shares = [
        row.number.value / _end(row.keys["band"], f"wire {end}")
        for row in table("liner_bores")
        for end in ("least", "most")
        if row.number is not None
    ]
    return min(shares) <= bore_over_wire_1 <= max(shares)


def usual_sizes(system: str | None = None) -> tuple[float, ...]:
    """Nominal wire diameters [m], smallest first, metric, inch or both.

    >>> round(sum(usual_sizes("metric")) * 1e3, 3)
    11.9
    """
    rows = [row for row in table("wire_diameters") if system in {None, row.keys["system"]}]
    return tuple(sorted(row.number.value for row in rows if row.number is not None))
