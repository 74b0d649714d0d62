"""Simulated cases: a rig with known faults that answers checks, takes repairs and passes or fails the proof.

The world draws its own unknowns (its seed is never the judge's seed) and, where asked, differs from the catalogue: prior
odds off by a lognormal factor, checks less reliable, some checks that cannot be done.
"""

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from zlib import crc32

import numpy as np

from tipward.diagnosis.network import Network, build_network
from tipward.diagnosis.states import AGAIN
from tipward.faults import Catalogue, Check
from tipward.mechanics import change, draw, measure, triangular
from tipward.model import (
    Case,
    Entry,
    FeedPath,
    Finding,
    Opened,
    Page,
    Place,
    ProofTest,
    Repair,
)

START = datetime(2026, 1, 1)
WORLD_SEED = 77
WORLD_DRAWS = 256
MOST_FAULTS = 4  # a random case holds none to four
MOST_SAID = 3  # a customer names at most so many of what is true


@dataclass(frozen=True)
class Difference:
    """How far a world departs from the catalogue: log spread of prior odds, reliability lost, share that cannot be done."""

    odds_spread: float = 0.0
    reliability_lost: float = 0.0
    cannot_share: float = 0.0
    seed: int = 0


@dataclass
class Rig:
    """One simulated rig: its true faults now, and how it answers."""

    catalogue: Catalogue
    network: Network
    path: FeedPath
    rng: np.random.Generator
    present: set[str]
    difference: Difference = field(default_factory=Difference)
    at_start: frozenset[str] = frozenset()
    done: list[str] = field(default_factory=list)
    proofs: int = 0
    stood: dict[tuple[str, str], int] = field(default_factory=dict)

    def __post_init__(self):
        self.at_start = frozenset(self.present)
        extra = tuple(f"{f.id}:{n}" for f in self.catalogue.faults.values() for n in range(len(f.changes)))
        self.draws = draw(self.path, WORLD_DRAWS, WORLD_SEED, extra)
        self.row = int(self.rng.integers(WORLD_DRAWS))
        self.seed = int(self.rng.integers(2**31))

    def _dice(self, name: str) -> np.random.Generator:
        """Random numbers of one question in one epoch: the same whatever was asked before, so that policies compare."""
        again = self.proofs if name == "proof-test" else 0
        return np.random.default_rng([self.seed, crc32(name.encode()), len(self.done), again])

    def outcome(self, name: str) -> int:
        """An outcome of a discrete check (or complaint, or the proof test), by graded noisy-MAX."""
        numbers, dice = self.network.checks[name], self._dice(name)
        there = self.at_start if numbers.history else self.present
        seen = int(np.searchsorted(numbers.leak, dice.random(), side="right"))
        keep = 1 - self.difference.reliability_lost if name in self.catalogue.checks else 1.0
        for fault, shown in zip(numbers.faults, numbers.shown, strict=True):
            if self.network.ids[int(fault)] in there and dice.random() < keep:
                seen = max(seen, int(np.searchsorted(shown, dice.random(), side="right")))
        return min(seen, len(numbers.outcomes) - 1)

    def reading(self, check: Check) -> float:
        """A reading of a measured check (SI) with its scatter."""
        values = {key: float(v[self.row]) if isinstance(v, np.ndarray) else v for key, v in self.draws.values.items()}
        for fault in sorted(self.present):
            for number, step in enumerate(self.catalogue.faults[fault].changes):
                uniform = self.draws.uniforms[f"{fault}:{number}"][self.row]
                values = dict(change(values, step.field, step.op, triangular(uniform, step.low, step.mode, step.high)))
        true = float(np.asarray(measure(check.reading.name, values, self.path, dict(check.reading.context))))
        if not np.isfinite(true):
            return float("inf")
        spread = np.hypot(check.reading.repeat_share * true, check.reading.repeat_absolute)
        return max(float(true + spread * self._dice(check.id).standard_normal()), 0.0)

    def finding(self, check: Check) -> Finding:
        """The answer of this rig to a check."""
        if check.reading is not None:
            return Finding(check.id, readings=(self.reading(check),))
        return Finding(check.id, check.outcomes[self.outcome(check.id)].id)

    def repair(self, action_id: str) -> Repair:
        """Carry out an action: it may clear, fail, or bring something in."""
        action, dice = self.catalogue.actions[action_id], self._dice(action_id)
        self.done.append(action_id)
        for item in action.clears:
            if item.fault in self.present:
                stood = self.stood.get((action_id, item.fault), 0)
                if dice.random() < item.success * AGAIN**stood:
                    self.present.discard(item.fault)
                else:
                    self.stood[action_id, item.fault] = stood + 1
        for item in action.may_cause:
            if dice.random() < item.probability:
                self.present.add(item.fault)
        return Repair(action_id)

    def cannot(self, check_id: str) -> bool:
        """Whether this check cannot be done on this rig, in a world where some cannot."""
        return bool(self._dice(f"cannot:{check_id}").random() < self.difference.cannot_share)

    def proof(self) -> ProofTest:
        """The proof test passes or fails."""
        self.proofs += 1
        return ProofTest((("passes", (1.0 - self.outcome("proof-test"),)),))


