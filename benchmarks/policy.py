"""Policies on the shipped catalogue: what a proven fix costs, paired on the same cases, every one closing by the same rules."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache, partial
from unittest.mock import patch

import numpy as np

from benchmarks import Measured, small
from benchmarks.catalogue import rigs
from benchmarks.runs import simulated
from benchmarks.session import LEAST_STATED, Ended, lead
from benchmarks.world import Difference, Notebook, Rig, everything_at_hand, random_case
from tipward.diagnosis import catalogue_mark, count_case, merged, sampled, taught
from tipward.diagnosis.believing import Belief, believe
from tipward.diagnosis.network import network_for
from tipward.faults import Action, Catalogue, load_catalogue
from tipward.model import STATIONS, Case, Counts, NextStep
from tipward.planning import (
    LEFT_LIMIT,
    closing_belief,
    describe_check,
    describe_fix,
    next_step,
    proof_passed,
    set_out,
)
from tipward.planning.board import Board, cleared, surest
from tipward.planning.choosing import LEAST_AFTER_PROOF, LEAST_INFORMATION, MOST_PROOFS, PROBABLY_PASSES
from tipward.planning.proving import proofs_failed

NAME = "policy"
FIRST_SEED = 90_000  # never used while the planner was made
STATED_SEED, JOINT_SEED, LESSON_SEED, LESSONS = 120_000, 130_000, 140_000, 300
SIZES = {"main": 2000, "others": 150, "places": 150, "stated": 30, "joint": 12, "world": 150}
WATCHED = 7  # every so many steps the belief is held against the long run
HELD = 0.5  # baselines mend a fault that is likelier than not
SAME_WORLD = Difference()
SERIOUS = ("ours", "information_per_minute")
OTHER_WORLD = Difference(odds_spread=0.7, reliability_lost=0.10, cannot_share=0.10, seed=7)
Choose = Callable[[Board, list[str]], str]


def by_rules(choose: Choose, catalogue: Catalogue, case: Case, belief: Belief) -> NextStep:
    """A baseline: its own choice of checks, with the planner's own rules of re-test and closing."""
    board = set_out(catalogue, case, closing_belief(catalogue, case, belief))
    left, passed = 1 - board.belief.after.all_clear(), proof_passed(case)
    if passed and left <= LEFT_LIMIT:
        return NextStep("close", "")
    due = likely_action(board)
    if due is not None:
        return NextStep("fix", "", fix=describe_fix(catalogue, board, due))
    open_checks = informative(board, LEAST_AFTER_PROOF if passed else LEAST_INFORMATION)
    if not passed and proofs_failed(case) < MOST_PROOFS and (1 - left >= PROBABLY_PASSES or not open_checks):
        return NextStep("prove", "")
    if not open_checks:
        return NextStep("service", "")
    return NextStep("check", "", check=describe_check(catalogue, board, board.checks[choose(board, open_checks)]))


def informative(board: Board, least: float) -> list[str]:
    """The checks that tell something about the faults, by information per minute."""
    told = board.seen.information()
    names = [name for name in board.checks if told[name] > least]
    return sorted(names, key=lambda name: -told[name] / max(board.minutes[name], 0.1))


def likely_action(board: Board) -> Action | None:
    """The action that clears most for its cost, among those that clear one fault more likely than not."""
    likely = [item for item in board.actions.values() if surest(board, item) >= HELD]
    return max(likely, key=lambda item: cleared(board, item) / max(board.costs[item.id], 0.1), default=None)


def most_information(board: Board, names: list[str]) -> str:
    """Information on the faults per minute."""
    return names[0]


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
    board = set_out(catalogue, case, closing_belief(catalogue, case, belief))
    passed = proof_passed(case)
    if passed and 1 - board.belief.after.all_clear() <= LEFT_LIMIT:
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


@dataclass(frozen=True)
class Task:
    """One case to be led to its end by one policy; the same seed is the same case for every policy."""

    policy: str
    seed: int
    world: Difference = SAME_WORLD
    at: str = "machine"
    keep_stated: bool = False
    lessons: int = 0  # closed cases of that world which the judge has learned from


