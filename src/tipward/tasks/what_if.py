"""What a change of the path is worth in newtons, and a change of wire as a guided task."""

from collections.abc import Iterator
from dataclasses import replace
from typing import Literal

from tipward.foundation import InputError, Problem
from tipward.matching import fit as fit_of
from tipward.matching import recommend as recommend_for
from tipward.mechanics import feed_force
from tipward.model import (
    FeedPath,
    Fit,
    ForceBudget,
    Gain,
    Mismatch,
    Recommended,
    Wire,
    WireChange,
    WireStep,
)

DRAWS = 512
# Lengths and radii that a shop can get or lay without effort: the offer is a choice, what it saves is computed.
SHORT_LEAD_M, WIDE_LOOP_M = 3.0, 0.3
Material = Literal["steel", "ptfe", "pa", "carbon-ptfe"]
LINERS: dict[Material, str] = {
    "steel": "steel spiral",
    "ptfe": "PTFE",
    "pa": "polyamide",
    "carbon-ptfe": "PTFE with carbon",
}
WIRE_CHANGE_CAUTIONS = ("power-off", "spool-spring", "wire-end", "eyes", "jog-only", "nip")


def gain(before: FeedPath, after: FeedPath, change: str = "own", text: str = "") -> Gain:
    """Say what one change of a path is worth.

    Parameters
    ----------
    before, after : FeedPath
        The path as it is and as it would be.
    change : str
        Short name of the change.
    text : str
        What is done.

    Returns
    -------
    Gain
        Push before and after [N], what it saves at the middle [N]; negative where it costs.

    Raises
    ------
    Nothing.

    Source: docs/explanation/feed-force.md; both with the same draws.

    >>> from tipward.model import TorchLead
    >>> path = FeedPath(wire=Wire("er70s-6", 0.0009), torch_lead=TorchLead(length_m=4.0, turns=1))
    >>> gain(path, replace(path, torch_lead=TorchLead(length_m=4.0, turns=0))).saves_n > 0
    True
    """
    return _gain(before, feed_force(before, n=DRAWS, extrapolate=True), after, change, text)


def _gain(before: FeedPath, was: ForceBudget, after: FeedPath, change: str, text: str) -> Gain:
    will = feed_force(after, n=DRAWS, extrapolate=True)
    saves = was.push_n.mid - will.push_n.mid
    known = {item.what for item in fit_of(before).mismatches}
    new = tuple(item.reason for item in fit_of(after).mismatches if item.what not in known)
    return Gain(change, text, was.push_n, will.push_n, saves, _margin(was), _margin(will), after, will.marks, new)


def _margin(budget: ForceBudget) -> float:
    return next((limit.margin.mid for limit in budget.limits if limit.name == budget.first_limit), float("inf"))


def gains(path: FeedPath) -> tuple[Gain, ...]:
    """Say what each usual change of a path is worth: straight, shorter or wider lead, another liner, push–pull.

    Parameters
    ----------
    path : FeedPath
        The path as it is.

    Returns
    -------
    tuple of Gain
        Greatest saving first; changes that the path has already are left out.

    Raises
    ------
    Nothing.

    Source: docs/explanation/feed-force.md.

    >>> from tipward.model import TorchLead
    >>> path = FeedPath(wire=Wire("er70s-6", 0.0009), torch_lead=TorchLead(length_m=4.0, turns=1))
    >>> "straight" in {item.change for item in gains(path)}
    True
    """
    was = feed_force(path, n=DRAWS, extrapolate=True)
    found = [_gain(path, was, after, change, text) for change, text, after in _usual(path)]
    return tuple(sorted(found, key=lambda item: -item.saves_n))


def _usual(path: FeedPath) -> Iterator[tuple[str, str, FeedPath]]:
    lead = path.torch_lead
    if lead.turns != 0 or lead.route:
        yield "straight", "Lay the torch lead out straight", straightened(path)
    if lead.turns and lead.turn_radius_m and lead.turn_radius_m < WIDE_LOOP_M and not lead.route:
        wider = replace(lead, turn_radius_m=WIDE_LOOP_M)
        room = lead.length_m is None or lead.turns * 6.2832 * WIDE_LOOP_M <= lead.length_m
        if room:
            yield "wider", "Lay the loops wider: 0.6 m across", replace(path, torch_lead=wider)
    if lead.length_m is not None and lead.length_m > SHORT_LEAD_M:
        yield "shorter", "A 3 m torch lead, lying the same way", shortened(path, SHORT_LEAD_M)
    for material, name in LINERS.items():
        if path.liner.material not in {material, None}:
            new = replace(path.liner, material=material, friction_1=None, kink_drag_n=0.0, carried=None)
            yield f"liner-{material}", f"A new liner of {name}", replace(path, liner=new)
    if path.gun.kind == "push":
        yield (
            "push-pull",
            "A push–pull gun that suits this machine",
            replace(path, gun=replace(path.gun, kind="push-pull", pull_force_n=None)),
        )


