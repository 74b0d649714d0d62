"""Which faults a measured check can notice: those whose change of the path touches a field that its reading depends on."""

from collections.abc import Iterable
from functools import lru_cache

from tipward.faults import Check, Fault
from tipward.mechanics import READINGS


@lru_cache(maxsize=4096)
def _fields(reading: str, context: tuple[tuple[str, str], ...]) -> frozenset[str]:
    return frozenset(READINGS[reading].fields(dict(context)))


def touching(check: Check, faults: Iterable[Fault]) -> frozenset[str]:
    """Ids of the faults whose change of the path this measured check could notice."""
    assert check.reading is not None
    fields = _fields(check.reading.name, tuple(sorted(check.reading.context.items())))
    return frozenset(fault.id for fault in faults if any(item.field in fields for item in fault.changes))
