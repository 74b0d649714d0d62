"""What each bend of a drawn torch lead costs: the push with it, less the push with that bend laid straight."""

from dataclasses import replace

import numpy as np

from tipward.mechanics.arrays import Floats
from tipward.mechanics.budget import band
from tipward.mechanics.draws import Draws, draw
from tipward.mechanics.march import push_force
from tipward.model import Band, FeedPath, Piece

NO_COST = Band(0.0, 0.0, 0.0)


def bend_costs(path: FeedPath, n: int = 256, seed: int = 1) -> tuple[Band, ...]:
    """Work out what each piece of the route of a torch lead costs in push at the rolls.

    Parameters
    ----------
    path : FeedPath
        The path with its route; fields that are not given are drawn from the sourced ranges.
    n : int
        Number of draws [1].
    seed : int
        Seed of the draws; the same seed gives the same figures.

    Returns
    -------
    tuple of Band
        One a piece of the route, machine to gun: push as it lies less push with that piece laid straight [N]; 0 for
        straights, infinite where the wire locks up as it lies and would not without that bend. Bends multiply each
        other, so the costs do not add up to the push.

    Raises
    ------
    Nothing.

    Source: own-derivation (docs/explanation/route.md), on the march of docs/explanation/feed-force.md.

    >>> from tipward.model import TorchLead
    >>> lead = TorchLead(route=(Piece(length_m=1.5), Piece(radius_m=0.15, turning_rad=6.28), Piece(length_m=1.5)))
    >>> [round(cost.mid) > 0 for cost in bend_costs(FeedPath(torch_lead=lead))]
    [False, True, False]
    """
    draws = draw(path, n, seed)
    route = path.torch_lead.route
    lies = _push(draws, path, route)
    return tuple(
        NO_COST if piece.radius_m is None else _cost(lies, _push(draws, path, _without(route, index)))
        for index, piece in enumerate(route)
    )


def _push(draws: Draws, path: FeedPath, route: tuple[Piece, ...]) -> Floats:
    laid = replace(path, torch_lead=replace(path.torch_lead, route=route))
    return np.broadcast_to(np.asarray(push_force(draws, laid, detail=False).push_n, dtype=float), (draws.n,))


def _without(route: tuple[Piece, ...], index: int) -> tuple[Piece, ...]:
    bend = route[index]
    length = bend.length_m if bend.length_m is not None else (bend.radius_m or 0.0) * (bend.turning_rad or 0.0)
    return (*route[:index], Piece(length_m=length), *route[index + 1 :])


def _cost(lies: Floats, straight: Floats) -> Band:
    """Draws that lock up either way say nothing about this bend."""
    told = np.isfinite(straight)
    return band(lies[told] - straight[told]) if told.any() else NO_COST
