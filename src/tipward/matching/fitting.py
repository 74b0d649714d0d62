"""Do the parts of a path suit its wire and each other?"""

from collections.abc import Callable, Iterable

from tipward.matching.circuit import judge_circuit
from tipward.matching.judged import Fits, NotJudged, Verdict
from tipward.matching.kinds import WireKind, wire_kind
from tipward.matching.lead import judge_lead
from tipward.matching.liners import judge_liner
from tipward.matching.rolls import judge_rolls
from tipward.matching.spools import judge_spool
from tipward.matching.tips import judge_tip
from tipward.model import FeedPath, Fit, Mismatch

Rule = Callable[[FeedPath, WireKind | None], Iterable[Verdict]]
RULES: tuple[Rule, ...] = (judge_spool, judge_rolls, judge_liner, judge_lead, judge_tip, judge_circuit)


def fit(path: FeedPath) -> Fit:
    """Say which parts of a path do not suit its wire or each other, which do, and what could not be judged.

    Parameters
    ----------
    path : FeedPath
        The path; an unknown field is never a mismatch.

    Returns
    -------
    Fit
        Mismatches with reason, fix, grade, source, reliability [1] and the fault that each declares, surest first.

    Raises
    ------
    Nothing.

    Source: tables grooves, liner_bores, liner_bands, liner_materials, contact_tips, wire_classes, wire_gases,
    lead_lengths, hubs, cast_and_helix; trust in a rule by its grade: table reliability.

    >>> from tipward.model import DriveRolls, Wire
    >>> fit(FeedPath(wire=Wire("er4043", 0.0012), drive_rolls=DriveRolls(groove="knurled"))).mismatches[0].fault
    'groove-form-wrong'
    """
    kind = wire_kind(path.wire.wire_class)
    return gathered([verdict for rule in RULES for verdict in rule(path, kind)])


def gathered(verdicts: Iterable[Verdict]) -> Fit:
    """The verdicts as one answer; two that declare the same fault count once, the surer one.

    >>> gathered([NotJudged("groove form: groove unknown")]).not_judged
    ('groove form: groove unknown',)
    """
    listed = list(verdicts)
    surest: dict[str, Mismatch] = {}
    for item in (verdict for verdict in listed if isinstance(verdict, Mismatch)):
        if item.fault not in surest or item.reliability > surest[item.fault].reliability:
            surest[item.fault] = item
    mismatches = tuple(sorted(surest.values(), key=lambda item: -item.reliability))
    fits = [verdict for verdict in listed if isinstance(verdict, Fits)]
    texts = tuple(verdict.text for verdict in listed if isinstance(verdict, NotJudged))
    used = {item.source for item in mismatches} | {item.source for item in fits}
    return Fit(mismatches, tuple(item.text for item in fits), texts, tuple(sorted(used)))
