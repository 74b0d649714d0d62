"""Wire and drive rolls: form and size of the groove."""

from collections.abc import Iterator

from tipward.matching.judged import PRACTICE, Fits, NotJudged, Verdict, best, number, rows_for, standing, wrong
from tipward.matching.kinds import WireKind
from tipward.matching.sizes import shown, step
from tipward.model import FeedPath

GROOVES = {"v": "smooth V", "u": "U", "knurled": "knurled", "flat": "flat"}


def judge_rolls(path: FeedPath, kind: WireKind | None) -> Iterator[Verdict]:
    """Groove against wire, form first.

    >>> from tipward.matching.kinds import known
    >>> from tipward.model import DriveRolls
    >>> next(judge_rolls(FeedPath(drive_rolls=DriveRolls(groove="v")), known("er5356"))).fault
    'groove-form-wrong'
    """
    yield from _form(path, kind)
    yield from _size(path)


def _form(path: FeedPath, kind: WireKind | None) -> Iterator[Verdict]:
    groove = path.drive_rolls.groove
    if kind is None or groove is None:
        yield NotJudged(f"groove form: {'wire class' if kind is None else 'groove'} unknown")
        return
    row = standing("grooves", kind, "groove", groove)
    wanted = best(rows_for("grooves", kind))
    if row is None or not wanted:
        yield NotJudged(f"groove form: no rule for {GROOVES[groove]} groove and {kind.words()}")
    elif row.keys["standing"] in {"best", "fits"}:
        yield Fits(f"{GROOVES[groove]} groove for {kind.words()}", row.source)
    else:
        doubts = ("doubtful",) if row.keys["standing"] == "doubtful" else ()
        wish = GROOVES[wanted[0].keys["groove"]]
        what = f"{GROOVES[groove]} groove under {kind.words()}"
        reason = f"{row.note[0].upper()}{row.note[1:]}; {wish}: {wanted[0].note}."
        fix = f"Fit rolls with a {wish} groove of the wire's size."
        yield wrong("groove-form-wrong", "drive-rolls", what, reason, fix, row, *doubts)


def _size(path: FeedPath) -> Iterator[Verdict]:
    wire_m, groove_m = path.wire.diameter_m, path.drive_rolls.groove_size_m
    if wire_m is None or groove_m is None:
        yield NotJudged(f"groove size: {'wire diameter' if wire_m is None else 'groove size'} unknown")
        return
    side = step(groove_m, wire_m)
    if side == 0:
        yield Fits(f"{shown(groove_m)} groove for {shown(wire_m)} wire", PRACTICE.source)
        return
    fault = "groove-small" if side < 0 else "groove-large"
    effect = (
        "the wire rides on the edges, is flattened and shaved"
        if side < 0
        else "the wire lies at the bottom, the idler hardly presses on it and it slips"
    )
    same = number("contact_tips", rule="same size").value
    what = f"{shown(wire_m)} wire in a {shown(groove_m)} groove"
    reason = (
        f"Groove and wire are the same size (within {shown(same)} between inch and metric marks); here the groove is "
        f"{shown(abs(groove_m - wire_m))} too {'small' if side < 0 else 'large'}: {effect}."
    )
    fix = f"Fit or turn the roll to its {shown(wire_m)} groove; look which stamp belongs to which groove."
    yield wrong(fault, "drive-rolls", what, reason, fix, PRACTICE)