def one(task: Task) -> Ended:
    """Lead one case to its end; the judge may have learned, the world is always the shipped catalogue's (or differs)."""
    catalogue, (rig, book) = load_catalogue(), case_of(task)
    judge = learned(task.world, task.lessons) if task.lessons else catalogue
    return lead(judge, rig, book, POLICIES[task.policy], task.keep_stated)


def case_of(task: Task) -> tuple[Rig, Notebook]:
    """The simulated case of a task."""
    catalogue, choices = load_catalogue(), rigs()
    path = choices[task.seed % len(choices)]
    place, network = everything_at_hand(catalogue, task.at), network_for(catalogue, path)
    rng = np.random.default_rng(task.seed)
    return random_case(catalogue, path, rng, difference=task.world, place=place, network=network)


def joint(task: Task) -> list[tuple[float, float, bool]]:
    """What is stated, what the long run states, and whether it is so, for suspicions at every seventh step of a case."""
    catalogue, (rig, book) = load_catalogue(), case_of(task)
    moments: list[tuple[Case, frozenset[str]]] = []

    def watched(catalogue: Catalogue, case: Case, belief: Belief) -> NextStep:
        moments.append((case, frozenset(rig.present)))
        return next_step(catalogue, case, belief)

    lead(catalogue, rig, book, watched)
    found = []
    for case, present in moments[WATCHED - 1 :: WATCHED]:
        ours = believe(catalogue, case, exact=True)
        with patch.multiple(sampled, SAMPLES=16_384, MOST_IN_SAMPLER=16):
            theirs = believe(catalogue, case, exact=True).after.marginals()
        pairs = zip(ours.network.ids, ours.after.marginals().tolist(), theirs.tolist(), strict=True)
        found += [(p, q, name in present) for name, p, q in pairs if max(p, q) > LEAST_STATED]
    return found


def lesson(task: Task) -> Counts:
    """What one closed case of a world teaches."""
    catalogue, (rig, book) = load_catalogue(), case_of(task)
    lead(catalogue, rig, book)
    return Counts(1, count_case(catalogue, book.case), (catalogue_mark(catalogue),))


def lessons_of(world: Difference, count: int) -> list[Task]:
    """The closed cases from which the judge learns: seeds of their own."""
    return [Task("ours", LESSON_SEED + number, world) for number in range(count)]


@cache
def learned(world: Difference, count: int) -> Catalogue:
    """The catalogue as taught by closed cases of that world, which were led before (their counts are kept)."""
    return taught(load_catalogue(), merged(simulated("lessons", lesson, lessons_of(world, count), 1)))


def tasks_of(quick: bool) -> dict[str, list[Task]]:
    """Every case, by what it is for."""
    few = {"main": 6, "others": 3, "places": 2, "stated": 2, "joint": 1, "world": 2} if quick else SIZES
    seeds = range(FIRST_SEED, FIRST_SEED + few["main"])
    found = {
        "main": [Task(p, s) for s in seeds for p in POLICIES if p in SERIOUS or s < FIRST_SEED + few["others"]],
        "stated": [Task("ours", STATED_SEED + n, keep_stated=True) for n in range(few["stated"])],
        "world": [Task(p, s, OTHER_WORLD) for s in seeds[: few["world"]] for p in ("ours", "walk")],
    }
    for at in ("counter", "phone"):
        found[at] = [Task(p, s, at=at) for s in seeds[: few["places"]] for p in SERIOUS]
    if not quick:
        found["learned"] = [Task("ours", s, OTHER_WORLD, lessons=LESSONS) for s in seeds[: few["world"]]]
        stated = range(STATED_SEED, STATED_SEED + few["stated"])
        found["learned stated"] = [Task("ours", s, OTHER_WORLD, keep_stated=True, lessons=LESSONS) for s in stated]
    return found


