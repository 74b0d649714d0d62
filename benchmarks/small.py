"""Small instances solved exactly: how far are policies from the optimum where the optimum can be known?

Six independent faults, six yes-or-no checks of two or three faults each (noisy-OR with a leak), perfect repairs one fault at
a time, and a perfect re-test that passes only when nothing is left. A check can be done once, and only while none of the
faults it looks at was repaired. The case begins with a failed re-test (the complaint) and ends with a passed one. A state is
(answers, repaired, repaired at the last failed re-test); dynamic programming over all of them gives the optimum, and the
cost of any policy is added up over the same states.
"""

from collections.abc import Callable
from dataclasses import dataclass
from itertools import product

import numpy as np

from benchmarks import Measured

NAME = "small"
SEED, INSTANCES, QUICK_INSTANCES = 2600, 30, 6
FAULTS, CHECKS = 6, 6
Floats = np.ndarray


@dataclass(frozen=True)
class Instance:
    """Priors, repair and check minutes, minutes of the re-test, and P(yes | fault set) of each check (checks, sets)."""

    prior: Floats
    repair: Floats
    check: Floats
    test: float
    looks: tuple[int, ...]  # which faults each check looks at, as bits
    yes: Floats


def instance(seed: int, faults: int = FAULTS, checks: int = CHECKS) -> Instance:
    """One random instance."""
    rng = np.random.default_rng(seed)
    prior, repair = rng.uniform(0.05, 0.4, faults), rng.uniform(3, 30, faults)
    sets = np.array(list(product((0, 1), repeat=faults)))[:, ::-1]
    looks, yes = [], []
    for _ in range(checks):
        chosen = rng.choice(faults, min(int(rng.integers(2, 4)), faults), replace=False)
        silent = np.prod(np.where(sets[:, chosen] == 1, 1 - rng.uniform(0.6, 0.95, len(chosen)), 1.0), axis=1)
        looks.append(int(sum(1 << int(fault) for fault in chosen)))
        yes.append(1 - (1 - rng.uniform(0.01, 0.08)) * silent)
    return Instance(prior, repair, rng.uniform(0.5, 6, checks), float(rng.uniform(3, 8)), tuple(looks), np.array(yes))


class Table:
    """All states of an instance: weights of the fault sets under every row of answers (rows, sets), and what follows what."""

    def __init__(self, case: Instance) -> None:
        self.case, self.faults, self.checks = case, len(case.prior), len(case.check)
        self.rows = np.array(list(product((0, 1, 2), repeat=self.checks)))  # 0 not asked, 1 no, 2 yes
        self.sets = np.arange(1 << self.faults)
        on = self.sets[:, None] >> np.arange(self.faults) & 1
        weight = np.where(on == 1, case.prior, 1 - case.prior).prod(axis=1)
        self.weight = np.tile(weight, (len(self.rows), 1))
        for check in range(self.checks):
            answer = self.rows[:, check, None]
            self.weight *= np.where(answer == 0, 1.0, np.where(answer == 2, case.yes[check], 1 - case.yes[check]))
        step = 3 ** np.arange(self.checks)[::-1]
        self.after = np.arange(len(self.rows))[:, None, None] + step[None, :, None] * np.array([1, 2])
        self.asked = (self.rows > 0).sum(axis=1)

    def states(self):
        """(repaired, failed at) pairs in the order in which their values can be worked out."""
        for repaired in self.sets[::-1]:
            failed = [int(f) for f in self.sets[:-1] if f & repaired == f]
            yield from ((int(repaired), f) for f in sorted(failed, key=lambda f: f != repaired))

    def possible(self, failed: int) -> Floats:
        """Which fault sets the failed re-test leaves possible; all of them where nothing could have failed it."""
        return (self.sets & ~failed != 0) | (failed == self.sets[-1])

    def masses(self, repaired: int, failed: int) -> tuple[Floats, Floats]:
        """Per row: weight of what is possible after the failed re-test, and how much of it a re-test would now pass."""
        possible, passes = self.possible(failed), self.sets & ~repaired == 0
        return self.weight[:, possible].sum(axis=1), self.weight[:, possible & passes].sum(axis=1)

    def chances(self, repaired: int, failed: int) -> Floats:
        """Probability that each fault is there and not repaired (rows, faults)."""
        possible = self.possible(failed)
        on = (self.sets[possible, None] & ~repaired) >> np.arange(self.faults) & 1
        return self.weight[:, possible] @ on / self.weight[:, possible].sum(axis=1, keepdims=True)


def solve(table: Table, with_checks: bool = True) -> dict[tuple[int, int], Floats]:
    """Least expected minutes from every state, by (repaired, failed) and row; without checks: by repairs and re-tests only."""
    case, values = table.case, {}
    for repaired, failed in table.states():
        value = np.min(_without_checks(table, values, repaired, failed), axis=0)
        if with_checks:
            for count in range(table.checks - 1, -1, -1):
                rows = np.flatnonzero(table.asked == count)
                for check in range(table.checks):
                    if not case.looks[check] & repaired:
                        mine = rows[table.rows[rows, check] == 0]
                        value[mine] = np.minimum(value[mine], _asked(table, value, mine, check, failed))
        values[repaired, failed] = value
    return values


def _without_checks(table: Table, values: dict, repaired: int, failed: int) -> list[Floats]:
    """Minutes of the re-test and of each repair, with what follows; infinite where it cannot be done (faults + 1, rows)."""
    mass, passed = table.masses(repaired, failed)
    never = np.full(len(table.rows), np.inf)
    found = [never]
    if repaired != failed:
        found = [table.case.test + (1 - passed / mass) * values.get((repaired, repaired), np.zeros(len(mass)))]
    for fault in range(table.faults):
        there = repaired >> fault & 1
        found.append(never if there else table.case.repair[fault] + values[repaired | 1 << fault, failed])
    return found


