"""Spool, hub and the wire as it was wound: bore against hub, cast and helix against the standard."""

from collections.abc import Iterator

from tipward.matching.judged import Fits, NotJudged, Verdict, number, wrong
from tipward.matching.kinds import WireKind
from tipward.matching.sizes import ROUNDING_M, shown
from tipward.model import FeedPath
from tipward.reference import table


def judge_spool(path: FeedPath, kind: WireKind | None) -> Iterator[Verdict]:
    """Spool against hub, cast and helix against the limits of the spool.

    >>> from tipward.model import Spool
    >>> next(judge_spool(FeedPath(spool=Spool(form="S100", hub="nut is brake")), None)).fault
    'spool-wrong-adaptor'
    """
    yield from _hub(path)
    yield from _cast(path, kind)
    yield from _helix(path, kind)


def _hub(path: FeedPath) -> Iterator[Verdict]:
    form, hub = path.spool.form, path.spool.hub
    row = next((row for row in table("hubs") if row.keys["spool"] == form and row.keys["hub"] == hub), None)
    if form is None or hub is None or row is None:
        missing = "spool form" if form is None else "kind of hub" if hub is None else f"no rule for {form} and {hub},"
        yield NotJudged(f"spool on its hub: {missing} unknown".replace(", unknown", ""))
    elif row.keys["standing"] == "fits":
        yield Fits(f"{form} spool on a hub of the kind {hub!r}", row.source)
    else:
        what = f"{form} spool on a hub of the kind {hub!r}"
        reason = f"{row.note[0].upper()}{row.note[1:]}: it sits loose, off its peg or rubs, and the brake cannot act."
        fix = "Fit the adaptor or hub that belongs to this spool, seated on its drive peg."
        yield wrong("spool-wrong-adaptor", "spool", what, reason, fix, row)


def _cast(path: FeedPath, kind: WireKind | None) -> Iterator[Verdict]:
    cast_m, form = path.wire.cast_diameter_m, path.spool.form
    known = {row.keys["spool"] for row in table("cast_and_helix") if row.keys["limit"] == "cast least"}
    if cast_m is None or form not in known or kind is None:
        yield NotJudged("cast of the wire: " + _missing(cast_m, form, kind))
        return
    least, most = (number("cast_and_helix", limit=f"cast {end}", spool=form or "") for end in ("least", "most"))
    if least.value - ROUNDING_M <= cast_m <= most.value + ROUNDING_M:
        yield Fits(f"free loop of {shown(cast_m)} off a {form} spool", least.source)
        return
    effect = "it presses hard in the tip and wanders" if cast_m < least.value else "it hardly presses on the tip's bore"
    reason = f"{least.value * 1e3:g} to {most.value * 1e3:g} mm is the limit off this spool: {effect}."
    fix = "Strip off a few wraps and look again; if it stays so, use another spool."
    yield wrong("wire-cast-out", "wire", f"free loop of {cast_m * 1e3:.3g} mm", reason, fix, least)


def _helix(path: FeedPath, kind: WireKind | None) -> Iterator[Verdict]:
    lift_m, form = path.wire.helix_lift_m, path.spool.form
    soft = kind is not None and kind.metal == "aluminium"
    rows = [row for row in table("cast_and_helix") if row.keys["limit"] == "helix most"]
    fitting = [
        row for row in rows if (row.keys["metal"] == "aluminium" if soft else row.keys["spool"] == form and form)
    ]
    if lift_m is None or kind is None or not fitting or fitting[0].number is None:
        yield NotJudged("helix of the wire: " + _missing(lift_m, form, kind))
    elif lift_m <= fitting[0].number.value + ROUNDING_M:
        yield Fits(f"helix of {lift_m * 1e3:.3g} mm", fitting[0].source)
    else:
        reason = f"{fitting[0].number.value * 1e3:g} mm is the limit: helix turns the wire in the tip, so it wanders."
        fix = "Strip off a few wraps and look again; if it stays so, use another spool."
        yield wrong("wire-helix-high", "wire", f"end lifts {lift_m * 1e3:.3g} mm", reason, fix, fitting[0])


def _missing(reading: float | None, form: str | None, kind: WireKind | None) -> str:
    if reading is None:
        return "free loop not measured"
    return "wire class unknown" if kind is None else f"no limit for spool form {form or 'unknown'}"