def run(quick: bool, processes: int = 2) -> Measured:
    """Costs as paired ratios, shares left, calibration of what was stated; at every place; in a world that differs."""
    told = {}
    for name, tasks in tasks_of(quick).items():
        if name == "learned":
            simulated("lessons", lesson, lessons_of(OTHER_WORLD, LESSONS), processes)
        told[name] = dict(zip(tasks, simulated(f"policy-{name}", one, tasks, processes, keep=not quick), strict=True))
    found = measured(told)
    cases = [Task("ours", JOINT_SEED + n) for n in range(1 if quick else SIZES["joint"])]
    watched = simulated("policy-joint", joint, cases, processes, keep=not quick)
    stated = np.array([item for items in watched for item in items], dtype=float)
    found.figures["log_score_vs_joint"] = log_score(stated[:, 0], stated[:, 2]) - log_score(stated[:, 1], stated[:, 2])
    found.notes.append(f"joint: {len(stated)} suspicions of {len(cases)} cases against 32,768 sets over 16 findings")
    near = small.run(quick).figures
    for rule, key in (("look_ahead", ""), ("price_of_information", "price_rule_")):
        found.figures[f"{key}ratio_to_optimal_small"] = near[f"{rule}_ratio_mean"]
        found.figures[f"{key}ratio_to_optimal_small_p95"] = near[f"{rule}_ratio_p95"]
    return found


def log_score(said: np.ndarray, so: np.ndarray) -> float:
    """Mean log of the probability that was given to what is so [nat]."""
    held = np.clip(said, 1e-6, 1 - 1e-6)
    return float(np.log(np.where(so > 0, held, 1 - held)).mean())


def measured(told: dict[str, dict[Task, Ended]]) -> Measured:
    """All figures of what was simulated; what is not there is left out."""
    ours, figures, errors = by(told["main"], "ours"), {}, {}
    for name in POLICIES:
        if name != "ours":
            pair(figures, errors, f"cost_ratio_vs_{name}", ours, by(told["main"], name))
    figures |= shares(ours) | {"cases": float(len(ours))}
    for at in ("counter", "phone"):
        pair(figures, errors, f"{at}_cost_ratio_vs_information_per_minute", *map(partial(by, told[at]), SERIOUS))
        figures |= {f"{at}_{key}": value for key, value in shares(by(told[at], "ours")).items() if key in CARRIED}
    other = by(told["world"], "ours")
    pair(figures, errors, "other_world_cost_ratio_vs_walk", other, by(told["world"], "walk"))
    pair(figures, errors, "other_world_cost_ratio", other, ours)
    figures |= {f"other_world_{key}": value for key, value in shares(other).items() if key in CARRIED}
    figures |= reliability("", by(told["stated"], "ours"))
    if "learned" in told:
        after = by(told["learned"], "ours")
        pair(figures, errors, "other_world_cost_ratio_after_learning", after, other)
        figures |= {f"other_world_{key}_after_learning": v for key, v in shares(after).items() if key in CARRIED}
        figures |= reliability("other_world_after_learning_", by(told["learned stated"], "ours"))
    return Measured(figures, notes(told), errors, {key: len(ours) for key in ("cases", "left_fault_share")})


CARRIED = ("left_fault_share", "service_share", "found_all_share")


def by(told: dict[Task, Ended], policy: str) -> dict[int, Ended]:
    """The cases of one policy, by seed."""
    return {task.seed: ended for task, ended in told.items() if task.policy == policy}


def pair(
    figures: dict[str, float], errors: dict[str, float], key: str, ours: dict[int, Ended], theirs: dict[int, Ended]
) -> None:
    """Ratio of mean costs on the same cases, with its standard error by the delta method."""
    seeds = sorted(ours.keys() & theirs.keys())
    a, b = (np.array([told[seed].cost for seed in seeds]) for told in (ours, theirs))
    if len(seeds) > 1:
        figures[key] = float(a.mean() / b.mean())
        errors[key] = float((a - figures[key] * b).std(ddof=1) / b.mean() / np.sqrt(len(a)))


