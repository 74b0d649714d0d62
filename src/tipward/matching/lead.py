"""Wire, torch lead and gun: how far this wire can be pushed, how tight the lead may lie, can the gun be driven."""

from collections.abc import Iterator

from tipward.foundation import Sourced, show_quantity
from tipward.matching.judged import PRACTICE, Fits, NotJudged, Verdict, number, wrong
from tipward.matching.kinds import WireKind
from tipward.matching.sizes import ROUNDING_M, shown, step
from tipward.model import FeedPath


def judge_lead(path: FeedPath, kind: WireKind | None) -> Iterator[Verdict]:
    """Length, lie and gun of the torch lead against the wire.

    >>> from tipward.model import TorchLead, Wire
    >>> thin = FeedPath(wire=Wire(diameter_m=0.0006), torch_lead=TorchLead(length_m=4.0))
    >>> next(judge_lead(thin, None)).fault
    'lead-too-long'
    """
    yield from _length(path, kind)
    yield from _lie(path)
    yield from _gun(path)


def longest_push(wire_m: float | None, kind: WireKind | None) -> Sourced | None:
    """The longest torch lead that practice pushes this wire through [m], or None where no rule speaks of it.

    >>> from tipward.matching.kinds import known
    >>> longest_push(0.0012, known("er4043")).high, longest_push(0.0006, None).value
    (3.7, 3.0)
    """
    found = []
    if wire_m is not None and step(wire_m, number("lead_lengths", rule="wire at most").value) <= 0:  # .024 in counts
        found.append(number("lead_lengths", wire="thin", rule="length most"))
    if kind is not None and kind.metal == "aluminium":
        found.append(number("lead_lengths", wire="aluminium by push"))
    return min(found, key=lambda rule: rule.high, default=None)


def _length(path: FeedPath, kind: WireKind | None) -> Iterator[Verdict]:
    length_m, wire_m = path.torch_lead.length_m, path.wire.diameter_m
    if path.gun.kind != "push":
        yield Fits(f"{path.gun.kind} gun: no long push", PRACTICE.source)
        return
    if length_m is None or (wire_m is None and kind is None):
        yield NotJudged("length of the torch lead: " + ("not known" if length_m is None else "wire unknown"))
        return
    rule = longest_push(wire_m, kind)
    if rule is None:
        usual = number("lead_lengths", rule="usual length")
        yield Fits(f"torch lead of {length_m:g} m: no rule against it (usual is {usual.value:g} m)", usual.source)
    elif length_m <= rule.low + ROUNDING_M:
        yield Fits(f"torch lead of {length_m:g} m", rule.source)
    else:
        wire = " ".join(([shown(wire_m)] if wire_m else []) + ([kind.words()] if kind else ["wire"]))
        most = f"{rule.low:g} m" if rule.low == rule.high else f"{rule.low:g} to {rule.high:g} m"
        reason = f"This wire is pushed through {most} at most; the torch lead has {length_m:g} m."
        fix = f"Use a torch lead of {rule.low:g} m, or a push–pull gun or spool gun; lay it straight until then."
        doubts = ("doubtful",) if length_m <= rule.high + ROUNDING_M else ()
        what = f"{length_m:g} m torch lead for {wire}"
        yield wrong("lead-too-long", "torch-lead", what, reason, fix, rule, *doubts)


def _lie(path: FeedPath) -> Iterator[Verdict]:
    lead = path.torch_lead
    radii = [piece.radius_m for piece in lead.route if piece.radius_m is not None]
    if lead.turns and lead.turn_radius_m is not None:
        radii.append(lead.turn_radius_m)
    if lead.safe_radius_m is None or not radii:
        yield NotJudged(
            "lie of the torch lead: " + ("safe radius" if lead.safe_radius_m is None else "route") + " unknown"
        )
    elif min(radii) < lead.safe_radius_m - ROUNDING_M:
        tight, safe = (show_quantity(radius, "m") for radius in (min(radii), lead.safe_radius_m))
        reason = f"Its tightest bend is {tight}, its safe radius {safe}: the liner kinks and tight bends hold the wire."
        fix = f"Lay the torch lead out so that no bend is tighter than {safe}."
        yield wrong("lead-folded", "torch-lead", f"torch lead bent to {tight}", reason, fix, PRACTICE)
    else:
        yield Fits("torch lead lies no tighter than its safe radius", PRACTICE.source)


def _gun(path: FeedPath) -> Iterator[Verdict]:
    kind, control = path.gun.kind, path.drive.gun_control
    if kind == "push":
        return
    if control is None:
        yield NotJudged(f"{kind} gun: not known whether this machine can drive it (drive.gun_control)")
    elif control in {kind, "both"}:
        yield Fits(f"{kind} gun on a machine that drives it", PRACTICE.source)
    else:
        has = "no control for a gun with its own motor" if control == "none" else f"control for a {control} gun only"
        reason = f"A {kind} gun needs the matching socket and control; this machine has {has}."
        fix = "Fit a gun that this machine can drive, or the maker's control kit."
        yield wrong("gun-not-drivable", "settings", f"{kind} gun on this machine", reason, fix, PRACTICE)