def _asked(table: Table, value: Floats, rows: Floats, check: int, failed: int) -> Floats:
    """Minutes of a check with what follows, for rows in which it was not asked."""
    mass = table.masses(0, failed)[0]
    after = table.after[rows, check]
    return table.case.check[check] + (mass[after] * value[after]).sum(axis=1) / mass[rows]


Choice = Callable[[Table, int, int], Floats]


def cost_of(table: Table, choose: Choice) -> float:
    """Expected minutes of a policy; ``choose`` gives, per row, 0 for the re-test, 1 + fault, or 1 + faults + check."""
    values: dict[tuple[int, int], Floats] = {}
    for repaired, failed in table.states():
        options = np.array(_without_checks(table, values, repaired, failed))
        chosen = choose(table, repaired, failed)
        value = np.zeros(len(table.rows))
        for row in np.argsort(-table.asked, kind="stable"):
            if chosen[row] <= table.faults:
                value[row] = options[chosen[row], row]
            else:
                check = int(chosen[row]) - 1 - table.faults
                value[row] = _asked(table, value, np.array([row]), check, failed)[0]
        values[repaired, failed] = value
    return float(values[0, 0][0])


def open_checks(table: Table, repaired: int) -> Floats:
    """Which checks can be done in each row (rows, checks)."""
    allowed = np.array([not looks & repaired for looks in table.case.looks])
    return (table.rows == 0) & allowed


def look_ahead(table: Table) -> Choice:
    """One check ahead of the best course without any more checks (the exact timing of repairs and re-tests included)."""
    base = solve(table, with_checks=False)

    def choose(table: Table, repaired: int, failed: int) -> Floats:
        options = np.full((1 + table.faults + table.checks, len(table.rows)), np.inf)
        options[: 1 + table.faults] = _without_checks(table, base, repaired, failed)
        can = open_checks(table, repaired)
        for check in range(table.checks):
            rows = np.flatnonzero(can[:, check])
            options[1 + table.faults + check, rows] = _asked(table, base[repaired, failed], rows, check, failed)
        return options.argmin(axis=0)

    return choose


def price(table: Table, repaired: int, failed: int) -> Floats:
    """The shipped planner's rule: price of information, repair when being wrong costs less, re-test when it probably passes."""
    from tipward.diagnosis.forecast import entropy
    from tipward.planning.choosing import CERTAIN, LEAST_INFORMATION, LEAST_NEEDED, PROBABLY_PASSES

    mass, passed = table.masses(repaired, failed)
    now, case = table.chances(repaired, failed), table.case
    worth = np.zeros((len(table.rows), table.checks))
    for check, rows in ((c, np.flatnonzero(can)) for c, can in enumerate(open_checks(table, repaired).T)):
        after = table.after[rows, check]
        share = mass[after] / mass[rows, None]
        gained = entropy(now[rows]).sum(axis=1) - (share * entropy(now)[after].sum(axis=2)).sum(axis=1)
        worth[rows, check] = np.where(gained > LEAST_INFORMATION, gained, 0.0) / case.check[check]
    best, some = worth.argmax(axis=1), worth.max(axis=1) > 0
    cost_per_nat = np.where(some, 1 / np.maximum(worth.max(axis=1), 1e-12), np.inf)[:, None]
    wrong = (1 - now) * (case.repair + case.test)
    due = (now >= LEAST_NEEDED) & ((wrong < cost_per_nat * entropy(now)) | (now >= CERTAIN))
    mended = np.where(due, now / case.repair, -1.0)
    likely = (repaired != failed) & ((passed / mass >= PROBABLY_PASSES) | ~some)
    last = np.where(repaired >> np.arange(table.faults) & 1 == 1, -1.0, now / case.repair).argmax(axis=1)
    chosen = np.where(some, 1 + table.faults + best, 1 + last)
    chosen = np.where(likely, 0, chosen)
    return np.where(mended.max(axis=1) > 0, 1 + mended.argmax(axis=1), chosen)


def repairs_only(table: Table, repaired: int, failed: int) -> Floats:
    """p / (c (1 - p)) with a re-test after every repair, no checks: optimal where there are none (Srinivas 1995)."""
    if repaired != failed:
        return np.zeros(len(table.rows), dtype=int)
    left = repaired >> np.arange(table.faults) & 1 == 0
    order = np.where(left, table.case.prior / (table.case.repair * (1 - table.case.prior)), -1.0)
    return np.full(len(table.rows), 1 + order.argmax())


def run(quick: bool) -> Measured:
    """Ratios to the optimum over fresh instances."""
    ratios: dict[str, list[float]] = {"look_ahead": [], "price_of_information": [], "probability_per_cost": []}
    for number in range(QUICK_INSTANCES if quick else INSTANCES):
        table = Table(instance(SEED + number))
        best = float(solve(table)[0, 0][0])
        ratios["look_ahead"].append(cost_of(table, look_ahead(table)) / best)
        ratios["price_of_information"].append(cost_of(table, price) / best)
        ratios["probability_per_cost"].append(cost_of(table, repairs_only) / best)
    figures, errors = {}, {}
    for name, values in ratios.items():
        figures[f"{name}_ratio_mean"] = float(np.mean(values))
        figures[f"{name}_ratio_p95"] = float(np.quantile(values, 0.95))
        errors[f"{name}_ratio_mean"] = float(np.std(values, ddof=1) / np.sqrt(len(values)))
    return Measured(figures, [], errors, {"look_ahead_ratio_mean": len(ratios["look_ahead"])})
