"""The set-up that suits a wire, line by line."""

from collections.abc import Iterator
from dataclasses import replace

from tipward.foundation import Sourced
from tipward.matching.circuit import wanted_gases
from tipward.matching.judged import PRACTICE, Grounds, best, number, rows_for
from tipward.matching.kinds import WireKind, wire_kind
from tipward.matching.lead import longest_push
from tipward.matching.liners import MATERIALS
from tipward.matching.rolls import GROOVES
from tipward.matching.sizes import liner_bores, shown, tip_bores
from tipward.matching.windows import brake_advice, clamp_advice, loads
from tipward.model import Advice, ContactTip, DriveRolls, FeedPath, Liner, Recommended
from tipward.reference import Row, table

_DUSTY = ("dusty", "rusty")


def recommend(path: FeedPath) -> Recommended:
    """Recommend the whole set-up for the wire of a path, with reason, range, grade and source of each line.

    Parameters
    ----------
    path : FeedPath
        Its wire decides; torch lead, gun, spool, roll diameter and pairs, and feed speed shape the windows.

    Returns
    -------
    Recommended
        Groove form and size, guides, liner material and bore, tip bore and mark, polarity, gas, torch lead, gun,
        clamp force [N], spool brake [N m]; a line that the wire leaves open is left out.

    Raises
    ------
    Nothing.

    Source: the tables named in the lines; windows: docs/explanation/fit.md.

    >>> from tipward.model import Wire
    >>> [line.text for line in recommend(FeedPath(wire=Wire("er4043", 0.0012))).lines][:2]
    ['U', '1.2 mm, as the wire']
    """
    kind, wire_m = wire_kind(path.wire.wire_class), path.wire.diameter_m
    lines: list[Advice] = []
    if kind is not None:
        lines += [_groove(kind), *_groove_size(wire_m), *_guides(kind), _liner(kind)]
    if wire_m is not None:
        lines += [*_bore(path, kind, wire_m), *_tip(kind, wire_m)]
    if kind is not None:
        lines += [_polarity(kind), _gas(kind)]
    lines += [_lead(wire_m, kind), *_gun(path, wire_m, kind)]
    used: tuple[str, ...] = ()
    if kind is not None and wire_m is not None:
        found = loads(suited(path))
        lines.append(clamp_advice(found))
        used = found.draws.sources
    lines.append(brake_advice(path))
    return Recommended(tuple(lines), tuple(sorted({line.source for line in lines} | set(used))))


def suited(path: FeedPath) -> FeedPath:
    """The path with the rolls, liner and tip that suit its wire, all healthy; the rest as it is.

    >>> from tipward.model import Wire
    >>> suited(FeedPath(wire=Wire("er4043", 0.0012))).drive_rolls.groove
    'u'
    """
    kind, wire_m = wire_kind(path.wire.wire_class), path.wire.diameter_m
    if kind is None or wire_m is None:
        return path
    grooves, liners = best(rows_for("grooves", kind)), best(rows_for("liner_materials", kind))
    bores, window = _bores(path, kind, wire_m), tip_bores(wire_m, kind)
    rolls = path.drive_rolls
    return replace(
        path,
        wire=replace(path.wire, wire_class=_table_class(kind)),
        drive_rolls=DriveRolls(
            groove=grooves[0].keys["groove"] if grooves else None,  # type: ignore[arg-type]
            groove_size_m=wire_m,
            pairs=rolls.pairs,
            idler_driven=rolls.idler_driven,
            diameter_m=rolls.diameter_m,
        ),
        liner=Liner(
            material=liners[0].keys["material"] if liners else None,  # type: ignore[arg-type]
            bore_m=bores[0].number.value if bores and bores[0].number else None,
        ),
        contact_tip=ContactTip(marked_size_m=wire_m, bore_m=(window.low_m + window.high_m) / 2),
    )


def _table_class(kind: WireKind) -> str:
    """A class of the same family that the table of classes holds: labels are read here, materials by class."""
    keys = {row.keys["wire_class"]: row.keys["family"] for row in table("wire_classes")}
    return kind.key if kind.key in keys else next(key for key, family in keys.items() if family == kind.family)


def _said(line: str, text: str, reason: str, by: Row | Grounds | WireKind | Sourced) -> Advice:
    return Advice(line, text, None, None, "", reason, by.grade, by.source)


def _sentence(text: str) -> str:
    return text[0].upper() + text[1:]


def _groove(kind: WireKind) -> Advice:
    row = best(rows_for("grooves", kind))[0]
    return _said("groove form", GROOVES[row.keys["groove"]], _sentence(f"{kind.words()}: {row.note}."), row)


def _groove_size(wire_m: float | None) -> Iterator[Advice]:
    if wire_m is not None:
        same = number("contact_tips", rule="same size").value
        reason = "Groove and wire are the same size; look which stamp belongs to which groove of the roll."
        yield Advice(
            "groove size", f"{shown(wire_m)}, as the wire", wire_m - same, wire_m + same, "m", reason,
            PRACTICE.grade, PRACTICE.source,
        )  # fmt: skip


def _guides(kind: WireKind) -> Iterator[Advice]:
    row = next((row for row in table("guides") if row.keys["metal"] == kind.metal), None)
    if row is not None:
        reason = _sentence(
            f"{row.note or 'hard guides last under hard wire'}; the outlet guide as close to the nip as it goes."
        )
        yield _said("guides", f"{row.keys['material']} inlet and outlet guides", reason, row)


