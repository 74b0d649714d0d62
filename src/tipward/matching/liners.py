"""Wire and liner: bore, material, and what the liner carried before."""

from collections.abc import Iterator

from tipward.matching.judged import GEOMETRY, PRACTICE, Fits, NotJudged, Verdict, best, rows_for, standing, wrong
from tipward.matching.kinds import WireKind, wire_kind
from tipward.matching.sizes import ROUNDING_M, liner_bores, shown, usual_proportion
from tipward.model import FeedPath
from tipward.reference import table

MATERIALS = {"steel": "steel spiral", "ptfe": "PTFE", "pa": "polyamide", "carbon-ptfe": "carbon-filled PTFE"}
_SPOILED_BY = {
    "aluminium": ("carbon steel", "stainless steel", "copper"),
    "copper": ("carbon steel", "stainless steel"),
    "stainless steel": ("carbon steel",),
}


def judge_liner(path: FeedPath, kind: WireKind | None) -> Iterator[Verdict]:
    """Bore, material and history of the liner against the wire.

    >>> from tipward.model import Liner, Wire
    >>> next(judge_liner(FeedPath(wire=Wire(diameter_m=0.0012), liner=Liner(bore_m=0.0015)), None)).fault
    'liner-bore-small'
    """
    yield from _bore(path)
    yield from _material(path, kind)
    yield from _carried(path, kind)


def _bore(path: FeedPath) -> Iterator[Verdict]:
    wire_m, bore_m = path.wire.diameter_m, path.liner.bore_m
    if wire_m is None or bore_m is None:
        yield NotJudged(f"liner bore: {'wire diameter' if wire_m is None else 'bore'} unknown")
        return
    what = f"{shown(wire_m)} wire in a liner of {shown(bore_m)} bore"
    rows = liner_bores(wire_m, path.liner.material)
    if bore_m <= wire_m + ROUNDING_M:
        yield wrong("liner-bore-small", "liner", what, "The wire does not enter the bore.", _bore_fix(path), GEOMETRY)
    elif not rows:
        yield NotJudged(f"liner bore: no usual band for {shown(wire_m)} wire")
    else:
        numbers = [row.number for row in rows if row.number is not None]
        low, high = min(item.low for item in numbers), max(item.high for item in numbers)
        if low <= bore_m <= high:
            yield Fits(f"liner of {shown(bore_m)} bore for {shown(wire_m)} wire", rows[0].source)
            return
        small = bore_m < low
        usual = f"bores of {shown(low)} to {shown(high)} are usual for it ({_band_words(wire_m)})"
        effect = (
            "dust and a little kink already hold it" if small else "the wire snakes in the bore, so push and lag grow"
        )
        reason = f"{shown(bore_m - wire_m)} of play; {usual}: {effect}."
        fault = "liner-bore-small" if small else "liner-bore-large"
        doubts = ("doubtful",) if usual_proportion(bore_m / wire_m) else ()
        yield wrong(fault, "liner", what, reason, _bore_fix(path), rows[0], *doubts)


def _band_words(wire_m: float) -> str:
    return " or ".join(dict.fromkeys(row.keys["band"] for row in liner_bores(wire_m, None))) + " band"


def _bore_fix(path: FeedPath) -> str:
    rows = liner_bores(path.wire.diameter_m or 0.0, path.liner.material)
    if not rows or rows[0].number is None:
        return "Fit a liner made for this wire size."
    return f"Fit a liner of about {shown(rows[0].number.value)} bore; bands differ between makers, so go by the bore."


def _material(path: FeedPath, kind: WireKind | None) -> Iterator[Verdict]:
    material = path.liner.material
    if kind is None or material is None:
        yield NotJudged(f"liner material: {'wire class' if kind is None else 'material'} unknown")
        return
    row = standing("liner_materials", kind, "material", material)
    if row is None:
        yield NotJudged(f"liner material: no rule for {kind.words()}")
    elif row.keys["standing"] in {"best", "fits"}:
        yield Fits(f"{MATERIALS[material]} liner for {kind.words()}", row.source)
    else:
        wanted = " or ".join(MATERIALS[item.keys["material"]] for item in best(rows_for("liner_materials", kind)))
        doubts = ("doubtful",) if row.keys["standing"] == "doubtful" else ()
        reason = f"{row.note[0].upper()}{row.note[1:]}{_friction_words(kind)}."
        what, fix = f"{MATERIALS[material]} liner for {kind.words()}", f"Fit a liner of {wanted}."
        yield wrong("liner-material-wrong", "liner", what, reason, fix, row, *doubts)


def _friction_words(kind: WireKind) -> str:
    """The friction of both liners where the tables know it, since that is the cost in newtons."""
    group = "aluminium" if kind.metal == "aluminium" else kind.family
    clean = {
        row.keys["liner"]: row.number.value
        for row in table("friction")
        if row.keys["field"] == "liner.friction_1" and row.keys["family"] == group and not row.keys["condition"]
        if row.number is not None
    }
    if "steel" not in clean or "ptfe" not in clean:
        return ""
    return f"; friction about {clean['steel']:g} in steel against {clean['ptfe']:g} in PTFE"


def _carried(path: FeedPath, kind: WireKind | None) -> Iterator[Verdict]:
    carried = path.liner.carried
    before = wire_kind(carried)
    if kind is None or before is None:
        yield NotJudged("what the liner carried: " + ("wire class unknown" if kind is None else "not known"))
    elif before.metal in _SPOILED_BY.get(kind.metal, ()):
        doubts = () if kind.metal == "aluminium" else ("doubtful",)
        what = f"liner carried {before.words()}, now {kind.words()}"
        reason = f"Dust of {before.metal} stays in the bore and goes into the weld and the tip with {kind.metal} wire."
        fix = "Fit a new liner and keep one for each metal."
        yield wrong("liner-metal-carried", "liner", what, reason, fix, PRACTICE, *doubts)
    else:
        yield Fits(f"liner that carried {before.words()}", PRACTICE.source)