class Notebook:
    """A case kept in memory, page by page."""

    def __init__(self, name: str, opened: Opened) -> None:
        self.case = Case(name)
        self.add(opened)

    def add(self, entry: Entry) -> Case:
        number = len(self.case.pages) + 1
        page = Page(number, f"{self.case.id}:{number}", START + timedelta(minutes=number), entry)
        self.case = self.case.with_page(page)
        return self.case


def sample_faults(network: Network, rng: np.random.Generator, odds_factor: np.ndarray | None = None) -> set[str]:
    """Faults of one case, drawn cluster by cluster from the joint prior (odds multiplied where the world differs)."""
    found: set[str] = set()
    for cluster in network.clusters:
        weights = cluster.prior
        if odds_factor is not None:
            weights = weights * np.prod(np.where(cluster.present, odds_factor[list(cluster.faults)], 1.0), axis=1)
        state = cluster.present[rng.choice(len(weights), p=weights / weights.sum())]
        found |= {network.ids[f] for f, on in zip(cluster.faults, state, strict=True) if on}
    return found


def complaints_of(rig: Rig) -> tuple[str, ...]:
    """What the customer says: up to three of the feeding complaints that the faults (or nothing at all) bring out."""
    said = [
        item.id for item in rig.catalogue.complaints.values() if item.kind == "feed" and rig.outcome(f"says:{item.id}")
    ]
    rig.rng.shuffle(said)
    return tuple(said[:MOST_SAID])


def random_case(
    catalogue: Catalogue,
    path: FeedPath,
    rng: np.random.Generator,
    faults: set[str] | None = None,
    difference: Difference | None = None,
    place: Place | None = None,
    network: Network | None = None,
) -> tuple[Rig, Notebook]:
    """One case with a complaint: faults drawn from the prior (or given), complaints drawn until there is one."""
    network = network or build_network(catalogue, path)
    world = difference or Difference()
    factor = None
    if world.odds_spread:
        factor = np.exp(world.odds_spread * np.random.default_rng(world.seed).standard_normal(len(network.ids)))
    for attempt in range(1000):
        chosen = set(faults) if faults is not None else sample_faults(network, rng, factor)
        if len(chosen) > MOST_FAULTS and faults is None:
            continue
        rig = Rig(catalogue, network, path, rng, chosen, world)
        said = complaints_of(rig)
        if said or attempt == 999:
            break
    return rig, Notebook("case", Opened(path, said, place or everything_at_hand(catalogue)))


def everything_at_hand(catalogue: Catalogue, at: str = "machine", qualified: bool = False) -> Place:
    """A place with every tool and spare that a check may want."""
    checks = catalogue.checks.values()
    tools = tuple(sorted({tool for check in checks for tool in check.tools}))
    return Place(at, tools, tuple(sorted({spare for check in checks for spare in check.spares})), qualified)
