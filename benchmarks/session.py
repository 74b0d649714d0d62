"""One simulated case led to its end, step by step, with everything that it cost counted."""

from collections.abc import Callable
from dataclasses import dataclass, field, replace

import numpy as np

from benchmarks.world import Notebook, Rig
from tipward.diagnosis.believing import Belief, believe
from tipward.faults import Catalogue
from tipward.model import Cannot, Case, Moved, NextStep
from tipward.planning.choosing import next_step
from tipward.planning.options import action_minutes, action_parts, check_minutes, set_ups_now
from tipward.planning.proving import PROOF_MINUTES

MOST_STEPS = 150
LEAST_STATED, LEAST_KEPT = 0.005, 1e-4
NAMED = 0.5  # a fault counts as named once it was held so likely, or was the likeliest reason of an action done
TOLD, TOLD_FROM = 3, 0.05  # and as told once it stood among the reasons that the page gives for an action done

Policy = Callable[[Catalogue, Case, Belief], NextStep]


@dataclass
class Ended:
    """How a simulated case ended."""

    how: str
    at_start: frozenset[str]
    left: frozenset[str]
    named: set[str] = field(default_factory=set)
    told: set[str] = field(default_factory=set)
    steps: int = 0
    checks: float = 0.0
    repairs: float = 0.0
    parts: float = 0.0
    proofs: float = 0.0
    wasted: int = 0
    sent: int = 0  # service actions done
    sent_in_vain: int = 0  # of them, with nothing there that they clear
    closing: tuple[tuple[str, float], ...] = ()
    stated: list[tuple[float, bool]] = field(default_factory=list)

    @property
    def cost(self) -> float:
        """Minutes and parts, in minutes."""
        return self.checks + self.repairs + self.parts + self.proofs

    @property
    def found_all(self) -> bool:
        """Whether every fault of the start was named before the case ended."""
        return self.at_start <= self.named

    @property
    def told_all(self) -> bool:
        """Whether every fault of the start was named, or stood among the reasons given for an action done."""
        return self.at_start <= self.named | self.told

    @property
    def gone_all(self) -> bool:
        """Whether no fault of the start is left."""
        return not self.at_start & self.left


def lead(
    catalogue: Catalogue,
    rig: Rig,
    book: Notebook,
    policy: Policy = next_step,
    keep_stated: bool = False,
) -> Ended:
    """Lead a case to its end by a policy; the rules of proof and closing are those of the planner.

    What was sent for service comes back, and the case goes on to its proof. What begins on the phone or at the counter goes on
    at the machine once no more can be done there. ``keep_stated`` keeps what is stated after every page (the belief that
    people see), at more time.
    """
    ended = Ended("no end", rig.at_start, frozenset())
    for step in range(MOST_STEPS):
        belief = believe(catalogue, book.case)
        _note(ended, belief.network.ids, belief.after.marginals())
        if keep_stated:
            _keep(ended, rig, believe(catalogue, book.case, exact=True))
        todo = policy(catalogue, book.case, belief)
        ended.steps = step
        if todo.what == "service" and todo.fix is None and book.case.place().at != "machine":
            book.add(Moved(replace(book.case.place(), at="machine")))
            continue
        if todo.what in {"close", "stop"} or (todo.what == "service" and todo.fix is None):
            ended.how = todo.what
            break
        _carry_out(catalogue, rig, book, todo, ended)
    ended.left = frozenset(rig.present)
    last = believe(catalogue, book.case, exact=True)
    chances = zip(last.network.ids, last.after.marginals().tolist(), strict=True)
    ended.closing = tuple((name, chance) for name, chance in chances if chance > LEAST_KEPT)
    return ended


def _note(ended: Ended, ids: tuple[str, ...], chances: np.ndarray) -> None:
    ended.named |= {ids[number] for number in np.flatnonzero(chances >= NAMED)}


def _keep(ended: Ended, rig: Rig, belief: Belief) -> None:
    chances, ids = belief.after.marginals(), belief.network.ids
    ended.stated += [(float(chances[n]), ids[n] in rig.present) for n in np.flatnonzero(chances > LEAST_STATED)]


def _carry_out(catalogue: Catalogue, rig: Rig, book: Notebook, todo: NextStep, ended: Ended) -> None:
    if todo.check is not None:
        check = catalogue.checks[todo.check.check]
        if rig.cannot(check.id):
            book.add(Cannot(check.id))
            return
        ended.checks += check_minutes(catalogue, check, set_ups_now(catalogue, book.case))
        book.add(rig.finding(check))
    elif todo.fix is not None:
        action = catalogue.actions[todo.fix.action]
        ended.repairs += action_minutes(catalogue, action, set_ups_now(catalogue, book.case))
        ended.parts += action_parts(action, book.case.place())
        vain = not any(item.fault in rig.present for item in action.clears)
        ended.wasted += vain
        ended.sent += action.kind == "service"
        ended.sent_in_vain += action.kind == "service" and vain
        ended.named.add(todo.fix.clears[0][0])
        ended.told |= {fault for fault, chance in todo.fix.clears[:TOLD] if chance >= TOLD_FROM}
        book.add(rig.repair(action.id))
    else:
        ended.proofs += PROOF_MINUTES
        book.add(rig.proof())
