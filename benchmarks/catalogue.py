"""The catalogue: are single, double and triple faults found before a case closes? Simulated on the invented rigs."""

from collections.abc import Iterable, Sequence
from functools import cache
from pathlib import Path
from typing import NamedTuple

import numpy as np

from benchmarks import Measured
from benchmarks.runs import simulated
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


class Case(NamedTuple):
    """One simulated case: its faults, whether all were named, told or gone in the end, how it ended, what was missed."""

    faults: tuple[str, ...]
    named: bool
    told: bool
    gone: bool
    how: str
    missed: tuple[str, ...]
    cost: float


def one(task: tuple[tuple[str, ...], int]) -> Case:
    """One case with these faults, led to its end by the planner."""
    faults, seed = task
    catalogue = load_catalogue()
    path = rig_for(faults)
    place = everything_at_hand(catalogue, qualified=True)
    rng = np.random.default_rng([seed, *map(ord, "".join(faults))])
    network = network_for(catalogue, path)
    rig, book = random_case(catalogue, path, rng, set(faults), place=place, network=network)
    ended = lead(catalogue, rig, book)
    missed = tuple(sorted(set(faults) - ended.named))
    return Case(faults, not missed, ended.told_all, ended.gone_all, ended.how, missed, ended.cost)


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


def run(quick: bool, processes: int = 2) -> Measured:
    """Simulate every case and count; the table per fault goes into the notes."""
    tasks = tasks_of(quick)
    told = simulated("catalogue", one, tasks, processes, keep=not quick)
    found, errors = figures(told)
    return Measured(found, notes(told), errors, {key: sum(len(c.faults) == n for c in told) for key, n in SHARES})


SHARES = (("single_top_share", 1), ("double_found_share", 2), ("triple_found_share", 3))


def figures(told: Sequence[Case]) -> tuple[dict[str, float], dict[str, float]]:
    """Shares named, by number of faults, with their standard errors; inseparable pairs from the coverage of the catalogue."""
    catalogue = load_catalogue()
    counts = {"faults": len(catalogue.faults), "checks": len(catalogue.checks), "complaints": len(catalogue.complaints)}
    found, errors = {key: float(value) for key, value in counts.items()}, {}
    for name, size in SHARES:
        cases = [case for case in told if len(case.faults) == size]
        if cases:
            found[name] = float(np.mean([case.named for case in cases]))
            errors[name] = float(np.std([case.named for case in cases]) / np.sqrt(len(cases)))
            found[f"{name.split('_')[0]}_told_share"] = float(np.mean([case.told for case in cases]))
            found[f"{name.split('_')[0]}_gone_share"] = float(np.mean([case.gone for case in cases]))
    several = [case.named for case in told if len(case.faults) > 1]
    if several:
        found["double_and_triple_found_share"] = float(np.mean(several))
    found["single_top_share_min"] = min(row[0] for row in per_fault(told).values())
    found["inseparable_pairs"] = float(len(separation(catalogue, fields_that_move).inseparable))
    return found, errors


def per_fault(told: Sequence[Case]) -> dict[str, tuple[float, float, float, int]]:
    """For each single fault: share of its cases in which it was named, told, gone, and their number."""
    rows: dict[str, list[Case]] = {}
    for case in told:
        if len(case.faults) == 1:
            rows.setdefault(case.faults[0], []).append(case)
    return {
        name: (*(float(np.mean([case[k] for case in cases])) for k in (1, 2, 3)), len(cases))
        for name, cases in sorted(rows.items())
    }


def notes(told: Sequence[Case]) -> list[str]:
    """The table per fault, worst first, and what was missed in doubles and triples."""
    rows = sorted(per_fault(told).items(), key=lambda item: item[1][0])
    lines = ["fault: share named, told, gone, of cases"]
    lines += [f"{name}: {named:.3f}, {t:.3f}, {gone:.3f}, of {count}" for name, (named, t, gone, count) in rows]
    missed = [case for case in told if len(case.faults) > 1 and not case.named]
    return lines + [f"{'+'.join(case.faults)} missed {'+'.join(case.missed)}" for case in missed]
