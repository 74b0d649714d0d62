"""Which faults a measured check can notice: those whose change of the path touches a field that its reading depends on."""

from collections.abc import Mapping
from functools import lru_cache

from tipward.faults import Check, Fault
from tipward.mechanics import READINGS


@lru_cache(maxsize=4096)
def _fields(reading: str, context: tuple[tuple[str, str], ...]) -> frozenset[str]:
    return frozenset(READINGS[reading].fields(dict(context)))


_TOUCHING: dict[tuple[str, int], tuple[Mapping[str, Fault], frozenset[str]]] = {}


def touching(check: Check, faults: Mapping[str, Fault]) -> frozenset[str]:
    """Ids of the faults whose change of the path this measured check could notice; worked out once per catalogue."""
    assert check.reading is not None
    key = (check.id, id(faults))
    known = _TOUCHING.get(key)
    if known is None or known[0] is not faults:
        fields = _fields(check.reading.name, tuple(sorted(check.reading.context.items())))
        near = frozenset(f.id for f in faults.values() if any(item.field in fields for item in f.changes))
        known = _TOUCHING[key] = (faults, near)
    return known[1]


def reads(check: Check, field: str) -> bool:
    """Whether the reading of a measured check depends on a field of the path, or on how sure its relations are."""
    assert check.reading is not None
    fields = _fields(check.reading.name, tuple(sorted(check.reading.context.items())))
    return field in fields or field.startswith("mechanics.")