def _liner(kind: WireKind) -> Advice:
    rows = best(rows_for("liner_materials", kind))
    names = " or ".join(MATERIALS[row.keys["material"]] for row in rows)
    return _said("liner material", names, _sentence(f"{kind.words()}: {rows[0].note}."), rows[0])


def _bores(path: FeedPath, kind: WireKind | None, wire_m: float) -> tuple[Row, ...]:
    """Bores of the recommended liner, best first: the smaller band, unless the wire is cored or dusty."""
    wanted = best(rows_for("liner_materials", kind)) if kind is not None else ()
    rows = liner_bores(wire_m, wanted[0].keys["material"] if wanted else path.liner.material or "steel")
    cored = kind is not None and kind.form != "solid"
    return rows[::-1] if cored or path.wire.condition in _DUSTY else rows


def _bore(path: FeedPath, kind: WireKind | None, wire_m: float) -> Iterator[Advice]:
    rows = _bores(path, kind, wire_m)
    if rows and rows[0].number is not None:
        bore, band = rows[0].number, rows[0].keys["band"]
        why = "the smaller of two bands that take it" if len(rows) > 1 else "the usual band for this size"
        why = "cored or dusty wire: the larger of two bands" if len(rows) > 1 and bore != min_bore(rows) else why
        reason = f"{_sentence(why)}; bands differ between makers, so go by the bore."
        text = f"about {shown(bore.value)}, often sold as the {band} band"
        yield Advice("liner bore", text, bore.low, bore.high, "m", reason, bore.grade, bore.source)


def min_bore(rows: tuple[Row, ...]) -> Sourced | None:
    """The smallest bore of some liner rows.

    >>> round(min_bore(liner_bores(0.0012, "steel")).value * 1e3, 1)
    2.0
    """
    return min((row.number for row in rows if row.number), key=lambda bore: bore.value, default=None)


def _tip(kind: WireKind | None, wire_m: float) -> Iterator[Advice]:
    window, soft = tip_bores(wire_m, kind), kind is not None and kind.metal == "aluminium"
    low, high = shown(window.low_m), shown(window.high_m)
    reason = "Aluminium grows hot: 10 to 15 % over the wire, never under a steel tip's bore." if soft else (
        "Enough play to pass hot, little enough to hold the contact in one place."
    )  # fmt: skip
    by = window.low_by
    yield Advice("tip bore", f"{low} to {high}", window.low_m, window.high_m, "m", reason, by.grade, by.source)
    made = "made for aluminium, " if soft else ""
    reason = "A step too small stops the wire or seizes hot, a step too large makes the contact wander."
    yield _said("tip mark", f"{made}marked {shown(wire_m)}", reason, PRACTICE)


def _polarity(kind: WireKind) -> Advice:
    if kind.polarity == "either":
        return _said("polarity", "either; follow the spool", f"Class {kind.key} runs on both.", kind)
    if kind.polarity:
        return _said("polarity", kind.polarity, f"By class: {kind.key}.", PRACTICE if kind.form == "solid" else kind)
    reason = "The class does not settle it. Without gas mostly negative, but T-3, T-4 and T-6 are positive."
    return _said("polarity", "as marked on the spool", reason, PRACTICE)


def _gas(kind: WireKind) -> Advice:
    if not kind.shielding:
        return _said("gas", "as marked on the spool", f"{kind.key} may need gas or none.", kind)
    if kind.shielding == "self":
        return _said("gas", "none", "The wire makes its own shield.", kind)
    rows = best(rows_for("wire_gases", kind))
    reason = f"ISO 14175 groups for {kind.words()}; the label of the wire comes first."
    return _said("gas", wanted_gases(kind), reason, rows[0] if rows else kind)


def _lead(wire_m: float | None, kind: WireKind | None) -> Advice:
    rule = longest_push(wire_m, kind)
    if rule is None:
        usual, easy = (number("lead_lengths", rule=f"{name} length") for name in ("usual", "easier"))
        text, reason = f"up to {usual.value:g} m", f"{usual.value:g} m is usual and {easy.value:g} m feeds easier."
        return Advice("torch lead", text, easy.value, usual.value, "m", reason, usual.grade, usual.source)
    text = (
        f"at most {rule.low:g} m by push"
        if rule.low == rule.high
        else f"at most {rule.low:g} to {rule.high:g} m by push"
    )
    reason = "Thin or soft wire folds or binds before it is through a longer torch lead; lie counts more than length."
    return Advice("torch lead", text, rule.low, rule.high, "m", reason, rule.grade, rule.source)


def _gun(path: FeedPath, wire_m: float | None, kind: WireKind | None) -> Iterator[Advice]:
    if kind is None:
        return
    rule, length_m = longest_push(wire_m, kind), path.torch_lead.length_m
    if rule is None:
        yield _said("gun", "push", "No rule of the trade asks for a motor in the gun with this wire.", PRACTICE)
    elif length_m is not None and length_m <= rule.low:
        yield _said(
            "gun", "push will do; push–pull is easier", f"The torch lead of {length_m:g} m is short enough.", rule
        )
    else:
        reach = f"past {rule.low:g} m" if length_m is None else f"with {length_m:g} m of torch lead"
        yield _said("gun", f"push–pull or spool gun {reach}", "Push–pull helps thin and soft wire most.", rule)
