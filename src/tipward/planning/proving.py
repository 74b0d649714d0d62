"""The rules of proof: what must be read, on this path, before a case may close as proved."""

from collections.abc import Iterator, Mapping

import numpy as np

from tipward.diagnosis.believing import Belief, believe
from tipward.diagnosis.readings import bench_for
from tipward.faults import Catalogue, Check, Reading, Span
from tipward.mechanics import wire_family
from tipward.model import Case, FeedPath, Proof, ProofTarget, ProofTest, Repair, Suspicion

LEFT_LIMIT = 0.02  # rule of proof: probability that any listed fault is left
NEAR_LIMIT = 0.05  # from here the stated belief decides, either way
PROOF_MINUTES = 8.0
OPENLY_BELOW = 0.9  # faults that the proof sees less often than this are listed openly
BASELINE_SHARE = 0.2  # near the rig's own healthy baseline [judgement]
PULL_CHECK, RATIO_CHECK = "pull-torch-as-used", "measure-feed-ratio"  # the checks whose reading the proof takes again
BASELINE_REPEATS = 2.0  # or within twice the repeatability, whichever is more [judgement]
OVALITY_SHARE = 0.03  # of the diameter, where the tip clearance is unknown [judgement]


def proof_passed(case: Case) -> bool:
    """Whether the last proof since the last repair passed.

    Parameters
    ----------
    case : Case
        The case.

    Returns
    -------
    bool
        True where every target was met after the last repair.

    Raises
    ------
    Nothing.

    Source: rules of proof (docs/explanation/proof.md), common practice.

    >>> proof_passed(Case("c"))
    False
    """
    passed = False
    for page in case.live():
        if isinstance(page.entry, Repair):
            passed = False
        if isinstance(page.entry, ProofTest) and "passes" in dict(page.entry.readings):
            passed = dict(page.entry.readings)["passes"][0] >= 0.5
    return passed


def proofs_failed(case: Case) -> int:
    """How many proofs failed since the last repair.

    Parameters
    ----------
    case : Case
        The case.

    Returns
    -------
    int
        Number of failed proofs [1].

    Raises
    ------
    Nothing.

    Source: rules of proof (docs/explanation/proof.md), common practice.

    >>> proofs_failed(Case("c"))
    0
    """
    failed = 0
    for page in case.live():
        if isinstance(page.entry, Repair):
            failed = 0
        if isinstance(page.entry, ProofTest) and dict(page.entry.readings).get("passes", (1.0,))[0] < 0.5:
            failed += 1
    return failed


def closing_belief(
    catalogue: Catalogue, case: Case, belief: Belief | None = None, stated: Belief | None = None
) -> Belief:
    """The belief by which a case may close: nothing closes on the quick one that serves for choosing.

    Parameters
    ----------
    catalogue : Catalogue
        The catalogue.
    case : Case
        The case.
    belief : Belief, optional
        Quick belief of the case where it is already known.
    stated : Belief, optional
        Belief of the case as stated (exact) where it is already known.

    Returns
    -------
    Belief
        As stated, where the proof passed and the quick belief comes near to closing the case; else the quick one.

    Raises
    ------
    NotKnownError
        A page names something that the catalogue does not hold.

    Source: rules of proof (docs/explanation/proof.md); docs/decisions/0008 for the two beliefs.

    >>> from datetime import datetime
    >>> from tipward.faults import build_catalogue
    >>> from tipward.model import Opened, Page
    >>> case = Case("c", (Page(1, "k", datetime(2026, 1, 1), Opened(FeedPath(), ())),))
    >>> closing_belief(build_catalogue([]), case).after.all_clear()
    1.0
    """
    quick = belief or believe(catalogue, case)
    near = proof_passed(case) and 1 - quick.after.all_clear() <= NEAR_LIMIT
    return (stated or believe(catalogue, case, exact=True)) if near else quick


def targets(
    catalogue: Catalogue, case: Case, baseline: Mapping[str, float] | None = None, belief: Belief | None = None
) -> tuple[ProofTarget, ...]:
    """The targets of the proof for the path as it is now.

    Parameters
    ----------
    catalogue : Catalogue
        The catalogue, for the conditions of the complaints.
    case : Case
        The case.
    baseline : Mapping, optional
        This rig's own healthy readings by check id (SI).

    Returns
    -------
    tuple of ProofTarget
        With bands in SI; readings already taken since the last repair are judged.

    Raises
    ------
    Nothing.

    Source: rules of proof (docs/explanation/proof.md), common practice; bands from the force budget of the repaired path.

    >>> from tipward.planning.proving import LEFT_LIMIT
    >>> LEFT_LIMIT
    0.02
    """
    path, read = case.path(), _readings(case)
    belief = belief or believe(catalogue, case)
    found = [
        *_complaints(catalogue, case, read),
        _ratio(path, read, baseline or {}),
        _pull(catalogue, path, belief, read, baseline or {}),
        *_pulls_on_record(catalogue, path, belief, read, baseline or {}),
        _grip(catalogue, path, belief, read),
        _round(path, read),
    ]
    return tuple(found)


