"""What the closed cases of a shop say: which causes were behind them, how they ended, how well the odds held."""

from collections import Counter
from weakref import WeakKeyDictionary

from tipward.diagnosis import judge
from tipward.model import Case, CauseCount, HowOften, Learned, Repair
from tipward.tasks.shop import Shop

MOST_CASES = 200
Odds = tuple[tuple[str, float], ...]
# A closed case never changes, so what was held before its first repair is judged once for each shop.
_JUDGED: WeakKeyDictionary[Shop, dict[str, Odds]] = WeakKeyDictionary()
GROUPS = ((0.0, 0.1), (0.1, 0.3), (0.3, 0.6), (0.6, 0.9), (0.9, 1.0))


def what_we_learned(shop: Shop) -> Learned:
    """Count causes and endings of the closed cases, and compare what was said before each repair with what it found.

    A cause counts where a case was proved after an action that clears it: of the faults that the actions clear, the
    one held likeliest before the first repair.

    Parameters
    ----------
    shop : Shop
        The shop.

    Returns
    -------
    Learned
        Of the newest 200 closed cases; causes by how often.

    Raises
    ------
    RecordError
        The casebook cannot be read.

    Source: design (docs/decisions/0005).

    >>> import tempfile
    >>> from tipward.tasks.shop import open_shop
    >>> what_we_learned(open_shop(tempfile.mkdtemp() + "/book.db")).causes
    ()
    """
    rows = [row for row in shop.book.cases() if row.closed][:MOST_CASES]
    endings = Counter(row.closed for row in rows)
    causes: Counter[str] = Counter()
    said: list[tuple[float, bool]] = []
    for row in rows:
        if row.closed == "proved":
            case = shop.book.case(row.id)
            odds = _before(shop, case)
            found = _found(shop, case, odds)
            causes.update(found)
            said += [(probability, fault in found) for fault, probability in odds]
    named = [(shop.catalogue.faults[fault], count) for fault, count in causes.most_common()]
    return Learned(
        tuple(endings.most_common()),
        tuple(CauseCount(fault.id, fault.name, fault.station, count) for fault, count in named),
        _held(said),
    )


def _before(shop: Shop, case: Case) -> Odds:
    kept = _JUDGED.setdefault(shop, {})
    if case.id not in kept:
        live = {page.sequence for page in case.live()}
        repairs = (n for n, page in enumerate(case.pages) if isinstance(page.entry, Repair) and page.sequence in live)
        judgement = judge(shop.catalogue, Case(case.id, case.pages[: next(repairs, None)]))
        kept[case.id] = tuple((item.fault, item.probability) for item in judgement.suspicions)
    return kept[case.id]


def _found(shop: Shop, case: Case, odds: Odds) -> set[str]:
    held = dict(odds)
    found = set()
    for page in case.live():
        action = shop.catalogue.actions.get(page.entry.action) if isinstance(page.entry, Repair) else None
        if action is not None:
            found.add(max((item.fault for item in action.clears), key=lambda fault: held.get(fault, 0.0)))
    return found


def _held(said: list[tuple[float, bool]]) -> tuple[HowOften, ...]:
    rows = []
    for low, high in GROUPS:
        group = [(said_so, found) for said_so, found in said if low <= said_so < high or high == 1.0 == said_so]
        if group:
            mean = sum(said_so for said_so, _ in group) / len(group)
            rows.append(HowOften(low, high, mean, sum(found for _, found in group), len(group)))
    return tuple(rows)
