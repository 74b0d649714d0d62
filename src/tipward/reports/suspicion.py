"""Suspicion per station, out of a judgement."""

from tipward.model import Judgement


def station_suspicions(judgement: Judgement) -> dict[str, float]:
    """Say how much suspicion sits at each station.

    Parameters
    ----------
    judgement : Judgement
        With suspicions per fault and the sets of faults that explain the case.

    Returns
    -------
    dict of str to float
        Station → probability that something is wrong there [1], at least: the highest single suspicion, or the share
        of the listed explanations that hold a fault of the station, whichever is more.

    Raises
    ------
    Nothing.

    Source: design; both terms are lower bounds of the probability of the union.

    >>> from tipward.model import Suspicion
    >>> station_suspicions(Judgement((Suspicion("a", "a", "liner", 0.3),), (), 0.7, (), 0.0, "exact"))
    {'liner': 0.3}
    """
    found: dict[str, float] = {}
    station_of = {item.fault: item.station for item in judgement.suspicions}
    for item in judgement.suspicions:
        found[item.station] = max(found.get(item.station, 0.0), item.probability)
    shares: dict[str, float] = {}
    for explanation in judgement.explanations:
        for station in {station_of[key] for key in explanation.faults if key in station_of}:
            shares[station] = shares.get(station, 0.0) + explanation.probability
    return {station: min(max(value, shares.get(station, 0.0)), 1.0) for station, value in found.items()}
