"""What a measured check should read on this path under any set of faults, over common draws of what is unknown."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import accumulate, pairwise

import numpy as np

from tipward.diagnosis.network import CheckNumbers, Floats, Ints
from tipward.diagnosis.touch import reads, touching
from tipward.faults import Catalogue, Change, Check, Fault
from tipward.mechanics import Draws, change, draw, measure, push_force, triangular
from tipward.model import Band, FeedPath

DRAWS = 8192  # the most that one set of faults is weighed over: the error of a pair is then within .05
MARCHED = 16_384  # sets times draws in one march: larger arrays leave the cache
KEPT_NUMBERS = 4_000_000  # what one path may remember of its predictions (32 MB)
SEED = 1
STUCK_N = 400.0  # a pull past this reads as "would not move"
OUTLIER_DEGREES = 4  # Student t: hand readings have heavy tails [judgement]
Stretch = tuple[int, int]  # first draw and how many
Asked = tuple[frozenset[str], int, int]  # a set of faults over its stretch


@dataclass(eq=False)
class Bench:
    """Common draws for one feed path, with memory of what each set of faults predicts for each check."""

    path: FeedPath
    draws: Draws
    faults: Mapping[str, Fault]
    memory: dict[str, dict[Asked, Floats]] = field(default_factory=dict)
    kept: int = 0
    graded: dict[str, tuple[CheckNumbers, Band]] = field(default_factory=dict)

    def predict(self, check: Check, sets: Sequence[frozenset[str]], count: int = DRAWS) -> Floats:
        """Readings of a check (SI) under each set of faults, over the first ``count`` draws: (sets, count)."""
        return self.along(check, sets, [(0, count)] * len(sets)).reshape(len(sets), count)

    def along(self, check: Check, sets: Sequence[frozenset[str]], stretches: Sequence[Stretch]) -> Floats:
        """Readings of a check (SI) under each set of faults over its own stretch (first, count) of the draws, end to end."""
        known = self.memory.get(check.id, {})
        touched = touching(check, self.faults)
        asked = [
            (item if item <= touched else item & touched, *stretch)
            for item, stretch in zip(sets, stretches, strict=True)
        ]
        new = [key for key in dict.fromkeys(asked) if key not in known]
        for part in _in_turns(new):
            ends = [0, *accumulate(count for _, _, count in part)]
            read = self._march(check, part)
            known.update((key, read[begin:end]) for key, (begin, end) in zip(part, pairwise(ends), strict=True))
        self._keep(check.id, known, sum(count for _, _, count in new))
        return np.concatenate([known[key] for key in asked]) if asked else np.zeros(0)

    def _keep(self, check: str, known: dict[Asked, Floats], more: int) -> None:
        """Remember what one check reads; where all together is too much, that alone, or nothing."""
        self.kept += more
        if self.kept > KEPT_NUMBERS:
            self.memory.clear()
            self.kept = sum(count for _, _, count in known)
        if self.kept <= KEPT_NUMBERS:
            self.memory[check] = known
        else:
            self.kept = 0

    def _march(self, check: Check, sets: Sequence[Asked]) -> Floats:
        """One march through all sets end to end, each over its stretch of the draws."""
        assert check.reading is not None
        first, count = np.array([key[1:] for key in sets], dtype=np.int64).T
        begins, every = np.cumsum(count) - count, end_to_end(first, count)
        alike = bool((first == first[0]).all() and (count == count[0]).all())
        shape, which = ((len(sets), int(count[0])), every[: count[0]]) if alike else (every.shape, every)
        values = {
            name: value.take(which) if isinstance(value, np.ndarray) else value
            for name, value in self.draws.values.items()
            if reads(check, name)
        }
        held: dict[str, list[int]] = {}
        for place, key in enumerate(sets):
            for fault in key[0]:
                held.setdefault(fault, []).append(place)
        places = {fault: end_to_end(begins[held[fault]], count[held[fault]]) for fault in sorted(held)}
        steps = [
            (step, at, self.draws.uniforms[f"{fault}:{number}"].take(every[at]))
            for fault, at in places.items()
            for number, step in enumerate(self.faults[fault].changes)
            if reads(check, step.field)
        ]
        for (step, at, _), size in zip(steps, _sizes(steps), strict=True):
            _change(values, step, at, size, shape)
        found = np.broadcast_to(measure(check.reading.name, values, self.path, dict(check.reading.context)), shape)
        read: Floats = np.where(np.isfinite(found), found, np.inf).reshape(-1)
        return read


def end_to_end(first: Ints, count: Ints) -> Ints:
    """Ranges of ``count`` whole numbers from each ``first``, end to end."""
    begins = np.cumsum(count) - count
    found: Ints = np.arange(int(count.sum())) + np.repeat(first - begins, count)
    return found


def _in_turns(
    asked: Sequence[Asked],
) -> Iterator[list[Asked]]:
    """What is asked, so much at a time as stays in the cache."""
    part: list[Asked] = []
    total = 0
    for key in asked:
        if part and total + key[2] > MARCHED:
            yield part
            part, total = [], 0
        part.append(key)
        total += key[2]
    if part:
        yield part


def _sizes(steps: Sequence[tuple[Change, Ints, Floats]]) -> list[Floats]:
    """How much each change amounts to in its places, all from one look at the triangle."""
    if not steps:
        return []
    counts = [len(at) for _, at, _ in steps]
    corners = np.repeat([(step.low, step.mode, step.high) for step, _, _ in steps], counts, axis=0).T
    sizes = triangular(np.concatenate([uniforms for _, _, uniforms in steps]), *corners)
    return [sizes[begin:end] for begin, end in pairwise([0, *accumulate(counts)])]


def _change(
    values: dict[str, float | Floats], step: Change, places: Ints, size: Floats, shape: tuple[int, ...]
) -> None:
    """Carry out one change of a fault in the places that hold it, of all in this shape end to end."""
    if step.field not in values:
        return
    whole = values[step.field]
    whole = whole if isinstance(whole, np.ndarray) and whole.shape == shape else np.broadcast_to(whole, shape).copy()
    flat = whole.reshape(-1)
    flat[places] = change({step.field: flat[places]}, step.field, step.op, size)[step.field]
    values[step.field] = whole


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
