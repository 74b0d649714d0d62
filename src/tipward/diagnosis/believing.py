"""The belief of a case: its pages through the engine that serves. No belief survives a call."""

from dataclasses import dataclass

from tipward.diagnosis.engine import MOST_DOUBLING, WORST_CANCELLATION, doubling_count, posterior
from tipward.diagnosis.network import Floats, Network, network_for
from tipward.diagnosis.posterior import Posterior
from tipward.diagnosis.sampled import sampled_posterior
from tipward.diagnosis.terms import Evidence, evidence
from tipward.faults import Catalogue
from tipward.model import Case


@dataclass(frozen=True, slots=True)
class Belief:
    """What the pages of a case amount to."""

    network: Network
    found: Evidence
    after: Posterior
    standard_error: float = 0.0
    draw_weights: Floats | None = None
    surprise: bool = False


def believe(catalogue: Catalogue, case: Case, exact: bool = False) -> Belief:
    """Work out the belief of a case from its pages.

    Parameters
    ----------
    catalogue : Catalogue
        The catalogue.
    case : Case
        An opened case.
    exact : bool
        Exact marginals wherever the recursion can give them, at more time.

    Returns
    -------
    Belief
        Network, evidence, measured sets and posterior.

    Raises
    ------
    NotKnownError
        A page names something that the catalogue does not hold.

    Source: docs/decisions/0008.

    >>> from datetime import datetime
    >>> from tipward.faults import build_catalogue
    >>> from tipward.model import FeedPath, Opened, Page
    >>> case = Case("c", (Page(1, "k", datetime(2026, 1, 1), Opened(FeedPath(), ())),))
    >>> believe(build_catalogue([]), case).after.all_clear()
    1.0
    """
    network = network_for(catalogue, case.opened().path)
    found = evidence(catalogue, network, case)
    return _believe(catalogue, network, found, exact)


def _believe(catalogue: Catalogue, network: Network, found: Evidence, exact: bool = False) -> Belief:
    """Signed products where they serve, else the subset recursion with drawn sets."""
    if not found.measured and doubling_count(network, found.terms) <= MOST_DOUBLING:
        after = posterior(network, found)
        if after.cancellation < WORST_CANCELLATION:
            return Belief(network, found, after)
    drawn = sampled_posterior(catalogue, network, found, exact)
    weighed = drawn.weighed
    return Belief(network, found, drawn.after, weighed.standard_error, weighed.draw_weights, weighed.surprise)
