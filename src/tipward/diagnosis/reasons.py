"""Reasons for and against: the belief with each finding left out once, and the findings that hardly fit the rest."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from tipward.diagnosis.engine import posterior
from tipward.diagnosis.network import Floats, Network
from tipward.diagnosis.posterior import Drawn, Posterior
from tipward.diagnosis.terms import Evidence, Measured, Term, log_likelihood_of
from tipward.diagnosis.weighing import Scales
from tipward.diagnosis.wording import finding_text
from tipward.faults import Catalogue
from tipward.model import Case, Doubt, Reason

SURPRISE = 0.01  # a finding less likely than this, given the others, is named as a doubt
LEAST_WEIGHT = 0.1  # reasons weaker than this are not told [nat]


@dataclass(frozen=True, slots=True)
class LeftOut:
    """One finding left out: marginals with it and without it, and its chance given the others (nan for readings)."""

    item: Term | Measured
    chances: Floats
    without: Floats
    chance: float


def left_out(catalogue: Catalogue, network: Network, found: Evidence, after: Posterior) -> list[LeftOut]:
    """The belief without each finding in turn.

    Parameters
    ----------
    catalogue : Catalogue
        The catalogue.
    network : Network
        Its numbers.
    found : Evidence
        All findings.
    after : Posterior
        Belief after all of them.

    Returns
    -------
    list of LeftOut
        Exact under signed products; over drawn fault sets, by weighing each set without the finding.

    Raises
    ------
    Nothing.

    Source: docs/decisions/0008.

    >>> from tipward.diagnosis.network import build_network
    >>> from tipward.faults import build_catalogue
    >>> from tipward.model import FeedPath
    >>> empty = build_catalogue([])
    >>> net, none = build_network(empty, FeedPath()), Evidence((), (), (), ())
    >>> left_out(empty, net, none, posterior(net, none))
    []
    """
    if not isinstance(after, Drawn):
        return [_judged_again(network, found, after, term) for term in found.terms]
    present, weights = after.sets, after.weights
    scales = Scales(catalogue, network, found)
    logs: list[tuple[Term | Measured, Floats, bool]] = [(t, log_likelihood_of(t, present), True) for t in found.terms]
    logs += [(item, scales.log_alone(item, present), False) for item in found.measured]
    now = present[:, :, -1].astype(float)
    return [_weighed_again(item, weights, log, now, known) for item, log, known in logs]


def _judged_again(network: Network, found: Evidence, after: Posterior, term: Term) -> LeftOut:
    fewer = replace(found, terms=tuple(item for item in found.terms if item is not term))
    without = posterior(network, fewer)
    chance = float(np.exp(min(after.log_evidence - without.log_evidence, 0.0)))
    return LeftOut(term, after.marginals(), without.marginals(), chance)


def _weighed_again(item: Term | Measured, weights: Floats, log: Floats, now: Floats, known: bool) -> LeftOut:
    lifted = weights * np.exp(log.min() - log)
    chance = float(np.exp(log.min()) / lifted.sum()) if known else float("nan")
    return LeftOut(item, weights @ now, (lifted / lifted.sum()) @ now, chance)


def reasons(catalogue: Catalogue, case: Case, left: Sequence[LeftOut], fault: int) -> tuple[Reason, ...]:
    """Findings that speak for or against a fault, strongest first; weight is the change of its log odds [nat]."""
    found = []
    for item in left:
        weight = _log_odds(item.chances[fault]) - _log_odds(item.without[fault])
        if abs(weight) > LEAST_WEIGHT:
            found.append(Reason(item.item.page, finding_text(catalogue, case, item.item), round(weight, 3)))
    return tuple(sorted(found, key=lambda reason: -abs(reason.weight)))


def _log_odds(chance: float) -> float:
    inside = min(max(float(chance), 1e-6), 1 - 1e-6)
    return float(np.log(inside / (1 - inside)))


def doubts(
    catalogue: Catalogue, case: Case, found: Evidence, surprise: bool, left: Sequence[LeftOut]
) -> tuple[Doubt, ...]:
    """What does not fit: overruled answers, readings that nothing explains, findings that hardly fit the others."""
    told = [
        Doubt(f"answered twice, differently, with nothing changed between: page {new.sequence} holds", old.sequence)
        for old, new in found.overruled
    ]
    if surprise:
        told.append(Doubt("no set of listed faults explains the measured readings: measure again, or look elsewhere"))
    for item in left:
        if item.chance < SURPRISE:
            text = finding_text(catalogue, case, item.item)
            rate = f"expected in {100 * item.chance:.1g} of 100 such cases"
            told.append(Doubt(f"hardly fits the other findings ({rate}): {text}", item.item.page))
    return tuple(told)
