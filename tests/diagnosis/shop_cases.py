"""A tiny world with two faults and three checks that can be summed by hand, and cases from it, for tests of learning."""

from dataclasses import replace
from datetime import UTC, datetime
from itertools import product

from tipward.faults import build_catalogue
from tipward.model import Case, Closed, FeedPath, Finding, Gun, Opened, Page, ProofTest, Repair, Wire

TOML = """
[[complaint]]
id = "slips"
name = "wire slips"
false = 0.05

[[fault]]
id = "dirty"
station = "liner"
name = "Dirty liner"
why = "x"
prior = 0.2
prior_reason = "x"
seen_by_proof = 0.9
prevention = "x"
complaints = { slips = 0.6 }

[[fault]]
id = "loose"
station = "drive-rolls"
name = "Rolls loose"
why = "x"
prior = 0.1
prior_reason = "x"
seen_by_proof = 0.8
prevention = "x"
complaints = { slips = 0.7 }

[[check]]
id = "look"
station = "liner"
name = "Look for dust"
instructions = "Look."
minutes = { low = 1.0, mode = 2.0, high = 3.0 }
who = "technician"
at = ["machine"]
outcomes = [{ id = "clean", text = "clean" }, { id = "dust", text = "dust" }]
false = { dust = 0.1 }
shows = [{ fault = "dirty", outcomes = { dust = 0.8 }, reason = "x" }]

[[check]]
id = "hold"
station = "drive-rolls"
name = "Hold the wire"
instructions = "Hold."
minutes = { low = 1.0, mode = 2.0, high = 3.0 }
who = "technician"
at = ["machine"]
outcomes = [{ id = "pulls", text = "pulls" }, { id = "some", text = "halts" }, { id = "stops", text = "stops" }]
false = { some = 0.04 }
shows = [
  { fault = "dirty", outcomes = { some = 0.3 }, reason = "x" },
  { fault = "loose", outcomes = { some = 0.5, stops = 0.3 }, reason = "x" },
]

[[action]]
id = "clean"
station = "liner"
name = "Clean"
kind = "clean"
instructions = "Clean."
minutes = { low = 1.0, mode = 2.0, high = 3.0 }
clears = [{ fault = "dirty", success = 0.9 }]

[[action]]
id = "tighten"
station = "drive-rolls"
name = "Tighten"
kind = "adjust"
instructions = "Tighten."
minutes = { low = 1.0, mode = 2.0, high = 3.0 }
clears = [{ fault = "loose", success = 0.9 }]
"""
CATALOGUE = build_catalogue([("world.toml", TOML)])
PASSES, FAILS = ProofTest((("passes", (1.0,)),)), ProofTest((("passes", (0.0,)),))


def rig(machine="push", wire="er70s-6"):
    """A feed path of which nothing is known but the family of machine and the wire class."""
    return FeedPath(wire=Wire(wire_class=wire), gun=Gun(kind=machine))


def case_of(*entries, name="c", path=None, how="proved"):
    """A closed case with these entries after the complaint."""
    known = [Opened(path or rig(), ("slips",)), *entries, Closed(how)]
    when = [datetime(2026, 5, 4, 9, minute, tzinfo=UTC) for minute in range(len(known))]
    return Case(
        name, tuple(Page(n, f"{name}:{n}", at, e) for n, (at, e) in enumerate(zip(when, known, strict=True), 1))
    )


DUSTY = case_of(Finding("look", "dust"), Repair("clean"), PASSES)
CLEAN = case_of(Finding("look", "clean"), Finding("hold", "stops"), Repair("tighten"), PASSES)
PUZZLE = case_of(Finding("look", "dust"), Finding("hold", "some"), Repair("clean"), FAILS, Repair("tighten"), PASSES)


def renamed(case, name):
    """The same case under another id."""
    return replace(case, id=name)


LEAST_FALSE = 0.002  # nothing is impossible: people slip


def _shows(present, outcomes, leak, shown):
    """Chance of each outcome when each present fault, and no fault at all, shows one of its own and the last is seen."""
    below = []
    for number in range(len(outcomes)):
        chance = 1 - sum(leak[number:])
        for fault in present:
            chance *= 1 - sum(shown.get(fault, (0.0,) * (len(outcomes) - 1))[number:])
        below.append(chance)
    return [high - low for low, high in zip([0.0, *below], below, strict=False)]


def by_hand(case):
    """Every way in which the faults of a case may have come and gone, with its weight: written apart from the engine.

    Rows are (faults at the start, faults when each page was written, weight).
    """
    rows = []
    repairs = [page.entry for page in case.pages if isinstance(page.entry, Repair)]
    for start in product((False, True), repeat=2):
        at_start = {fault for fault, on in zip(("dirty", "loose"), start, strict=True) if on}
        first = (0.2 if start[0] else 0.8) * (0.1 if start[1] else 0.9)
        for cleared in product((False, True), repeat=len(repairs)):
            row = _one_way(case, set(at_start), cleared, first)
            if row is not None:
                rows.append((at_start, *row))
    return rows


def _one_way(case, now, cleared, weight):
    done, history = [], []
    for page in case.pages:
        entry = page.entry
        history.append(set(now))
        if isinstance(entry, Opened):
            weight *= _shows(now, ("not", "said"), (0.05,), {"dirty": (0.6,), "loose": (0.7,)})[1]
        elif isinstance(entry, Finding) and entry.check == "look":
            weight *= _shows(now, ("clean", "dust"), (0.1,), {"dirty": (0.8,)})[("clean", "dust").index(entry.outcome)]
        elif isinstance(entry, Finding):
            shown = {"dirty": (0.3, 0.0), "loose": (0.5, 0.3)}
            outcomes = ("pulls", "some", "stops")
            weight *= _shows(now, outcomes, (0.04, LEAST_FALSE), shown)[outcomes.index(entry.outcome)]
        elif isinstance(entry, ProofTest):
            fails = _shows(now, ("passes", "fails"), (0.01,), {"dirty": (0.9,), "loose": (0.8,)})
            weight *= fails[0 if entry == PASSES else 1]
        elif isinstance(entry, Repair):
            fault = {"clean": "dirty", "tighten": "loose"}[entry.action]
            success = 0.9 * 0.4 ** done.count(entry.action)
            works = cleared[len(done)]
            done.append(entry.action)
            if fault not in now and works:
                return None
            if fault in now:
                weight *= success if works else 1 - success
                now = now - {fault} if works else now
    return history, weight
