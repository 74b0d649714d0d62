"""The catalogue: are single, double and triple faults found before a case closes? Simulated on the invented rigs."""

import sys
from collections.abc import Iterable
from concurrent.futures import ProcessPoolExecutor
from functools import cache
from multiprocessing import get_context
from pathlib import Path

import numpy as np

from benchmarks.session import lead
from benchmarks.world import everything_at_hand, random_case
from tipward.diagnosis.network import network_for
from tipward.faults import load_catalogue, prior
from tipward.faults.coverage import fields_that_move
from tipward.faults.separation import separation
from tipward.model import FeedPath, read_setup

NAME = "catalogue"
EXAMPLES = Path(__file__).parents[1] / "examples"
SINGLES, DOUBLES, TRIPLES = 200, 300, 100
QUICK_SINGLES, QUICK_DOUBLES, QUICK_TRIPLES = 1, 6, 3
QUICK_FAULTS = 12


@cache
def rigs() -> list[FeedPath]:
    """The rigs of the invented workshop, and one that leaves nearly everything unknown."""
    return [read_setup(file) for file in sorted(EXAMPLES.glob("rig-*.toml"))]


def rig_for(faults: Iterable[str]) -> FeedPath:
    """The rig on which these faults are likeliest together."""
    catalogue = load_catalogue()
    return max(rigs(), key=lambda path: float(np.prod([prior(catalogue.faults[fault], path) for fault in faults])))


def one(task: tuple[tuple[str, ...], int]) -> tuple[tuple[str, ...], bool, str, tuple[str, ...], float]:
    """One case with these faults: whether all were named, how it ended, which were missed, its cost."""
    faults, seed = task
    catalogue = load_catalogue()
    path = rig_for(faults)
    place = everything_at_hand(catalogue, qualified=True)
    rng = np.random.default_rng([seed, *map(ord, "".join(faults))])
    network = network_for(catalogue, path)
    rig, book = random_case(catalogue, path, rng, set(faults), place=place, network=network)
    ended = lead(catalogue, rig, book)
    missed = tuple(sorted(set(faults) - ended.named))
    return faults, not missed, ended.how, missed, ended.cost


def sets_of(size: int, count: int) -> list[tuple[str, ...]]:
    """Random sets of faults, drawn by their prior odds on the first rig, exclusive ones left out."""
    catalogue, path = load_catalogue(), rigs()[0]
    network = network_for(catalogue, path)
    weights = np.array([prior(fault, path) for fault in catalogue.faults.values()])
    rng, found = np.random.default_rng(size), []
    while len(found) < count:
        chosen = rng.choice(len(weights), size, replace=False, p=weights / weights.sum())
        names = tuple(sorted(network.ids[number] for number in chosen))
        if not any(other in catalogue.faults[name].excludes for name in names for other in names):
            found.append(names)
    return found


def tasks_of(quick: bool) -> list[tuple[tuple[str, ...], int]]:
    """Every case to be simulated."""
    faults = sorted(load_catalogue().faults)
    if quick:
        faults = faults[:: max(len(faults) // QUICK_FAULTS, 1)]
    singles = QUICK_SINGLES if quick else SINGLES
    tasks = [((fault,), seed) for seed in range(singles) for fault in faults]
    tasks += [(chosen, 1) for chosen in sets_of(2, QUICK_DOUBLES if quick else DOUBLES)]
    return tasks + [(chosen, 1) for chosen in sets_of(3, QUICK_TRIPLES if quick else TRIPLES)]


def run(quick: bool, processes: int = 2) -> tuple[dict[str, float], list[str]]:
    """Simulate every case and count; the table per fault goes into the notes."""
    with ProcessPoolExecutor(processes, get_context("spawn")) as pool:
        told = list(pool.map(one, tasks_of(quick), chunksize=8))
    return figures(told), notes(told)


def figures(told: list[tuple[tuple[str, ...], bool, str, tuple[str, ...], float]]) -> dict[str, float]:
    """Shares found, by number of faults; inseparable pairs from the coverage of the catalogue."""
    catalogue = load_catalogue()
    counts = {"faults": len(catalogue.faults), "checks": len(catalogue.checks), "complaints": len(catalogue.complaints)}
    found = {key: float(value) for key, value in counts.items()}
    for name, size in (("single_top_share", 1), ("double_found_share", 2), ("triple_found_share", 3)):
        shares = [ok for faults, ok, *_ in told if len(faults) == size]
        if shares:
            found[name] = float(np.mean(shares))
            found[f"{name}_se"] = float(np.std(shares) / np.sqrt(len(shares)))
    by_fault = per_fault(told)
    found["single_top_share_min"] = min(share for share, _ in by_fault.values())
    found["inseparable_pairs"] = float(len(separation(catalogue, fields_that_move).inseparable))
    return found


def per_fault(told: list[tuple[tuple[str, ...], bool, str, tuple[str, ...], float]]) -> dict[str, tuple[float, int]]:
    """For each single fault: share of its cases in which it was named, and their number."""
    names = sorted({faults[0] for faults, *_ in told if len(faults) == 1})
    rows = {name: [ok for faults, ok, *_ in told if faults == (name,)] for name in names}
    return {name: (float(np.mean(shares)), len(shares)) for name, shares in rows.items()}


def notes(told: list[tuple[tuple[str, ...], bool, str, tuple[str, ...], float]]) -> list[str]:
    """The table per fault, worst first, and what was missed in doubles and triples."""
    rows = sorted(per_fault(told).items(), key=lambda item: item[1][0])
    lines = [f"{name} {share:.3f} of {count}" for name, (share, count) in rows]
    missed = [
        f"{'+'.join(faults)} missed {'+'.join(gone)}" for faults, ok, _, gone, _ in told if len(faults) > 1 and not ok
    ]
    return lines + missed


if __name__ == "__main__":
    print(run(quick="--quick" in sys.argv))
