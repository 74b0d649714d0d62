"""The catalogue: every fault, check, action and complaint, checked against each other."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from tipward.faults.blocks import Block
from tipward.faults.nouns import (
    Action,
    Caution,
    Check,
    Complaint,
    Condition,
    Fault,
    SetUp,
    Synonym,
)
from tipward.foundation import NotKnownError
from tipward.model import FeedPath, field_value


@dataclass(frozen=True, eq=False)
class Catalogue:
    """All tables by id. ``shown`` maps check id → fault id → outcome id → probability, from both ends of the data.

    >>> Catalogue({}, {}, {}, {}, {}, {}, ()).faults
    {}
    """

    faults: Mapping[str, Fault]
    checks: Mapping[str, Check]
    actions: Mapping[str, Action]
    complaints: Mapping[str, Complaint]
    cautions: Mapping[str, Caution]
    set_ups: Mapping[str, SetUp]
    synonyms: tuple[Synonym, ...]
    shown: Mapping[str, Mapping[str, Mapping[str, float]]] = field(default_factory=dict)
    places: Mapping[str, str] = field(default_factory=dict)
    blocks: Mapping[str, Block] = field(default_factory=dict)

    def actions_for(self, fault: str) -> tuple[Action, ...]:
        """Actions that clear a fault, cheapest first.

        >>> Catalogue({}, {}, {}, {}, {}, {}, ()).actions_for("liner-dirty")
        ()
        """
        found = [action for action in self.actions.values() if any(item.fault == fault for item in action.clears)]
        return tuple(sorted(found, key=lambda action: action.minutes.mean))

    def check(self, check: str) -> Check:
        """A check by its id; NotKnownError where there is none, naming near ids.

        >>> Catalogue({}, {}, {}, {}, {}, {}, ()).check("look-hub")
        Traceback (most recent call last):
        ...
        tipward.foundation.errors.NotKnownError: no check 'look-hub'; see the checks in docs/catalogue.md
        """
        if check not in self.checks:
            raise NotKnownError(f"no check {check!r}; see the checks in docs/catalogue.md")
        return self.checks[check]


def holds(condition: Condition, path: FeedPath) -> bool:
    """Whether a condition on a field holds for a path; an unknown field fails it.

    Parameters
    ----------
    condition : Condition
        Field and what it must be.
    path : FeedPath
        The path.

    Returns
    -------
    bool
        True where it holds.

    Raises
    ------
    KeyError
        No such field.

    Source: design (docs/decisions/0006).

    >>> from tipward.model import Wire
    >>> holds(Condition("wire.diameter_m", below=0.0007), FeedPath(wire=Wire(diameter_m=0.0006)))
    True
    """
    value = field_value(path, condition.field)
    if value is None:
        return False
    if condition.any_of and value not in condition.any_of:
        return False
    if condition.above is not None and not value > condition.above:
        return False
    return not (condition.below is not None and not value < condition.below)


def prior(fault: Fault, path: FeedPath) -> float:
    """Prior probability of a fault on this path: its base odds times what raises them.

    Parameters
    ----------
    fault : Fault
        The fault.
    path : FeedPath
        The path.

    Returns
    -------
    float
        Probability [1], below 0.95.

    Raises
    ------
    Nothing.

    Source: design (docs/decisions/0006); the factors are graded in the data.

    >>> fault = Fault("a", "liner", "a", "b", 0.1, "c", 1.0, "d")
    >>> prior(fault, FeedPath())
    0.1
    """
    odds = fault.prior / (1 - fault.prior) if fault.prior < 1 else 1e6
    for item in fault.raised_by:
        if holds(item.when, path):
            odds *= item.times
    return min(odds / (1 + odds), 0.95)
