"""Policies on the shipped catalogue: what a proven fix costs, paired on the same cases, every one closing by the same rules."""

import sys
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from multiprocessing import get_context

import numpy as np

from benchmarks import Measured
from benchmarks.catalogue import rigs
from benchmarks.session import Ended, lead
from benchmarks.world import Difference, everything_at_hand, random_case
from tipward.diagnosis.judging import Belief, believe
from tipward.diagnosis.network import network_for
from tipward.faults import Action, Catalogue, load_catalogue
from tipward.model import STATIONS, Case, NextStep
from tipward.planning import LEFT_LIMIT, describe_check, describe_fix, next_step, proof_passed, set_out
from tipward.planning.board import Board, cleared, surest
from tipward.planning.choosing import LEAST_INFORMATION, MOST_PROOFS, PROBABLY_PASSES
from tipward.planning.proving import proofs_failed

NAME = "policy"
FIRST_SEED = 90_000  # never used while the planner was made
CASES, QUICK_CASES = 2000, 6
HELD = 0.5  # baselines mend a fault that is likelier than not
OTHER_WORLD = Difference(odds_spread=0.7, reliability_lost=0.10, cannot_share=0.10, seed=7)
Choose = Callable[[Board, list[str]], str]


def by_rules(choose: Choose, catalogue: Catalogue, case: Case, belief: Belief) -> NextStep:
    """A baseline: its own choice of checks, with the planner's own rules of re-test and closing."""
    board = set_out(catalogue, case, belief)
    left, passed = 1 - belief.after.all_clear(), proof_passed(case)
    if passed and left <= LEFT_LIMIT:
        board = set_out(catalogue, case, believe(catalogue, case, exact=True))
        left = 1 - board.belief.after.all_clear()
        if left <= LEFT_LIMIT:
            return NextStep("close", "")
    due = likely_action(board)
    if due is not None:
        return NextStep("fix", "", fix=describe_fix(catalogue, board, due))
    open_checks = [name for name in board.checks if board.seen.information[name] > LEAST_INFORMATION]
    if not passed and proofs_failed(case) < MOST_PROOFS and (1 - left >= PROBABLY_PASSES or not open_checks):
        return NextStep("prove", "")
    if not open_checks:
        return NextStep("service", "")
    return NextStep("check", "", check=describe_check(catalogue, board, board.checks[choose(board, open_checks)]))


def likely_action(board: Board) -> Action | None:
    """The action that clears most for its cost, among those that clear one fault more likely than not."""
    likely = [item for item in board.actions.values() if surest(board, item) >= HELD]
    return max(likely, key=lambda item: cleared(board, item) / max(board.costs[item.id], 0.1), default=None)


def most_information(board: Board, names: list[str]) -> str:
    """Information per minute."""
    return max(names, key=lambda name: board.seen.information[name] / max(board.minutes[name], 0.1))


def cheapest(board: Board, names: list[str]) -> str:
    """The quickest check first."""
    return min(names, key=lambda name: board.minutes[name])


def walk(kinds: tuple[str, ...], board: Board, names: list[str]) -> str:
    """From spool to arc, looks (and hand tests) in the order of the catalogue; the rest only when the walk is done."""
    order = {station: number for number, station in enumerate(STATIONS)}
    own = [name for name in names if name.startswith(kinds)]
    return min(own or names, key=lambda name: (order[board.checks[name].station], list(board.checks).index(name)))


def probability_per_cost(catalogue: Catalogue, case: Case, belief: Belief) -> NextStep:
    """Repairs in the order of p / (c (1 - p)), a proof after each, no checks."""
    board = set_out(catalogue, case, belief)
    passed = proof_passed(case)
    if passed and 1 - believe(catalogue, case, exact=True).after.all_clear() <= LEFT_LIMIT:
        return NextStep("close", "")
    if not passed and case.pages[-1].entry.kind == "repair":
        return NextStep("prove", "")

    def ratio(action: Action) -> float:
        chance = surest(board, action)
        return chance / (max(board.costs[action.id], 0.1) * max(1 - chance, 1e-3))

    best = max(board.actions.values(), key=ratio, default=None)
    if best is None or surest(board, best) < 1e-3:
        return NextStep("service", "")
    return NextStep("fix", "", fix=describe_fix(catalogue, board, best))


POLICIES = {
    "ours": next_step,
    "information_per_minute": partial(by_rules, most_information),
    "cheapest_first": partial(by_rules, cheapest),
    "probability_per_cost": probability_per_cost,
    "walk": partial(by_rules, partial(walk, ("look-",))),
    "walk_with_hands": partial(by_rules, partial(walk, ("look-", "hand-"))),
}


