"""The order of a round of looks: fewest minutes of taking apart and putting back, and from spool to arc where it is equal."""

from collections.abc import Sequence
from functools import cache

from tipward.faults import Catalogue, Check
from tipward.model import STATIONS

Together = tuple[int, frozenset[str]]
MOST_EXACT = 10  # groups that are ordered exactly; beyond, the nearest next
_PLACE = {station: number for number, station in enumerate(STATIONS)}  # from spool to arc
WARM, COLD, LIVE = 0, 1, 2  # as it stands, power off, power on again


def together(check: Check) -> Together:
    """What a look shares with others: before, while or after the power is off, and its set-ups.

    >>> from tipward.faults import load_catalogue
    >>> together(load_catalogue().check("look-hub"))
    (1, frozenset({'cover-open'}))
    """
    if check.runs_wire or "live-wire" in check.cautions:
        return LIVE, frozenset(check.set_up)
    cold = check.set_up or "power-off" in check.cautions
    return (COLD if cold else WARM), frozenset(check.set_up)


def in_order(catalogue: Catalogue, checks: Sequence[Check]) -> tuple[tuple[Together, tuple[Check, ...]], ...]:
    """Looks in groups that share their set-ups, in the order that wastes the fewest minutes, beginning and ending bare.

    >>> from tipward.faults import load_catalogue
    >>> catalogue = load_catalogue()
    >>> chosen = [catalogue.check(name) for name in ("look-groove", "look-tip", "look-rust", "look-supply")]
    >>> [[check.id for check in group] for _, group in in_order(catalogue, chosen)]
    [['look-supply'], ['look-rust'], ['look-groove'], ['look-tip']]
    """
    groups: dict[Together, list[Check]] = {}
    for check in sorted(checks, key=lambda check: _PLACE[check.station]):
        groups.setdefault(together(check), []).append(check)
    first = {key: _PLACE[group[0].station] for key, group in groups.items()}
    minutes = {name: item.minutes for name, item in catalogue.set_ups.items()}
    found, now = [], frozenset[str]()
    for phase in (WARM, COLD, LIVE):
        keys = tuple(sorted((key for key in groups if key[0] == phase), key=lambda key: (first[key], sorted(key[1]))))
        for key in _route(keys, now, tuple(sorted(minutes.items()))):
            found.append((key, tuple(groups[key])))
            now = key[1]
    return tuple(found)


@cache
def _route(
    keys: tuple[Together, ...], start: frozenset[str], minutes: tuple[tuple[str, float], ...]
) -> tuple[Together, ...]:
    """The order of groups with the fewest minutes; of equal ones the one with the fewest steps back along the path."""
    cost = dict(minutes)

    def between(one: frozenset[str], other: frozenset[str]) -> float:
        return round(sum(cost[name] for name in one ^ other), 6)

    if len(keys) > MOST_EXACT:
        nearest = min(range(len(keys)), key=lambda n: (between(start, keys[n][1]), n))
        rest = keys[:nearest] + keys[nearest + 1 :]
        return (keys[nearest], *_route(rest, keys[nearest][1], minutes))

    @cache
    def best(left: frozenset[int], at: frozenset[str]) -> tuple[float, int, tuple[int, ...]]:
        if not left:
            return between(at, frozenset()), 0, ()
        offers = []
        for number in sorted(left):
            then = best(left - {number}, keys[number][1])
            back = sum(other < number for other in left)
            offers.append((between(at, keys[number][1]) + then[0], back + then[1], (number, *then[2])))
        return min(offers)

    return tuple(keys[number] for number in best(frozenset(range(len(keys))), start)[2])
