"""Do the parts suit this wire, and how near is the path to slipping, nesting or locking up?"""

from tipward.matching import fit as fit_of
from tipward.matching import recommend as recommend_for
from tipward.matching import serves as serves_of
from tipward.mechanics import feed_force
from tipward.model import FeedPath, Fit, ForceBudget, Recommended, Served


def fit(path: FeedPath) -> Fit:
    """Say which parts of a path do not suit its wire or each other, and why.

    Parameters
    ----------
    path : FeedPath
        The path; unknown fields are not judged.

    Returns
    -------
    Fit
        Mismatches with reason, grade, fix and the fault that each declares.

    Raises
    ------
    Nothing.

    Source: the tables named in the answer.

    >>> fit(FeedPath()).mismatches
    ()
    """
    return fit_of(path)


def force(path: FeedPath, draws: int = 512, seed: int = 1, extrapolate: bool = False) -> ForceBudget:
    """Work out the force to push this wire through this path, with every limit and its margin.

    Parameters
    ----------
    path : FeedPath
        The path.
    draws : int
        Number of draws over what is unknown [1].
    seed : int
        Seed of the draws; the same seed gives the same figures.
    extrapolate : bool
        Go on outside the validity range of a relation, with the result marked.

    Returns
    -------
    ForceBudget
        Forces [N] as 5, 50 and 95 % quantiles.

    Raises
    ------
    RangeError
        A value outside the validity range of a relation, unless ``extrapolate``.

    Source: docs/explanation/feed-force.md.

    >>> from tipward.model import TorchLead, Wire
    >>> path = FeedPath(wire=Wire("er70s-6", 0.0009), torch_lead=TorchLead(length_m=4.0, turns=1))
    >>> force(path).push_n.mid > 3
    True
    """
    return feed_force(path, n=draws, seed=seed, extrapolate=extrapolate)


def recommend(path: FeedPath) -> Recommended:
    """Recommend the set-up for the wire of a path, line by line.

    Parameters
    ----------
    path : FeedPath
        Only its wire, torch lead and settings are read.

    Returns
    -------
    Recommended
        Groove, guides, liner, tip, polarity, gas, longest lead, brake and clamp windows, each with reason and grade.

    Raises
    ------
    Nothing.

    Source: the tables named in the answer.

    >>> from tipward.model import Wire
    >>> len(recommend(FeedPath(wire=Wire("er70s-6", 0.0009))).lines) > 5
    True
    """
    return recommend_for(path)


def serves(parts: FeedPath) -> tuple[Served, ...]:
    """Say which wires some parts serve, the reverse of ``recommend``.

    Parameters
    ----------
    parts : FeedPath
        The parts in hand; unknown parts refuse nothing. Its wire is not read.

    Returns
    -------
    tuple of Served
        For each kind of wire the diameters served [m], and for the others the reasons.

    Raises
    ------
    Nothing.

    Source: the tables named in the answer.

    >>> from tipward.model import DriveRolls
    >>> [item.kind for item in serves(FeedPath(drive_rolls=DriveRolls(groove="knurled"))) if item.diameters_m]
    ['metal-cored wire', 'flux-cored wire']
    """
    return serves_of(parts)