def one(task: tuple[str, int, Difference]) -> Ended:
    """One case by one policy; the same seed is the same case for every policy."""
    name, seed, difference = task
    catalogue, choices = load_catalogue(), rigs()
    path = choices[seed % len(choices)]
    network = network_for(catalogue, path)
    rng = np.random.default_rng(seed)
    place = everything_at_hand(catalogue)
    rig, book = random_case(catalogue, path, rng, difference=difference, place=place, network=network)
    return lead(catalogue, rig, book, POLICIES[name], keep_stated=name == "ours")


def left_behind(ended: Ended) -> bool:
    """A fault able to bring a feeding complaint back is there after a proven closing."""
    catalogue = load_catalogue()
    feeds = {item.id for item in catalogue.complaints.values() if item.kind == "feed"}
    return any(feeds & set(catalogue.faults[fault].complaints) for fault in ended.left)


def simulate(names: Sequence[str], cases: int, difference: Difference, processes: int) -> dict[str, list[Ended]]:
    """Every policy on the same cases."""
    tasks = [(name, FIRST_SEED + number, difference) for number in range(cases) for name in names]
    with ProcessPoolExecutor(processes, get_context("spawn")) as pool:
        told = list(pool.map(one, tasks, chunksize=max(len(names), 4)))
    return {name: told[place :: len(names)] for place, name in enumerate(names)}


def run(quick: bool, cases: int | None = None, processes: int = 2) -> Measured:
    """Costs as paired ratios, shares left, calibration of what was stated."""
    count = cases or (QUICK_CASES if quick else CASES)
    told = simulate(list(POLICIES), count, Difference(), processes)
    other = simulate(["ours", "walk"], max(count // 3, 3), OTHER_WORLD, processes)
    figures, errors = ratios(told)
    figures |= shares(told["ours"]) | {"calibration_error": calibration(told["ours"]), "cases": float(count)}
    figures["other_world_cost_ratio_vs_walk"] = ratio(other["ours"], other["walk"])[0]
    closed = [left_behind(ended) for ended in other["ours"] if ended.how == "close"]
    if closed:
        figures["other_world_left_fault_share"] = float(np.mean(closed))
    return Measured(figures, notes(told), errors, {"cases": count})


def ratio(ours: Sequence[Ended], theirs: Sequence[Ended]) -> tuple[float, float]:
    """Ratio of mean costs on the same cases, with its standard error by the delta method."""
    a, b = np.array([item.cost for item in ours]), np.array([item.cost for item in theirs])
    value = float(a.mean() / b.mean())
    return value, float((a - value * b).std(ddof=1) / b.mean() / np.sqrt(len(a)))


def ratios(told: dict[str, list[Ended]]) -> tuple[dict[str, float], dict[str, float]]:
    """Ours against every baseline."""
    figures, errors = {}, {}
    for name in POLICIES:
        if name != "ours":
            key = f"cost_ratio_vs_{name}"
            figures[key], errors[key] = ratio(told["ours"], told[name])
    return figures, errors


def shares(ours: Sequence[Ended]) -> dict[str, float]:
    """What is left, sent away, wasted; how low true faults were held at closing."""
    closed = [left_behind(item) for item in ours if item.how == "close"]
    low = [dict(item.closing).get(fault, 0.0) < 0.05 for item in ours if item.how == "close" for fault in item.left]
    found = {
        "service_share": float(np.mean([item.how == "service" for item in ours])),
        "wasted_repairs_mean": float(np.mean([item.wasted for item in ours])),
        "cost_mean": float(np.mean([item.cost for item in ours])),
    }
    if closed:
        found["left_fault_share"] = float(np.mean(closed))
    if low:
        found["true_fault_under_5pct_share"] = float(np.mean(low))
    return found


def calibration(ours: Sequence[Ended]) -> float:
    """Expected calibration error of every suspicion above 0.5 % ever stated, in ten bins."""
    stated = np.array([pair for item in ours for pair in item.stated], dtype=float)
    place = np.minimum((stated[:, 0] * 10).astype(int), 9)
    gaps = [
        (place == b).mean() * abs(stated[place == b, 0].mean() - stated[place == b, 1].mean())
        for b in range(10)
        if (place == b).any()
    ]
    return float(sum(gaps))


def notes(told: dict[str, list[Ended]]) -> list[str]:
    """One line for each policy: cost, how it ended, what was left."""
    lines = []
    for name, items in told.items():
        closed = [left_behind(item) for item in items if item.how == "close"]
        ways = {how: sum(item.how == how for item in items) for how in ("close", "service", "no end")}
        left = f"{np.mean(closed):.3f}" if closed else "-"
        lines.append(f"{name}: cost {np.mean([item.cost for item in items]):.1f}, left {left} of {len(closed)}, {ways}")
    return lines


if __name__ == "__main__":
    found = run(quick=False, cases=int(sys.argv[1]))
    print(found)
