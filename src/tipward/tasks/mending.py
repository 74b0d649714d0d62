"""What to mend after a round of looks: for each thing seen, the cause that it speaks for most, and one action for it."""

from collections.abc import Iterator, Mapping
from dataclasses import replace

import numpy as np

from tipward.diagnosis.believing import Belief, believe
from tipward.faults import Action, Catalogue
from tipward.model import Case, Finding, Fix, Found, Page
from tipward.planning import describe_fix, set_out
from tipward.planning.board import Board

LIKELY = 0.5  # a cause as likely as this is mended even where no single look shows it [design]
LEAST_RAISED = 0.005  # a look that raises no cause by this much speaks for none [design]


def found_in(catalogue: Catalogue, case: Case) -> tuple[tuple[Page, Found], ...]:
    """What was found: outcomes that are not the normal one, and what the set-up itself declares.

    >>> from tipward.faults import build_catalogue
    >>> found_in(build_catalogue([]), Case("c"))
    ()
    """
    return tuple(_found(catalogue, case))


def _found(catalogue: Catalogue, case: Case) -> Iterator[tuple[Page, Found]]:
    for page in case.live():
        entry = page.entry
        if not isinstance(entry, Finding):
            continue
        if entry.by == "declared":
            fault = catalogue.faults[entry.check.removeprefix("match:")]
            yield page, Found(entry.check, "The set-up itself", fault.station, entry.note)
        elif (check := catalogue.checks.get(entry.check)) is not None and check.outcomes:
            texts = {outcome.id: outcome.text for outcome in check.outcomes}
            if entry.outcome != check.outcomes[0].id:
                yield page, Found(check.id, check.name, check.station, texts[entry.outcome])


def what_to_mend(catalogue: Catalogue, case: Case) -> tuple[Fix, ...]:
    """One action for each cause that was seen or is likely, each clearing most of what is left for its cost; likeliest first.

    >>> from datetime import datetime
    >>> from tipward.faults import load_catalogue
    >>> from tipward.model import FeedPath, Opened
    >>> when = datetime(2026, 1, 1)
    >>> seen = Case("c", (Page(1, "k", when, Opened(FeedPath(), ())), Page(2, "l", when, Finding("look-hub", "nut-loose"))))
    >>> [fix.action for fix in what_to_mend(load_catalogue(), seen)]
    ['tighten-spool-nut']
    """
    board = set_out(catalogue, case)
    chances = _chances(board.belief)
    shown: dict[str, Found] = {}
    for page, found in found_in(catalogue, case):
        fault = _spoken_for(catalogue, case, page, chances)
        if fault is not None:
            shown.setdefault(fault, found)
    wanted = {name: chance for name, chance in chances.items() if chance >= LIKELY or name in shown}
    fixes = [_told(catalogue, board, action, shown) for action in _actions(board, wanted)]
    return tuple(sorted(fixes, key=lambda fix: -fix.needed))


def _chances(belief: Belief) -> dict[str, float]:
    return {name: float(chance) for name, chance in zip(belief.network.ids, belief.after.marginals(), strict=True)}


def _spoken_for(catalogue: Catalogue, case: Case, page: Page, now: Mapping[str, float]) -> str | None:
    """The cause that this finding raises most, beside the same case without it."""
    finding = page.entry
    if isinstance(finding, Finding) and finding.by == "declared":
        return finding.check.removeprefix("match:")
    without = replace(case, pages=tuple(one for one in case.pages if one is not page))
    before = _chances(believe(catalogue, without))
    fault = max(now, key=lambda name: now[name] - before[name])
    return fault if now[fault] - before[fault] >= LEAST_RAISED else None


def _actions(board: Board, wanted: Mapping[str, float]) -> Iterator[Action]:
    todo = dict(wanted)
    while todo:
        best = max(board.actions.values(), key=lambda action: _worth(board, action, todo), default=None)
        if best is None or _worth(board, best, todo) <= 0:
            return
        yield best
        cleared = {item.fault for item in best.clears}
        todo = {name: chance for name, chance in todo.items() if name not in cleared}


def _worth(board: Board, action: Action, todo: Mapping[str, float]) -> float:
    cleared = sum(todo.get(item.fault, 0.0) * item.success for item in action.clears)
    return cleared / float(np.maximum(board.costs[action.id], 0.1))


def _told(catalogue: Catalogue, board: Board, action: Action, shown: Mapping[str, Found]) -> Fix:
    """The action as it is shown, with what was seen as its reason."""
    fix = describe_fix(catalogue, board, action)
    seen = [shown[item.fault] for item in action.clears if item.fault in shown]
    again = "" if fix.needed >= LIKELY else "; the other looks speak against it, so look again before mending"
    why = "; ".join(f"{item.name}: {item.says}" for item in seen) or "no single look shows it, all of them together do"
    return replace(fix, why=f"{why} (needed with probability {100 * fix.needed:.0f} %){again}")
