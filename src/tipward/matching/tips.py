"""Wire and contact tip: bore, marked size, made for aluminium or not."""

from collections.abc import Iterator

from tipward.foundation import Sourced
from tipward.matching.judged import GEOMETRY, PRACTICE, Fits, NotJudged, Verdict, number, wrong
from tipward.matching.kinds import WireKind
from tipward.matching.sizes import ROUNDING_M, shown, step, tip_bores
from tipward.model import FeedPath

_STEELS = ("carbon steel", "stainless steel")
_LARGE = "the wire touches now here, now there: wandering contact, unsteady arc, burn-back, seldom no arc at all"


def judge_tip(path: FeedPath, kind: WireKind | None) -> Iterator[Verdict]:
    """Bore, mark and make of the tip against the wire.

    >>> from tipward.model import ContactTip, Wire
    >>> wide = FeedPath(wire=Wire(diameter_m=0.0009), contact_tip=ContactTip(bore_m=0.0016))
    >>> next(judge_tip(wide, None)).fault
    'tip-bore-large'
    """
    yield from _bore(path, kind)
    yield from _mark(path, kind)
    yield from _make(path, kind)


def _bore(path: FeedPath, kind: WireKind | None) -> Iterator[Verdict]:
    wire_m, bore_m = path.wire.diameter_m, path.contact_tip.bore_m
    if wire_m is None or bore_m is None:
        yield NotJudged(f"bore of the tip: {'wire diameter' if wire_m is None else 'bore'} unknown")
        return
    window = tip_bores(wire_m, kind)
    widest = tip_bores(wire_m, None)  # an aluminium tip is never narrower than a steel one, so it is not wide before it
    what = f"{shown(wire_m)} wire in a tip of {shown(bore_m)} bore"
    usual = f"{shown(window.low_m)} to {shown(window.high_m)} suits it"
    fix = f"Fit a tip of {shown(window.low_m)} to {shown(window.high_m)} bore."
    if bore_m <= wire_m + ROUNDING_M:
        yield wrong("tip-bore-small", "contact-tip", what, f"The wire does not pass; {usual}.", fix, GEOMETRY)
    elif bore_m < window.low_m - ROUNDING_M:
        reason = f"Only {shown(bore_m - wire_m)} of play; {usual}: it may pass cold and seize when the tip grows hot."
        yield wrong("tip-bore-small", "contact-tip", what, reason, fix, window.low_by, "doubtful")
    elif bore_m > widest.high_m + ROUNDING_M:
        reason = f"{shown(bore_m - wire_m)} of play; {usual}: {_LARGE}."
        yield wrong("tip-bore-large", "contact-tip", what, reason, fix, widest.high_by)
    else:
        yield Fits(f"tip of {shown(bore_m)} bore for {shown(wire_m)} wire", window.low_by.source)


def _mark(path: FeedPath, kind: WireKind | None) -> Iterator[Verdict]:
    wire_m, marked_m = path.wire.diameter_m, path.contact_tip.marked_size_m
    if wire_m is None or marked_m is None:
        yield NotJudged(f"mark of the tip: {'wire diameter' if wire_m is None else 'mark'} unknown")
        return
    what = f"{shown(wire_m)} wire in a tip marked {shown(marked_m)}"
    side, rule = step(marked_m, wire_m), number("contact_tips", rule="step that stops the wire")
    fix = f"Fit a tip marked {shown(wire_m)}."
    if side < 0:
        yield _small_mark(what, wire_m - marked_m, fix, rule)
    elif side > 0 and not _next_size_will_do(path, kind, wire_m, marked_m):
        yield wrong(
            "tip-bore-large", "contact-tip", what, f"{shown(marked_m - wire_m)} too large: {_LARGE}.", fix, rule
        )
    else:
        yield Fits(f"tip marked {shown(marked_m)} for {shown(wire_m)} wire", rule.source)


def _small_mark(what: str, under_m: float, fix: str, stops: Sourced) -> Verdict:
    seizes = number("contact_tips", rule="step that seizes hot")
    if under_m > (stops.value + seizes.value) / 2:
        reason = f"{shown(under_m)} too small: {shown(stops.value)} or more stops the wire."
        return wrong("tip-bore-small", "contact-tip", what, reason, fix, stops)
    reason = f"{shown(under_m)} too small: a step of {shown(seizes.value)} may pass cold and seizes hot."
    return wrong("tip-bore-small", "contact-tip", what, reason, fix, seizes, "doubtful")


def _next_size_will_do(path: FeedPath, kind: WireKind | None, wire_m: float, marked_m: float) -> bool:
    """Aluminium may run in a tip marked for the next size of steel, since that is the bore it asks for."""
    if path.contact_tip.for_aluminium or (kind is not None and kind.metal != "aluminium"):
        return False
    return marked_m <= tip_bores(wire_m, kind).high_m + ROUNDING_M


def _make(path: FeedPath, kind: WireKind | None) -> Iterator[Verdict]:
    made = path.contact_tip.for_aluminium
    if kind is None or made is None:
        yield NotJudged(f"make of the tip: {'wire class' if kind is None else 'made for aluminium or not'} unknown")
        return
    if kind.metal == "aluminium" and not made:
        wide = number("contact_tips", rule="clearance", metal="aluminium")
        reason = (
            f"Aluminium grows hot and seizes in the bore of a steel tip; it asks for about {shown(wide.value)} of play."
        )
        fix = "Fit a tip made for aluminium of the wire's size."
        yield wrong("tip-steel-for-aluminium", "contact-tip", f"steel tip on {kind.words()}", reason, fix, wide)
    elif kind.metal in _STEELS and made:
        least, most = (number("contact_tips", rule=f"clearance {end}").value for end in ("least", "most"))
        reason = f"Its bore is wider than the {shown(least)} to {shown(most)} of play that steel wants: {_LARGE}."
        fix = "Fit a tip made for steel of the wire's size."
        yield wrong("tip-aluminium-for-steel", "contact-tip", f"aluminium tip on {kind.words()}", reason, fix, PRACTICE)
    else:
        yield Fits(f"tip {'' if made else 'not '}made for aluminium on {kind.words()}", PRACTICE.source)
