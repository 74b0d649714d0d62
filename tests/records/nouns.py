"""Entries of every kind for the tests, drawn from the types of the nouns themselves."""

import types
from dataclasses import fields, is_dataclass
from typing import Annotated, Any, Literal, Union, get_args, get_origin, get_type_hints

from annotated_types import Ge, Gt, Le
from hypothesis import strategies as st

from tipward.model import Entry, Piece, TorchLead

WORDS = st.text(st.characters(exclude_categories=("Cs",), exclude_characters="\0"), max_size=20).filter(
    lambda text: text != "unknown"
)
LEAD_LENGTH_M = 20.0


def of(kind: Any) -> st.SearchStrategy[Any]:
    """Values of one type: unknown (None) wherever a field may be unknown."""
    origin = get_origin(kind)
    if kind is TorchLead:
        return LEADS
    if is_dataclass(kind):
        hints = get_type_hints(kind, include_extras=True)
        return st.builds(kind, **{item.name: of(hints[item.name]) for item in fields(kind)})
    if origin is Annotated:
        return _bounded(*get_args(kind))
    if origin is Literal:
        return st.sampled_from(get_args(kind))
    if origin in {Union, types.UnionType}:
        return st.one_of(*map(of, get_args(kind)))
    if origin is tuple:
        parts = get_args(kind)
        if parts[-1] is Ellipsis:
            return st.lists(of(parts[0]), max_size=3).map(tuple)
        return st.tuples(*map(of, parts))
    plain = {
        str: WORDS,
        bool: st.booleans(),
        int: st.integers(1, 10_000),
        float: st.floats(allow_nan=False, allow_infinity=False),
        type(None): st.none(),
    }
    return plain[kind]


def _bounded(kind: type, *marks: Any) -> st.SearchStrategy[Any]:
    low = next((mark.gt if isinstance(mark, Gt) else mark.ge for mark in marks if isinstance(mark, Gt | Ge)), None)
    high = next((mark.le for mark in marks if isinstance(mark, Le)), None)
    if kind is int:
        return st.integers(low, high)
    open_end = any(isinstance(mark, Gt) for mark in marks)
    return st.floats(low, high, exclude_min=open_end, allow_nan=False, allow_infinity=False)


SHORT = st.floats(1e-3, 0.5)
PIECES = st.one_of(
    st.builds(Piece, length_m=SHORT),
    st.builds(Piece, radius_m=SHORT, turning_rad=SHORT),
    st.builds(Piece, length_m=SHORT, radius_m=SHORT),
)
# A lead that is shorter than its bends is no path: those that are drawn here are long enough.
LEADS = st.one_of(
    st.just(TorchLead()),
    st.builds(TorchLead, turns=st.none() | st.floats(0, 100)),
    st.builds(
        TorchLead,
        length_m=st.none() | st.just(LEAD_LENGTH_M),
        turns=st.floats(0, 3),
        turn_radius_m=st.none() | SHORT,
        extra_turning_rad=st.floats(0, 10),
        safe_radius_m=st.none() | SHORT,
    ),
    st.builds(TorchLead, length_m=st.just(LEAD_LENGTH_M), route=st.lists(PIECES, max_size=4).map(tuple)),
)
KINDS: tuple[type, ...] = get_args(Entry)


def entries(kind: type) -> st.SearchStrategy[Any]:
    """Entries of one kind; ``kind`` itself keeps its default, since it is the name of the noun."""
    hints = get_type_hints(kind, include_extras=True)
    drawn = {item.name: of(hints[item.name]) for item in fields(kind) if item.name != "kind"}
    return st.builds(kind, **drawn)
