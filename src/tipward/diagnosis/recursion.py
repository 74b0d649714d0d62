"""The subset recursion: exact like signed products, and free of cancellation, since it adds non-negative numbers only.

State: which of the doubling findings something has brought out so far. Clusters come one after another; each state of a
cluster brings out each finding that it touches with its own chance. Forward gives the evidence, forward and backward give
every marginal, and backward sampling gives fault sets drawn exactly from the posterior.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from tipward.diagnosis.items import Items
from tipward.diagnosis.network import Floats, Ints

MOST_AT_ONCE = 16_384  # combinations of findings that are looked up at once; more are drawn in turns
LOW = 4  # findings that are brought out together by one small matrix, where a cluster has several kinds
SAME = 1e14  # chances are the same where they agree to the inverse of this
WORTH_MERGING = 8  # clusters with fewer states than this are not worth merging


@dataclass(frozen=True, slots=True)
class Course:
    """One cluster in the recursion: its items, the kind of each, weight of each kind (1 + K,), (finding, chance (1 + K)) steps.

    Items that bring out the same findings with the same chances are of one kind; kind 0 is "nothing present".
    """

    items: Ints
    kind: Ints
    share: Floats
    weight: Floats
    steps: tuple[tuple[int, tuple[float, ...]], ...]

    @property
    def silent(self) -> bool:
        """Whether nothing in this cluster brings anything out."""
        return len(self.weight) == 1

    def bits(self, kind: int) -> list[tuple[int, float]]:
        """What a kind brings out: (finding, chance) pairs."""
        return [(bit, chance[kind]) for bit, chance in self.steps if chance[kind] > 0]


class Recursion:
    """The recursion over chosen doubling findings of a case; with ``drawn`` it keeps what drawing sets from it needs.

    >>> import numpy as np
    >>> none = np.zeros(0, dtype=np.int64)
    >>> items = Items(none, none, none, none, np.zeros(0), np.zeros((0, 0)), np.zeros((0, 0)), np.zeros((0, 2)), 0.0, ())
    >>> Recursion(items, []).log_evidence
    0.0
    """

    def __init__(self, items: Items, findings: Sequence[int], drawn: bool = False) -> None:
        self.items, self.findings, self.drawn = items, list(findings), drawn
        self.size = 1 << len(self.findings)
        top, bottom = items.top[:, self.findings], items.bottom[:, self.findings]
        weight = np.exp(items.log_odds) * top.prod(axis=1)
        chance = 1 - bottom / np.maximum(top, 1e-300)
        self.courses = [_course(numbers, weight[numbers], chance[numbers]) for numbers in _by_cluster(items)]
        self.before: list[Floats] = []
        self.brought: list[Floats] = []
        self.some: list[Floats] = []
        self.log_evidence = self._forward()

    def _forward(self) -> float:
        start = self.items.start[self.findings]
        message, log_scale = np.ones(1), self.items.log_base + float(np.log(start[:, 0]).sum())
        for top, bottom in start:
            message = np.concatenate([message * (bottom / top), message * (1 - bottom / top)])
        for course in self.courses:
            self.before.append(message)
            brought = _pushed(message, course)
            some = course.weight[1:] @ brought
            if self.drawn:  # much to keep: every kind's message
                self.brought.append(brought)
                self.some.append(some)
            if course.silent:
                log_scale += float(np.log(course.weight[0]))
                continue
            message = course.weight[0] * message + some
            scale = message.sum()
            message, log_scale = message / scale, log_scale + float(np.log(scale))
        return log_scale + float(np.log(max(message[-1], 1e-300)))

    def marginals(self) -> Floats:
        """Probability of each item [1], (I,), exact."""
        chances = np.zeros(len(self.items.cluster))
        message = np.zeros(self.size)
        message[-1] = 1.0
        for place in range(len(self.courses) - 1, -1, -1):
            course = self.courses[place]
            if course.silent:
                chances[course.items] = course.share
                continue
            before, pulled = self.before[place], _pulled(message, course)
            share = np.append(course.weight[0] * (before @ message), course.weight[1:] * (pulled @ before))
            chances[course.items] = course.share * share[course.kind] / share.sum()
            message = course.weight[0] * message + course.weight[1:] @ pulled
            message /= message.max()
        return chances

    def sample(self, count: int, seed: int) -> Ints:
        """Fault sets drawn exactly from the posterior: the item of each cluster (-1 for none), (count, clusters)."""
        rng = np.random.default_rng(seed)
        drawn = np.full((count, len(self.courses)), -1, dtype=np.int64)
        need = np.full(count, self.size - 1, dtype=np.int64)
        for place in range(len(self.courses) - 1, -1, -1):
            course = self.courses[place]
            kind = self._draw_kind(place, need, rng)
            drawn[:, place] = _item_of_kind(course, kind, rng)
            for one in range(1, len(course.weight)):
                mine = np.flatnonzero(kind == one)
                if len(mine):
                    need[mine] = _left_to_explain(self.before[place], course.bits(one), need[mine], rng)
        return drawn

    def _draw_kind(self, place: int, need: Ints, rng: np.random.Generator) -> Ints:
        """Draw a cluster's kind given which findings must be out by now."""
        course, brought = self.courses[place], self.brought[place]
        kind = np.zeros(len(need), dtype=np.int64)
        if course.silent:
            return kind
        none = course.weight[0] * self.before[place][need]
        spin = rng.random(len(need)) * (none + self.some[place][need]) - none
        mine = np.flatnonzero(spin >= 0)
        kind[mine] = 1
        if len(brought) > 1:
            share = np.cumsum(course.weight[1:, None] * brought[:, need[mine]], axis=0)
            kind[mine] += (spin[mine] >= share[:-1]).sum(axis=0)
        return kind


