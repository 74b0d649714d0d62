"""What a measured check should read on this path under any set of faults, over common draws of what is unknown."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np

from tipward.diagnosis.network import CheckNumbers, Floats
from tipward.diagnosis.touch import touching
from tipward.faults import Catalogue, Check, Fault
from tipward.mechanics import Draws, change, draw, measure, push_force, triangular
from tipward.model import Band, FeedPath

DRAWS = 8192  # for what is stated: the error of a pair is then within .05
PLANNED = 512  # the first of them, for choosing the next step
MARCHED = 131_072  # sets times draws in one march: larger arrays leave the cache
KEPT_NUMBERS = 4_000_000  # what one path may remember of its predictions (32 MB)
SEED = 1
STUCK_N = 400.0  # a pull past this reads as "would not move"
OUTLIER_DEGREES = 4  # Student t: hand readings have heavy tails [judgement]


@dataclass(eq=False)
class Bench:
    """Common draws for one feed path, with memory of what each set of faults predicts for each check."""

    path: FeedPath
    draws: Draws
    faults: Mapping[str, Fault]
    memory: dict[tuple[str, int], dict[frozenset[str], Floats]] = field(default_factory=dict)
    graded: dict[str, tuple[CheckNumbers, Band]] = field(default_factory=dict)
    sizes: dict[tuple[str, int, int], Floats] = field(default_factory=dict)

    def predict(self, check: Check, sets: Sequence[frozenset[str]], count: int = DRAWS) -> Floats:
        """Readings of a check (SI) under each set of faults, over the first ``count`` draws: (sets, count)."""
        if sum(kept * len(rows) for (_, kept), rows in self.memory.items()) > KEPT_NUMBERS:
            self.memory.clear()
        known = self.memory.setdefault((check.id, count), {})
        touched = touching(check, self.faults)
        near = [item if item <= touched else item & touched for item in sets]
        new = [item for item in dict.fromkeys(near) if item not in known]
        step = max(MARCHED // count, 1)
        for start in range(0, len(new), step):
            part = new[start : start + step]
            for item, row in zip(part, self._march(check, part, count), strict=True):
                known[item] = row
        return np.array([known[item] for item in near])

    def _march(self, check: Check, sets: Sequence[frozenset[str]], count: int) -> Floats:
        assert check.reading is not None
        values: Mapping[str, float | Floats] = {
            name: value[:count] if isinstance(value, np.ndarray) else value for name, value in self.draws.values.items()
        }
        held: dict[str, list[int]] = {}
        for place, item in enumerate(sets):
            for fault in sorted(item):
                held.setdefault(fault, []).append(place)
        for fault, places in held.items():
            on = np.zeros((len(sets), 1), dtype=bool)
            on[places] = True
            for number, step in enumerate(self.faults[fault].changes):
                size = self._size(fault, number, count)
                if step.op == "=":
                    changed = change(values, step.field, "=", size)[step.field]
                    values = {**values, step.field: np.where(on, changed, values[step.field])}
                else:
                    neutral = 1.0 if step.op == "*" else 0.0
                    values = change(values, step.field, step.op, np.where(on, size, neutral))
        context = dict(check.reading.context)
        found = np.broadcast_to(measure(check.reading.name, values, self.path, context), (len(sets), count))
        read: Floats = np.where(np.isfinite(found), found, np.inf)
        return read

    def _size(self, fault: str, number: int, count: int) -> Floats:
        """How much a change of a fault amounts to in the first ``count`` draws; remembered for the short runs of choosing."""
        key = (fault, number, count)
        if key in self.sizes:
            return self.sizes[key]
        step = self.faults[fault].changes[number]
        size = triangular(self.draws.uniforms[f"{fault}:{number}"][:count], step.low, step.mode, step.high)
        if count <= PLANNED:
            self.sizes[key] = size
        return size


def calibrated_push(held: Bench, weights: Floats) -> Band:
    """Push at the rolls of the healthy path, 5, 50 and 95 %, with the draws weighted by what was measured on it.

    Parameters
    ----------
    held : Bench
        Draws of the path.
    weights : array
        Weight of each draw [1], adding to 1.

    Returns
    -------
    Band
        Push [N]; infinite where the wire locks up.

    Raises
    ------
    Nothing.

    Source: docs/decisions/0008.

    >>> from tipward.faults import build_catalogue
    >>> from tipward.model import TorchLead, Wire
    >>> path = FeedPath(wire=Wire("er70s-6", 0.0009), torch_lead=TorchLead(4.0, 1.0))
    >>> held = bench_for(build_catalogue([]), path)
    >>> calibrated_push(held, np.full(DRAWS, 1 / DRAWS)).mid > 3
    True
    """
    count = len(weights)
    push = np.broadcast_to(push_force(held.draws, held.path, detail=False).push_n, (DRAWS,))[:count]
    order = np.argsort(push)
    steps = np.cumsum(weights[order])
    low, mid, high = (float(push[order][min(int(np.searchsorted(steps, at)), count - 1)]) for at in (0.05, 0.5, 0.95))
    return Band(low, mid, high)


MOST_BENCHES = 16


@lru_cache(MOST_BENCHES)
def bench_for(catalogue: Catalogue, path: FeedPath) -> Bench:
    """The bench of a path for a catalogue, built once: one set of draws serves a whole case."""
    extra = tuple(f"{fault.id}:{n}" for fault in catalogue.faults.values() for n in range(len(fault.changes)))
    return Bench(path, draw(path, DRAWS, SEED, extra), catalogue.faults)


def log_likelihood(check: Check, readings: Sequence[float], predicted: Floats) -> Floats:
    """Log density of readings (SI) given each predicted reading: Student t about it, with the check's repeatability.

    Several readings count as their mean; "would not move" is an infinite reading, expected where the prediction is past
    what a hand can pull.
    """
    assert check.reading is not None
    stuck = ~np.isfinite(predicted) | ((check.reading.unit == "N") & (predicted > STUCK_N))
    mean = float(np.mean(readings))
    if not np.isfinite(mean):
        certain: Floats = np.log(np.where(stuck, 0.98, 0.005))
        return certain
    share, absolute = check.reading.repeat_share, check.reading.repeat_absolute
    safe = np.where(stuck, 1.0, predicted)
    spread = np.sqrt((share * safe) ** 2 + absolute**2 + 1e-18) / np.sqrt(min(len(readings), 4))
    z = (mean - safe) / spread
    density = np.log(0.375) - np.log(spread) - 2.5 * np.log1p(z * z / OUTLIER_DEGREES)
    floor = np.log(1e-6 / max(abs(mean), absolute, 1e-9))
    found: Floats = np.where(stuck, floor, np.maximum(density, floor))
    return found