def prove(
    catalogue: Catalogue, case: Case, baseline: Mapping[str, float] | None = None, belief: Belief | None = None
) -> Proof:
    """Judge the proof of a case so far.

    Parameters
    ----------
    catalogue : Catalogue
        The catalogue.
    case : Case
        The case.
    baseline : Mapping, optional
        This rig's own healthy readings by check id (SI).
    belief : Belief, optional
        Belief of the case as stated (exact), where it is already known: nothing is proved on the quick one.

    Returns
    -------
    Proof
        Targets, what may be left and how likely, what is missing, what the proof sees badly.

    Raises
    ------
    Nothing.

    Source: rules of proof (docs/explanation/proof.md), common practice.

    >>> from datetime import datetime
    >>> from tipward.faults import load_catalogue
    >>> from tipward.model import Opened, Page
    >>> case = Case("c", (Page(1, "k", datetime(2026, 1, 1), Opened(FeedPath(), ())),))
    >>> prove(load_catalogue(), case).proved
    False
    """
    belief = belief or believe(catalogue, case, exact=True)
    wanted = targets(catalogue, case, baseline, belief)
    chances = belief.after.marginals()
    left = 1 - belief.after.all_clear()
    suspects = tuple(
        Suspicion(name, catalogue.faults[name].name, catalogue.faults[name].station, float(chances[number]))
        for number, name in sorted(enumerate(belief.network.ids), key=lambda item: -chances[item[0]])
        if chances[number] > 0.002
    )
    missing = [f"{target.text}: not read" for target in wanted if target.met is None]
    missing += [f"{target.text}: {target.says}" for target in wanted if target.met is False]
    if left > LEFT_LIMIT:
        missing.append(
            f"a listed fault may be left with probability {100 * left:.1f} %, above {100 * LEFT_LIMIT:.0f} %"
        )
    openly = tuple(
        f"{item.name}: the proof sees it in {100 * catalogue.faults[item.fault].seen_by_proof:.0f} of 100"
        for item in suspects
        if catalogue.faults[item.fault].seen_by_proof < OPENLY_BELOW and item.probability > 0.005
    )
    return Proof(wanted, not missing, suspects[:8], left, tuple(missing), openly)


def _readings(case: Case) -> dict[str, tuple[float, ...]]:
    """Proof readings since the last repair, the last of each."""
    read: dict[str, tuple[float, ...]] = {}
    for page in case.live():
        if isinstance(page.entry, Repair):
            read = {}
        if isinstance(page.entry, ProofTest):
            read |= dict(page.entry.readings)
    return read


def _complaints(catalogue: Catalogue, case: Case, read: Mapping[str, tuple[float, ...]]) -> Iterator[ProofTarget]:
    opened = case.opened()
    unheard = ("complaint",) if opened.words else ()  # an inspection has no complaint that could be gone
    for complaint in opened.complaints or unheard:
        known = catalogue.complaints.get(complaint)
        name = known.name if known else "the complaint"
        under = f" ({known.condition})" if known and known.condition else ""
        key = f"gone:{complaint}"
        text = f"Complaint gone: {name}{under}"
        yield _judged(key, text, "", 1.0, None, read.get(key, ()), ("jog-only", "wire-end", "eyes"))


def _ratio(path: FeedPath, read: Mapping[str, tuple[float, ...]], baseline: Mapping[str, float]) -> ProofTarget:
    slack = 0.01 if wire_family(path.wire.wire_class).startswith("al-") else 0.02
    text = "Wire fed per turn of the driven roll, path in use over torch off (20 turns or more, three runs)"
    readings, low, high = read.get("feed-ratio", ()), 1 - slack, 1 + slack
    if abs(baseline.get(RATIO_CHECK, 0.0) - 1) < slack:  # a healthy day never widens the rule
        low, high, text = _near(low, high, baseline[RATIO_CHECK], slack, text)
    target = _judged("feed-ratio", text, "", low, high, readings, ("jog-only", "wire-end", "eyes", "nip"))
    if readings and (len(readings) < 3 or max(readings) - min(readings) > 0.02):
        says = "needs three runs that agree within 2 %"
        return ProofTarget(target.id, text, "", target.low, target.high, readings, False, says, target.cautions)
    return target


def _near(low: float, high: float, known: float, slack: float, text: str) -> tuple[float, float, str]:
    """The part of a band near a healthy reading; the reading alone where the rig was never inside the band."""
    narrow = max(low, known - slack), min(high, known + slack)
    if narrow[0] >= narrow[1]:
        return (
            max(0.0, known - slack),
            known + slack,
            f"{text}, near this rig's own healthy baseline (outside the budget)",
        )
    return *narrow, f"{text}, near this rig's own healthy baseline"