def straightened(path: FeedPath) -> FeedPath:
    """The same path with its torch lead laid out straight.

    Parameters
    ----------
    path : FeedPath
        The path.

    Returns
    -------
    FeedPath
        No loops, no route, no extra turning.

    Raises
    ------
    Nothing.

    Source: design.

    >>> straightened(FeedPath()).torch_lead.turns
    0.0
    """
    lead = replace(path.torch_lead, turns=0.0, route=(), extra_turning_rad=0.0)
    return replace(path, torch_lead=lead)


def shortened(path: FeedPath, length_m: float) -> FeedPath:
    """The same path with another length of torch lead and liner, lying the same way as far as it is long enough.

    Parameters
    ----------
    path : FeedPath
        The path.
    length_m : float
        New length [m].

    Returns
    -------
    FeedPath
        A drawn route is scaled; loops that no longer fit become fewer.

    Raises
    ------
    InputError
        A length that is no length.

    Source: design.

    >>> shortened(FeedPath(), 3.0).torch_lead.length_m
    3.0
    """
    if not 0.3 <= length_m <= 60:
        raise InputError("lead", [Problem("length", f"is {length_m:g} m", "give 0.3 to 60 m")])
    lead = path.torch_lead
    scale = length_m / lead.length_m if lead.length_m else 1.0
    route = tuple(
        replace(
            piece,
            length_m=piece.length_m and piece.length_m * scale,
            radius_m=piece.radius_m and piece.radius_m * scale,
        )
        for piece in lead.route
    )
    turns = lead.turns
    if turns and lead.turn_radius_m:
        turns = min(turns, length_m / (6.2832 * lead.turn_radius_m))
    liner = replace(path.liner, length_m=path.liner.length_m and path.liner.length_m * scale)
    return replace(path, torch_lead=replace(lead, length_m=length_m, route=route, turns=turns), liner=liner)


def change_wire(path: FeedPath, wire: Wire) -> WireChange:
    """Plan a change of wire: what must change with it, what may stay, and what it does to the push.

    Parameters
    ----------
    path : FeedPath
        The path as it is, with the old wire.
    wire : Wire
        The new wire; its class and diameter are needed.

    Returns
    -------
    WireChange
        One step for each line of the recommended set-up, those that must change first.

    Raises
    ------
    InputError
        Class or diameter of the new wire is missing.

    Source: the tables named in the answer.

    >>> from tipward.model import DriveRolls
    >>> path = FeedPath(wire=Wire("er70s-6", 0.0009), drive_rolls=DriveRolls(groove="v", groove_size_m=0.0009))
    >>> change_wire(path, Wire("er5356", 0.0012)).steps[0].must_change
    True
    """
    missing = [name for name in ("wire_class", "diameter_m") if getattr(wire, name) is None]
    if missing:
        raise InputError("wire", [Problem(name, "is missing", "give class and diameter") for name in missing])
    after = with_wire(path, wire)
    fit = fit_of(after)
    return WireChange(
        path,
        after,
        fit,
        _steps(fit, recommend_for(after)),
        feed_force(path, n=DRAWS, extrapolate=True).push_n,
        feed_force(after, n=DRAWS, extrapolate=True).push_n,
        WIRE_CHANGE_CAUTIONS,
    )


def with_wire(path: FeedPath, wire: Wire) -> FeedPath:
    """The path with another wire on: the liner has carried the old one, the spool is another one.

    >>> with_wire(FeedPath(wire=Wire("er70s-6", 0.0012)), Wire("er5356", 0.0012)).liner.carried
    'er70s-6'
    """
    last = path.wire.wire_class or path.liner.carried
    old = replace(path, wire=wire, liner=replace(path.liner, carried=path.liner.carried or last))
    spoiled = any(item.fault == "liner-metal-carried" for item in fit_of(old).mismatches)
    return old if spoiled else replace(old, liner=replace(path.liner, carried=last))


def _steps(fit: Fit, wanted: Recommended) -> tuple[WireStep, ...]:
    musts = [_must(item) for item in fit.mismatches]
    rest = [WireStep(line.line, "", line.text, line.reason, line.grade, False) for line in wanted.lines]
    return (*musts, *(step for step in rest if step.wanted))


def _must(item: Mismatch) -> WireStep:
    return WireStep(item.station, item.what, item.fix, item.reason, item.grade, True)
