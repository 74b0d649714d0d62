"""The reverse: which wires the parts on the shelf serve, and why not the others."""

from dataclasses import replace

from tipward.matching.fitting import gathered
from tipward.matching.kinds import WireKind, known
from tipward.matching.lead import judge_lead
from tipward.matching.liners import judge_liner
from tipward.matching.rolls import judge_rolls
from tipward.matching.sizes import usual_sizes
from tipward.matching.tips import judge_tip
from tipward.model import FeedPath, Served, Wire

# One class of each kind of wire that rolls, liner and tip can tell apart.
TRIED = ("solid steel", "stainless", "er4043", "er5356", "cusi3", "metal-cored", "flux-cored")
PART_RULES = (judge_rolls, judge_liner, judge_lead, judge_tip)


def serves(parts: FeedPath) -> tuple[Served, ...]:
    """Say which wires some parts serve: every kind and usual size against rolls, liner, torch lead and tip.

    Parameters
    ----------
    parts : FeedPath
        The parts in hand; unknown parts refuse nothing. Its wire, polarity and gas are not read.

    Returns
    -------
    tuple of Served
        For each kind of wire the diameters that the parts serve [m], and for the others the reasons.

    Raises
    ------
    Nothing.

    Source: the same tables as ``fit``.

    >>> from tipward.model import ContactTip, DriveRolls, Liner
    >>> shelf = FeedPath(drive_rolls=DriveRolls(groove="u", groove_size_m=0.0012), liner=Liner("ptfe", 0.002),
    ...     contact_tip=ContactTip(bore_m=0.0014, for_aluminium=True))
    >>> [item.wire_class for item in serves(shelf) if 0.0012 in item.diameters_m]
    ['er4043', 'er5356', 'cusi3']
    """
    return tuple(_served(parts, known(key)) for key in TRIED)


def _served(parts: FeedPath, kind: WireKind) -> Served:
    against = {size: _reasons(parts, kind, size) for size in usual_sizes()}
    taken = tuple(size for size, reasons in against.items() if not reasons)
    refused = tuple((size, reasons) for size, reasons in against.items() if reasons)
    return Served(kind.words(), kind.key, taken, refused)


def _reasons(parts: FeedPath, kind: WireKind, size_m: float) -> tuple[str, ...]:
    path = replace(parts, wire=Wire(kind.key, size_m))
    found = gathered(verdict for rule in PART_RULES for verdict in rule(path, kind))
    return tuple(f"{item.what}: {item.reason}" for item in found.mismatches)