def left_behind(ended: Ended) -> bool:
    """A fault able to bring a feeding complaint back is there after a proven closing."""
    catalogue = load_catalogue()
    feeds = {item.id for item in catalogue.complaints.values() if item.kind == "feed"}
    return any(feeds & set(catalogue.faults[fault].complaints) for fault in ended.left)


def sealed(ended: Ended) -> bool:
    """Whether only a service shop could mend a fault of the start."""
    faults = load_catalogue().faults
    return any(faults[fault].service_only for fault in ended.at_start)


def shares(cases: dict[int, Ended]) -> dict[str, float]:
    """What is left, sent away, wasted; the share of true faults still there at a proven closing and held under 5 %."""
    ours = list(cases.values())
    closed = [item for item in ours if item.how == "close"]
    low = sum(dict(item.closing).get(fault, 0.0) < 0.05 for item in closed for fault in item.left)
    true = sum(len(item.at_start) for item in closed)
    found = {
        "service_share": float(np.mean([item.sent > 0 or item.how == "service" for item in ours])),
        "service_in_vain_share": float(np.mean([item.sent_in_vain > 0 or item.how == "service" for item in ours])),
        "unproved_share": float(np.mean([item.how == "service" for item in ours])),
        "sealed_share": float(np.mean([sealed(item) for item in ours])),
        "no_end_share": float(np.mean([item.how == "no end" for item in ours])),
        "wasted_repairs_mean": float(np.mean([item.wasted for item in ours])),
        "cost_mean": float(np.mean([item.cost for item in ours])),
        "found_all_share": float(np.mean([item.found_all for item in ours])),
    }
    if closed:
        found["left_fault_share"] = float(np.mean([left_behind(item) for item in closed]))
    if true:
        found["true_fault_under_5pct_share"] = low / true
    return found


def reliability(prefix: str, cases: dict[int, Ended]) -> dict[str, float]:
    """Expected calibration error, Brier and log score of every suspicion above 0.5 % stated after every page."""
    stated = np.array([pair for item in cases.values() for pair in item.stated], dtype=float)
    middle = stated[(stated[:, 0] >= 0.05) & (stated[:, 0] <= 0.95)]
    said = np.clip(stated[:, 0], 1e-6, 1 - 1e-6)
    return {
        f"{prefix}calibration_error": gap(stated),
        f"{prefix}calibration_error_5_to_95": gap(middle),
        f"{prefix}brier": float(((said - stated[:, 1]) ** 2).mean()),
        f"{prefix}log_score": log_score(stated[:, 0], stated[:, 1]),
        f"{prefix}suspicions": float(len(stated)),
    }


def gap(stated: np.ndarray) -> float:
    """Expected calibration error in ten bins."""
    place = np.minimum((stated[:, 0] * 10).astype(int), 9)
    each = [stated[place == b] for b in range(10) if (place == b).any()]
    return float(sum(len(part) / len(stated) * abs(part[:, 0].mean() - part[:, 1].mean()) for part in each))


def notes(told: dict[str, dict[Task, Ended]]) -> list[str]:
    """One line for each policy: cost and what it is made of, how it ended, what was left."""
    lines = []
    for group, cases in told.items():
        for policy in dict.fromkeys(task.policy for task in cases):
            items = list(by(cases, policy).values())
            closed = [left_behind(item) for item in items if item.how == "close"]
            ways = {how: sum(item.how == how for item in items) for how in ("close", "service", "stop", "no end")}
            parts = {key: np.mean([getattr(item, key) for item in items]) for key in COSTS}
            made = ", ".join(f"{key} {value:.1f}" for key, value in parts.items())
            left = f"{np.mean(closed):.3f}" if closed else "-"
            lines.append(f"{group}: {policy}: {made}; left {left} of {len(closed)} closed; {ways}; n {len(items)}")
    return lines


COSTS = ("cost", "checks", "repairs", "parts", "proofs", "wasted", "steps")