def _pull_check() -> Check:
    """The pull of the proof: through the torch as it lies, rolls open, tip on."""
    reading = Reading("pull-through-torch", "N", 0.1, 0.3, {"tip": "on", "lead": "as-is", "spool": "on"})
    return Check("proof-pull", "liner", "Pull", "Pull", Span(1, 2, 3), "technician", ("machine",), reading=reading)


def _grip_check() -> Check:
    reading = Reading("slip-pull", "N", 0.1, 0.5, {})
    return Check(
        "proof-grip", "drive-rolls", "Slip", "Slip", Span(1, 2, 3), "technician", ("machine",), reading=reading
    )


def _pull(
    catalogue: Catalogue,
    path: FeedPath,
    belief: Belief,
    read: Mapping[str, tuple[float, ...]],
    baseline: Mapping[str, float],
) -> ProofTarget:
    low, high = _healthy(catalogue, path, belief, _pull_check())
    text = "Pull through the torch as it lies, rolls open, tip on, by spring scale"
    if PULL_CHECK in baseline:
        known = baseline[PULL_CHECK]
        low, high, text = _near(low, high, known, _slack(_pull_check(), known), text)
    return _judged("pull-through-torch", text, "N", low, high, read.get("pull-through-torch", ()), ("wire-end", "eyes"))


def _pulls_on_record(
    catalogue: Catalogue,
    path: FeedPath,
    belief: Belief,
    read: Mapping[str, tuple[float, ...]],
    baseline: Mapping[str, float],
) -> Iterator[ProofTarget]:
    """The pull straight and in one loop, where this rig's own is on record: the same lie can be laid again at any time."""
    for lie in ("straight", "one-loop"):
        pulls = [catalogue.checks[name] for name in baseline if name in catalogue.checks]
        check = next((item for item in pulls if _is_pull(item, lie)), None)
        if check is not None:
            known, text = baseline[check.id], f"{check.name}, by spring scale"
            band, slack = _healthy(catalogue, path, belief, check), _slack(check, known)
            low, high, text = _near(*band, known, slack, text)
            yield _judged(check.id, text, "N", low, high, read.get(check.id, ()), check.cautions)


def _slack(check: Check, known: float) -> float:
    """How far from the rig's own reading still is near: the share, but never less than the check itself repeats to."""
    reading = check.reading
    repeats = float(np.hypot(reading.repeat_share * known, reading.repeat_absolute)) if reading is not None else 0.0
    return max(BASELINE_SHARE * known, BASELINE_REPEATS * repeats)


def _is_pull(check: Check, lie: str) -> bool:
    reading = check.reading
    return reading is not None and reading.name == "pull-through-torch" and reading.context.get("lead") == lie


def _healthy(catalogue: Catalogue, path: FeedPath, belief: Belief, check: Check) -> tuple[float, float]:
    """5 and 95 % of what the repaired path should read, with the draws weighted by what was measured on it."""
    weights = belief.draw_weights
    values = bench_for(catalogue, path).predict(check, [frozenset()])[0]
    shares = np.full(len(values), 1 / len(values)) if weights is None else weights
    order = np.argsort(values)
    steps = np.cumsum(shares[order])
    ends = [values[order][min(int(np.searchsorted(steps, at)), len(values) - 1)] for at in (0.05, 0.95)]
    spread = check.reading.repeat_share if check.reading else 0.0
    return float(ends[0] * (1 - spread)), float(ends[1] * (1 + spread))


def _grip(catalogue: Catalogue, path: FeedPath, belief: Belief, read: Mapping[str, tuple[float, ...]]) -> ProofTarget:
    pull = read.get("pull-through-torch", ())
    drag = float(np.mean(pull)) if pull else _healthy(catalogue, path, belief, _pull_check())[1]
    text = "Pull at which the driven rolls slip: at least twice the drag"
    return _judged(
        "slip-pull", text, "N", 2 * drag, None, read.get("slip-pull", ()), ("jog-only", "wire-end", "eyes", "nip")
    )


def _round(path: FeedPath, read: Mapping[str, tuple[float, ...]]) -> ProofTarget:
    wire, bore = path.wire.diameter_m or 0.0009, path.contact_tip.bore_m
    high = OVALITY_SHARE * wire if bore is None or bore <= wire else min(OVALITY_SHARE * wire, 0.5 * (bore - wire))
    text = "Wire after the rolls is not flattened: larger less smaller diameter"
    return _judged("ovality", text, "m", 0.0, high, read.get("ovality", ()), ("eyes",))


def _judged(
    key: str,
    text: str,
    unit: str,
    low: float | None,
    high: float | None,
    readings: tuple[float, ...],
    cautions: tuple[str, ...],
) -> ProofTarget:
    if not readings:
        return ProofTarget(key, text, unit, low, high, (), None, "", cautions)
    mean = float(np.mean(readings))
    short = low is not None and mean < low
    past = high is not None and mean > high
    says = "below its target" if short else "above its target" if past else "met"
    return ProofTarget(key, text, unit, low, high, readings, not (short or past), says, cautions)
