"""A cause that the catalogue does not list: how often is it suspected where there is one, and where there is none?

Where there is none: cases of the shipped catalogue, judged by it. Where there is one: one fault is hidden from the judge (its
odds are nothing) while the rig has it.
"""

from dataclasses import replace

import numpy as np

from benchmarks import Measured
from benchmarks.catalogue import rig_for, rigs
from benchmarks.runs import simulated
from benchmarks.session import lead
from benchmarks.world import everything_at_hand, random_case
from tipward.diagnosis.network import network_for
from tipward.diagnosis.strangeness import UNLISTED, answers_of, strangeness
from tipward.faults import Catalogue, load_catalogue

NAME = "unlisted"
SEED = 300_000
CASES, QUICK_CASES = 200, 6
UNHEARD = 1e-9


def hidden(catalogue: Catalogue, fault: str) -> Catalogue:
    """The catalogue as one would have it who never heard of this fault."""
    never = replace(catalogue.faults[fault], prior=UNHEARD, raised_by=())
    roots = {
        name: replace(item, leads_to=tuple(to for to in item.leads_to if to.fault != fault))
        for name, item in catalogue.faults.items()
    }
    return replace(catalogue, faults={**roots, fault: never})


def one(task: tuple[str, int]) -> float:
    """How strange the answers of a case are at its end; with a fault named, that fault is hidden from the judge."""
    fault, seed = task
    catalogue = load_catalogue()
    path = rig_for((fault,)) if fault else rigs()[seed % len(rigs())]
    judge = hidden(catalogue, fault) if fault else catalogue
    rng, network = np.random.default_rng(SEED + seed), network_for(catalogue, path)
    faults = {fault} if fault else None
    rig, book = random_case(catalogue, path, rng, faults, place=everything_at_hand(catalogue), network=network)
    lead(judge, rig, book)
    return strangeness(answers_of(judge, book.case))


def run(quick: bool, processes: int = 2) -> Measured:
    """Shares of cases in which something unlisted is suspected."""
    count = QUICK_CASES if quick else CASES
    names = sorted(load_catalogue().faults)[:: len(load_catalogue().faults) // count + 1 if quick else 1]
    told = simulated("unlisted", one, [("", n) for n in range(count)], processes, keep=not quick)
    there = simulated("hidden", one, [(name, 0) for name in names], processes, keep=not quick)
    figures = {
        "unlisted_false_alarm_share": float(np.mean([odd > UNLISTED for odd in told])),
        "unlisted_suspected_share": float(np.mean([odd > UNLISTED for odd in there])),
    }
    errors = {"unlisted_false_alarm_share": float(np.sqrt(max(figures["unlisted_false_alarm_share"], 0.01) / count))}
    levels = [
        f"past {z:g}: {np.mean(np.array(told) > z):.3f} where all is listed, {np.mean(np.array(there) > z):.3f} where not"
        for z in (0.5, 1.0, 1.5, 2.0, 3.0)
    ]
    return Measured(
        figures, levels, errors, {"unlisted_false_alarm_share": count, "unlisted_suspected_share": len(names)}
    )
