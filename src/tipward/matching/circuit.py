"""Wire and welding circuit: polarity by class, and the gas."""

from collections.abc import Iterator

from tipward.matching.gases import gas_group
from tipward.matching.judged import PRACTICE, Fits, NotJudged, Verdict, best, rows_for, standing, wrong
from tipward.matching.kinds import WITHOUT_CLASS, WireKind
from tipward.model import FeedPath

_MOSTLY = "without gas most wires want electrode negative, but classes T-3, T-4 and T-6 want positive"


def judge_circuit(path: FeedPath, kind: WireKind | None) -> Iterator[Verdict]:
    """Polarity and gas against the class of the wire.

    >>> from tipward.matching.kinds import known
    >>> from tipward.model import WeldingCircuit
    >>> minus = FeedPath(welding_circuit=WeldingCircuit("electrode negative"))
    >>> next(judge_circuit(minus, known("er70s-6"))).fault
    'polarity-wrong'
    """
    yield from _polarity(path, kind)
    yield from _gas(path, kind)


def _polarity(path: FeedPath, kind: WireKind | None) -> Iterator[Verdict]:
    polarity = path.welding_circuit.polarity
    if kind is None:
        rule = f"; {_MOSTLY} (common practice)" if gas_group(path.settings.gas) == "none" else ""
        yield NotJudged(f"polarity: wire class unknown, read it on the label{rule}")
    elif polarity is None:
        yield NotJudged("polarity: not known how the torch is connected")
    elif not kind.polarity:
        yield _unsettled(polarity, kind)
    elif kind.polarity in {polarity, "either"}:
        yield Fits(f"{polarity} for {kind.key}", kind.source)
    else:
        by = PRACTICE if kind.form == "solid" else kind
        reason = f"Class {kind.key} wants {kind.polarity}; the other way round it spatters, wanders and melts unevenly."
        fix = f"Connect the torch for {kind.polarity}, power off."
        yield wrong("polarity-wrong", "welding-circuit", f"{polarity} on {kind.key}", reason, fix, by)


def _unsettled(polarity: str, kind: WireKind) -> Verdict:
    """No polarity in the class: the rule of thumb warns and never decides."""
    if kind.key not in WITHOUT_CLASS or kind.shielding != "self" or polarity == "electrode negative":
        return NotJudged(f"polarity: {kind.key} does not say it, follow the mark on the spool")
    reason = f"The class is not known; {_MOSTLY}."
    fix = "Read the class on the spool; connect electrode negative unless it says T-3, T-4 or T-6."
    what = "electrode positive on a wire without gas, class unknown"
    return wrong("polarity-wrong", "welding-circuit", what, reason, fix, kind, "class unknown")


def _gas(path: FeedPath, kind: WireKind | None) -> Iterator[Verdict]:
    written, gas = path.settings.gas, gas_group(path.settings.gas)
    if kind is None or gas is None:
        yield NotJudged(
            "gas: "
            + ("wire class unknown" if kind is None else f"{written!r} not known here" if written else "not known")
        )
    elif not kind.shielding:
        yield NotJudged(f"gas: {kind.key} does not say whether it needs one, follow the mark on the spool")
    elif kind.shielding == "self":
        yield from _gas_on_self_shielded(gas, kind)
    elif gas == "none":
        fix = f"Connect gas ({wanted_gases(kind)}) and check the flow at the nozzle."
        by = PRACTICE if kind.form == "solid" else kind
        reason = f"{kind.words().capitalize()} has nothing else to keep the air off; it takes {wanted_gases(kind)}."
        yield wrong("gas-missing", "settings", f"no gas on {kind.words()}", reason, fix, by)
    else:
        yield from _gas_on_shielded(gas, kind)


def _gas_on_self_shielded(gas: str, kind: WireKind) -> Iterator[Verdict]:
    if gas == "none":
        yield Fits(f"no gas for {kind.key}", kind.source)
        return
    what, fix = f"{gas} on {kind.words()}", "Shut the gas off, or fit a wire that is made for gas."
    reason = "The wire makes its own shield; gas on top changes the arc and the weld metal and is wasted."
    yield wrong("gas-wrong", "settings", what, reason, fix, kind, "doubtful")


def _gas_on_shielded(gas: str, kind: WireKind) -> Iterator[Verdict]:
    row = standing("wire_gases", kind, "gas", gas)
    what, fix = f"{gas} on {kind.words()}", f"Connect {wanted_gases(kind)}."
    if kind.form == "solid" and row is not None:
        if row.keys["standing"] in {"best", "fits"}:
            yield Fits(f"{gas} for {kind.words()}", row.source)
            return
        doubts = ("doubtful",) if row.keys["standing"] == "doubtful" else ()
        note = row.note or "not used with this metal"
        reason = f"{note[0].upper()}{note[1:]}; {kind.words()} takes {wanted_gases(kind)}."
        yield wrong("gas-wrong", "settings", what, reason, fix, row, *doubts)
    elif gas in kind.gases:
        yield Fits(f"{gas} for {kind.key}", kind.source)
    elif kind.form == "solid":
        yield NotJudged(f"gas: no rule for {gas} and {kind.words()}")
    else:
        doubts = ("doubtful",) if gas in {"M20", "M21", "C1"} else ()
        reason = f"Class {kind.key} is made for {wanted_gases(kind)}."
        yield wrong("gas-wrong", "settings", what, reason, fix, kind, *doubts)


def wanted_gases(kind: WireKind) -> str:
    """The gases of a wire in one phrase.

    >>> from tipward.matching.kinds import known
    >>> wanted_gases(known("er4043"))
    'I1 or I3'
    """
    first = [row.keys["gas"] for row in best(rows_for("wire_gases", kind))]
    return " or ".join(first or [gas for gas in kind.gases if gas != "none"]) or "no gas"