def _pushed(message: Floats, course: Course) -> Floats:
    """The message after each kind but "nothing" has brought out what it can, (K, 2^m)."""
    kinds = len(course.weight) - 1
    if kinds == 0:
        return np.empty((0, len(message)))
    if kinds == 1:
        row = message.copy()
        _push(row, course.bits(1))
        return row[None]
    low, high = _low_and_high(message, course)
    pushed = (message.reshape(-1, low.shape[1]) @ low).reshape(kinds, len(message))
    _bring_out(pushed, high)
    return pushed


def _pulled(message: Floats, course: Course) -> Floats:
    """The message to what was out before each kind but "nothing" brought out what it can, (K, 2^m)."""
    kinds = len(course.weight) - 1
    if kinds == 1:
        row = message.copy()
        for bit, chance in course.bits(1):
            pair = row.reshape(-1, 2, 1 << bit)
            pair[:, 0] += chance * (pair[:, 1] - pair[:, 0])
        return row[None]
    low, high = _low_and_high(message, course)
    pulled = (message.reshape(-1, low.shape[1]) @ low.transpose(0, 2, 1)).reshape(kinds, len(message))
    for bit, each in high:
        view = pulled.reshape(kinds, -1, 2, 1 << bit)
        view[:, :, 0] += each * (view[:, :, 1] - view[:, :, 0])
    return pulled


def _low_and_high(message: Floats, course: Course) -> tuple[Floats, list[tuple[int, Floats]]]:
    """What each kind does to the lowest findings as one matrix (K, 2^low, 2^low); the steps of the others, one by one."""
    kinds, low = len(course.weight) - 1, min(LOW, len(message).bit_length() - 1)
    steps = [(bit, np.array(chance[1:])[:, None, None]) for bit, chance in course.steps]
    matrix = np.repeat(np.eye(1 << low)[None], kinds, axis=0)
    _bring_out(matrix, [(bit, chance) for bit, chance in steps if bit < low])
    return matrix, [(bit, chance) for bit, chance in steps if bit >= low]


def _bring_out(stack: Floats, steps: Sequence[tuple[int, Floats]]) -> None:
    """Bring findings out, each with its chance by kind (K, 1, 1), in messages by kind (K, ...) that are changed."""
    for bit, chance in steps:
        view = stack.reshape(len(stack), -1, 2, 1 << bit)
        view[:, :, 1] += chance * view[:, :, 0]
        view[:, :, 0] *= 1 - chance


def _push(row: Floats, bits: Sequence[tuple[int, float]]) -> None:
    """Bring findings out, each with its chance, in a message (2^m,) that is changed."""
    for bit, chance in bits:
        view = row.reshape(-1, 2, 1 << bit)
        out, brought = view[:, 0], view[:, 1]
        brought += chance * out
        out *= 1 - chance


