"""Figures of the catalogue in words, as the page and the look-up show them."""

from collections.abc import Mapping

from tipward.faults.nouns import Change, Condition, Span

HISTORY = "once: the answer tells of the time before the case, and no repair changes it"
OPERATIONS = {"*": "×", "+": "+", "=": "="}


def outcomes_words(outcomes: Mapping[str, float]) -> str:
    """Outcomes with their chance.

    >>> outcomes_words({"worn": 0.9})
    'worn 90 %'
    """
    return ", ".join(f"{key} {percent(value)}" for key, value in outcomes.items()) or "as without a fault"


def change_words(change: Change) -> str:
    """What a fault does to a field of the path.

    >>> change_words(Change("liner.friction_1", "*", 1.4, 2.0, 3.0))
    '`liner.friction_1` × 2 (1.4 to 3)'
    """
    return f"`{change.field}` {OPERATIONS[change.op]} {change.mode:g} ({change.low:g} to {change.high:g})"


def condition_words(condition: Condition) -> str:
    """A condition on a field of the path.

    >>> condition_words(Condition("wire.diameter_m", below=0.0007))
    '`wire.diameter_m` < 0.0007'
    """
    said = [f"is {' or '.join(map(str, condition.any_of))}"] if condition.any_of else []
    said += [f"> {condition.above:g}"] if condition.above is not None else []
    said += [f"< {condition.below:g}"] if condition.below is not None else []
    return f"`{condition.field}` {' and '.join(said)}"


def minutes_words(span: Span) -> str:
    """Minutes with their range.

    >>> minutes_words(Span(1, 2, 4))
    '2 min (1 to 4, judgement)'
    """
    return f"{span.mode:g} min ({span.low:g} to {span.high:g}, judgement)"


def hours_words(span: Span) -> str:
    """Working hours with their range.

    >>> hours_words(Span(4, 24, 80))
    '24 working hours (4 to 80, judgement)'
    """
    return f"{span.mode:g} working hours ({span.low:g} to {span.high:g}, judgement)"


def percent(share: float) -> str:
    """A share in per cent, three digits.

    >>> percent(0.065)
    '6.5 %'
    """
    return f"{100 * share:.3g} %"