def _left_to_explain(before: Floats, bits: list[tuple[int, float]], need: Ints, rng: np.random.Generator) -> Ints:
    """What must have been out before, given that a kind is there: which of its findings it brought out itself is drawn."""
    wanted = int(np.bitwise_or.reduce(need))
    bits = [(bit, chance) for bit, chance in bits if wanted >> bit & 1]
    most = max(int(np.log2(MOST_AT_ONCE / len(need))), 1)
    while bits:
        part, bits = bits[:most], bits[most:]
        rest = before.copy() if bits else before
        _push(rest, bits)
        masks, weights = _combinations(part)
        edges = np.cumsum(weights * rest[need[:, None] & ~masks] * (need[:, None] & masks == masks), axis=1)
        spin = rng.random(len(need)) * edges[:, -1]
        need = need & ~masks[(spin[:, None] >= edges[:, :-1]).sum(axis=1)]
    return need


def _combinations(bits: list[tuple[int, float]]) -> tuple[Ints, Floats]:
    """Every combination of findings as a mask, and the chance that they are all brought out."""
    masks, weights = [0], [1.0]
    for bit, chance in bits:
        masks += [mask | 1 << bit for mask in masks]
        weights += [weight * chance for weight in weights]
    return np.array(masks), np.array(weights)


def _course(numbers: Ints, weight: Floats, chance: Floats) -> Course:
    if len(numbers) == 1:
        return _single(numbers, float(weight[0]), chance[0].tolist())
    kinds, kind = _kinds(chance)
    per_kind: Floats = np.bincount(kind, weight, len(kinds)).astype(np.float64)
    per_kind[0] += 1.0
    steps = tuple((bit, tuple(kinds[:, bit].tolist())) for bit in np.flatnonzero((kinds > 0).any(axis=0)).tolist())
    return Course(numbers, kind, weight / np.maximum(per_kind[kind], 1e-300), per_kind, steps)


def _single(numbers: Ints, weight: float, chances: list[float]) -> Course:
    """The course of a cluster with one item; most are so."""
    steps = tuple((bit, (0.0, chance)) for bit, chance in enumerate(chances) if chance > 0)
    if steps:
        return Course(numbers, np.ones(1, dtype=np.int64), np.ones(1), np.array([1.0, weight]), steps)
    share = np.array([weight / (1.0 + weight)])
    return Course(numbers, np.zeros(1, dtype=np.int64), share, np.array([1.0 + weight]), ())


def _by_cluster(items: Items) -> Iterator[Ints]:
    if not len(items.cluster):
        return
    order = np.argsort(items.cluster, kind="stable")
    yield from np.split(order, np.flatnonzero(np.diff(items.cluster[order])) + 1)


def _kinds(chance: Floats) -> tuple[Floats, Ints]:
    """Distinct rows of chances with "brings out nothing" first, and which of them each item is."""
    if len(chance) <= WORTH_MERGING:
        silent = ~(chance > 0).any(axis=1)
        kind = np.where(silent, 0, np.cumsum(~silent))
        return np.concatenate([np.zeros((1, chance.shape[1])), chance[~silent]]), kind
    rows = np.concatenate([np.zeros((1, chance.shape[1])), chance])
    keys = np.random.default_rng(len(rows)).integers(1, 2**62, rows.shape[1])
    _, first, inverse = np.unique(np.rint(rows * SAME).astype(np.int64) @ keys, return_index=True, return_inverse=True)
    inverse = inverse.reshape(-1)
    order = np.argsort(first, kind="stable")
    rank = np.empty(len(order), dtype=np.int64)
    rank[order] = np.arange(len(order))
    return rows[first[order]], rank[inverse[1:]]


def _item_of_kind(course: Course, kind: Ints, rng: np.random.Generator) -> Ints:
    """An item of each drawn kind, by its share; -1 where nothing is present."""
    order = np.argsort(course.kind, kind="stable")
    numbers, share, of = course.items[order], course.share[order], course.kind[order]
    silent = int(np.searchsorted(of, 1))
    numbers = np.concatenate([numbers[:silent], [-1], numbers[silent:]])
    if not silent and len(numbers) == len(course.weight):
        return numbers[kind]
    of = np.concatenate([of[:silent], [0], of[silent:]])
    along = np.cumsum(np.concatenate([share[:silent], [0.0], share[silent:]]))
    first, last = np.diff(of, prepend=-1) > 0, np.diff(of, append=of[-1] + 1) > 0
    begins = np.concatenate([[0.0], along[:-1]])[first]
    edges = np.where(last, of + 1.0, of + along - begins[np.cumsum(first) - 1])
    found: Ints = numbers[np.searchsorted(edges, kind + rng.random(len(kind)), side="right")]
    return found
