"""The engine at the full catalogue: exactness, speed of judging and of the next check, against pyAgrum and a plain loop."""

import statistics
import time
import tracemalloc
from dataclasses import replace
from itertools import combinations
from unittest.mock import patch

import numpy as np

from benchmarks import Measured
from benchmarks.catalogue import rigs
from benchmarks.reference import marginals_by_pyagrum
from benchmarks.session import lead
from benchmarks.world import START, everything_at_hand, random_case
from tipward.diagnosis import sampled
from tipward.diagnosis.believing import believe
from tipward.diagnosis.engine import doubling_count, posterior
from tipward.diagnosis.forecast import forecast
from tipward.diagnosis.network import CheckNumbers, Cluster, Network, network_for
from tipward.diagnosis.readings import bench_for
from tipward.diagnosis.sampled import MOST_EXACT, sampled_posterior
from tipward.diagnosis.slate import slate
from tipward.diagnosis.terms import Evidence, evidence, term_of
from tipward.faults import load_catalogue
from tipward.model import Case, Finding, Opened, Page
from tipward.planning import next_step, set_out
from tipward.planning.options import possible_checks

NAME = "engine"
SEED = 4000
MOST_BY_LIBRARY = 5  # doubling findings of the shipped catalogue that the library judges within a minute
READINGS, MOST_PAGES = 3, 16
MOST_PARENTS = 4  # more, and the reference runs out of memory on some of the random networks


def run(quick: bool) -> Measured:
    """Every figure of the engine, each comparison in one run, in turn."""
    catalogue = load_catalogue()
    figures: dict[str, float] = {"faults": len(catalogue.faults), "checks": len(catalogue.checks)}
    notes: list[str] = []
    stops = _stops(4 if quick else 40)
    plain = [case for case in stops if not _measured(case)]
    figures |= _next_check(plain, stops)
    figures |= _three_readings(2 if quick else 24, notes)
    figures |= _first_look(4 if quick else 24)
    figures |= _exactness(12 if quick else 200)
    figures |= _shipped(plain, 3 if quick else 50, notes)
    figures |= _long_run([case for case in stops if case not in plain], 2 if quick else 30, notes)
    figures |= _against_others(plain[: 3 if quick else 12], notes)
    figures |= _growth(notes)
    figures |= _memory(plain[0])
    notes.append(f"{len(stops)} moments of simulated cases, {len(plain)} of them without measured checks; one thread")
    return Measured(figures, notes, {"max_abs_error_vs_exact": 0.0}, {})


def _stops(count: int) -> list[Case]:
    """Cases as they stood at every third step of simulated sessions."""
    catalogue, path = load_catalogue(), rigs()[0]
    place, found = everything_at_hand(catalogue), []
    for seed in range(count):
        rng = np.random.default_rng(SEED + seed)
        rig, book = random_case(catalogue, path, rng, place=place, network=network_for(catalogue, path))
        lead(catalogue, rig, book)
        pages = book.case.pages
        found += [Case(book.case.id, pages[:number]) for number in range(1, len(pages), 3)]
    return found


def _measured(case: Case) -> int:
    return sum(isinstance(page.entry, Finding) and bool(page.entry.readings) for page in case.pages)


def _timed(work, cases) -> list[float]:
    """CPU time of each [ms]: what else the machine does counts less."""
    times = []
    for case in cases:
        start = time.process_time()
        work(case)
        times.append(1e3 * (time.process_time() - start))
    return times


def _next_check(plain: list[Case], stops: list[Case]) -> dict[str, float]:
    catalogue = load_catalogue()
    next_step(catalogue, plain[0])
    judged = _timed(lambda case: believe(catalogue, case), plain)
    chosen = _timed(lambda case: next_step(catalogue, case), plain)
    whole = _timed(lambda case: next_step(catalogue, case), stops)
    return {
        "posterior_ms_median": statistics.median(judged),
        "next_check_ms_median": statistics.median(chosen),
        "next_check_ms_p99": float(np.quantile(chosen, 0.99)),
        "next_check_ms_max": max(chosen),
        "next_check_with_measured_ms_median": statistics.median(whole),
    }


def _three_readings(count: int, notes: list[str]) -> dict[str, float]:
    """Sessions that begin with three readings, page by page as they came: the third reading itself, and every page after it."""
    catalogue, third, after, stated = load_catalogue(), [], [], []
    for seed in range(count):
        pages = _session_with_readings(SEED + 1000 + seed)
        bench_for.cache_clear()
        cases = [Case("read", pages[:number]) for number in range(1, len(pages) + 1)]
        chosen = _timed(lambda case: next_step(catalogue, case), cases)
        third.append(chosen[READINGS])
        after += chosen[READINGS + 1 :]
        stated += _timed(lambda case: believe(catalogue, case, exact=True), cases[READINGS:])
    notes.append(
        f"three readings: {count} sessions, {len(after)} pages after the third reading, each after the one before it"
    )
    return {
        "next_check_third_reading_ms_median": statistics.median(third),
        "next_check_three_measured_ms_median": statistics.median(after),
        "next_check_three_measured_ms_max": max(third + after),
        "stated_three_measured_ms_median": statistics.median(stated),
        "stated_three_measured_ms_max": max(stated),
    }


def _session_with_readings(seed: int) -> tuple[Page, ...]:
    """A session that begins with three measured checks drawn from those that can be done, and is then led on."""
    catalogue, path, rng = load_catalogue(), rigs()[seed % len(rigs())], np.random.default_rng(seed)
    place = everything_at_hand(catalogue)
    rig, book = random_case(catalogue, path, rng, place=place, network=network_for(catalogue, path))
    possible = possible_checks(catalogue, book.case, believe(catalogue, book.case))
    measured = [check for check in possible if check.reading is not None]
    for number in rng.choice(len(measured), READINGS, replace=False):
        book.add(rig.finding(measured[number]))
    lead(catalogue, rig, book)
    return book.case.pages[:MOST_PAGES]


def _first_look(count: int) -> dict[str, float]:
    """The first next step on rigs that were never seen before: their networks, draws and grades are built for it."""
    catalogue, times = load_catalogue(), []
    for number in range(count):
        path = rigs()[number % len(rigs())]
        lead_m = replace(path.torch_lead, length_m=(path.torch_lead.length_m or 3.0) + 0.01 * (number + 1))
        opened = Opened(replace(path, torch_lead=lead_m), ("slips-or-surges",), everything_at_hand(catalogue))
        case = Case("first", (Page(1, "first", START, opened),))
        times += _timed(lambda case: next_step(catalogue, case), [case])
    return {"first_look_ms_median": statistics.median(times), "first_look_ms_max": max(times)}


def random_network(rng: np.random.Generator, faults: int, checks: int) -> tuple[Network, list[CheckNumbers]]:
    """A random network of independent faults and two-outcome checks, for comparisons."""
    ids = tuple(f"f{number}" for number in range(faults))
    present = np.array([[False], [True]])
    chances = rng.uniform(0.005, 0.08, faults)
    clusters = tuple(Cluster((n,), present, np.array([1 - p, p])) for n, p in enumerate(chances))
    asked = []
    for _ in range(checks):
        chosen = np.sort(rng.choice(faults, int(rng.integers(1, MOST_PARENTS + 1)), replace=False))
        shown = np.column_stack([1 - rng.uniform(0.3, 0.95, len(chosen)), np.ones(len(chosen))])
        asked.append(CheckNumbers(("normal", "not"), np.array([1 - rng.uniform(0.01, 0.08), 1.0]), chosen, shown))
    return Network(ids, {name: n for n, name in enumerate(ids)}, chances, clusters, {}), asked


def _evidence(rng: np.random.Generator, asked: list[CheckNumbers], doubling: int) -> Evidence:
    """Answers to about half the checks, with so many abnormal ones of several causes."""
    terms, left = [], doubling
    for number, numbers in enumerate(asked[: len(asked) // 2]):
        abnormal = left > 0 and len(numbers.faults) > 1
        left -= abnormal
        terms.append(term_of(numbers, int(abnormal), number, f"c{number}", 0))
    return Evidence(tuple(terms), (), (), ())


def _exactness(count: int) -> dict[str, float]:
    """Largest error of a fault probability against pyAgrum (m up to 10), signed products and recursion alike."""
    gum, errors, recursion_errors = _gum(), [], []
    catalogue, rng = load_catalogue(), np.random.default_rng(SEED)
    for number in range(count):
        network, asked = random_network(rng, 45, 70)
        found = _evidence(rng, asked, number % 11)
        theirs = _by_pyagrum(gum, network, asked, found)
        errors.append(np.abs(posterior(network, found).marginals() - theirs).max())
        recursion_errors.append(np.abs(sampled_posterior(catalogue, network, found).after.marginals() - theirs).max())
    return {"max_abs_error_vs_exact": float(max(recursion_errors)), "signed_products_max_abs_error": float(max(errors))}


def _shipped(plain: list[Case], count: int, notes: list[str]) -> dict[str, float]:
    """Cases of the shipped catalogue: against pyAgrum up to 5 doubling findings, against the recursion up to 16."""
    catalogue, against_gum, against_recursion = load_catalogue(), [], []
    for case in plain:
        network = network_for(catalogue, case.opened().path)
        found = evidence(catalogue, network, case)
        doubling = doubling_count(network, found.terms)
        ours = believe(catalogue, case, exact=True).after.marginals()
        if doubling <= MOST_BY_LIBRARY and len(against_gum) < count:
            against_gum.append(float(np.abs(ours - marginals_by_pyagrum(network, found)).max()))
        if doubling <= MOST_EXACT and len(against_recursion) < count:
            whole = sampled_posterior(catalogue, network, found).after.marginals()
            against_recursion.append(float(np.abs(ours - whole).max()))
    notes.append(
        f"shipped catalogue: {len(against_gum)} cases against pyAgrum, {len(against_recursion)} against the recursion"
    )
    return {
        "shipped_max_abs_error_vs_pyagrum": max(against_gum),
        "shipped_max_abs_error_vs_recursion": max(against_recursion),
    }


def _long_run(measured: list[Case], count: int, notes: list[str]) -> dict[str, float]:
    """With readings: what is stated against sixteen times as many sets, over two more findings; the same draws."""
    catalogue, errors = load_catalogue(), []
    for case in measured[:: max(len(measured) // count, 1)][:count]:
        stated = believe(catalogue, case, exact=True).after.marginals()
        with patch.multiple(sampled, SAMPLES=65_536, MOST_IN_SAMPLER=16):
            errors.append(float(np.abs(stated - believe(catalogue, case, exact=True).after.marginals()).max()))
    notes.append(
        f"session_error: worst fault of {len(errors)} cases with readings, against 65,536 sets over 16 findings"
    )
    return {"session_error_median": statistics.median(errors), "session_error_p95": float(np.quantile(errors, 0.95))}


def _gum():
    import pyagrum

    return pyagrum


def bayes_net(gum, network: Network, asked: list[CheckNumbers]):
    """The same network in pyAgrum."""
    net = gum.BayesNet()
    faults = [net.add(gum.LabelizedVariable(name, name, 2)) for name in network.ids]
    for node, cluster in zip(faults, network.clusters, strict=True):
        net.cpt(node).fillWith([float(cluster.prior[0]), float(cluster.prior[1])])
    for number, numbers in enumerate(asked):
        node = net.addNoisyORNet(gum.LabelizedVariable(f"c{number}", "", 2), float(1 - numbers.leak[0]))
        for fault, shown in zip(numbers.faults, numbers.shown, strict=True):
            net.addWeightedArc(faults[int(fault)], node, float(1 - shown[0]))
    return net, faults


def _by_pyagrum(gum, network: Network, asked: list[CheckNumbers], found: Evidence) -> np.ndarray:
    net, faults = bayes_net(gum, network, asked)
    inference = gum.LazyPropagation(net)
    inference.setEvidence({term.name: int(term.bottom_leak > 0) for term in found.terms})
    return np.array([inference.posterior(node)[1] for node in faults])


def _against_others(cases: list[Case], notes: list[str]) -> dict[str, float]:
    """The same ranking of all open checks by pyAgrum (posterior under every outcome) and by a plain loop, in turn."""
    gum, rng = _gum(), np.random.default_rng(SEED + 1)
    ours, theirs, loops = [], [], []
    for _ in cases:
        network, asked = random_network(rng, 45, 70)
        found = _evidence(rng, asked, 5)
        rest = {f"c{n}": numbers for n, numbers in enumerate(asked[35:45], 35)}
        laid = slate(rest, posterior(network, found).groups)
        ours += _timed(lambda _: forecast(posterior(network, found), laid), [0])
        theirs += _timed(lambda _: _rank_by_pyagrum(gum, network, asked, found, list(rest)), [0])
        loops += _timed(lambda _: _rank_by_loop(network, found, rest), [0])
    notes.append(
        "speed-ups: 45 faults, 70 checks, 35 answered (5 doubling), 10 checks ranked by all marginals, in turn"
    )
    return {
        "speedup_vs_pyagrum": statistics.median(b / a for a, b in zip(ours, theirs, strict=True)),
        "speedup_vs_loop": statistics.median(b / a for a, b in zip(ours, loops, strict=True)),
    }


def _rank_by_pyagrum(gum, network: Network, asked: list[CheckNumbers], found: Evidence, names: list[str]) -> None:
    net, faults = bayes_net(gum, network, asked)
    known = {term.name: int(term.bottom_leak > 0) for term in found.terms}
    for name in names:
        for outcome in (0, 1):
            inference = gum.LazyPropagation(net)
            inference.setEvidence(known | {name: outcome})
            for node in faults:
                inference.posterior(node)


def _rank_by_loop(network: Network, found: Evidence, rest: dict[str, CheckNumbers]) -> None:
    """Every set of up to two faults, one by one, for each outcome of each check: how one would first write it."""
    sets = [set(c) for size in range(3) for c in combinations(range(len(network.ids)), size)]
    priors = []
    for chosen in sets:
        weight = 1.0
        for number, chance in enumerate(network.prior):
            weight *= chance if number in chosen else 1 - chance
        for term in found.terms:
            weight *= _likelihood(term, chosen)
        priors.append(weight)
    for numbers in rest.values():
        for outcome in (0, 1):
            term, totals = term_of(numbers, outcome, 0, "x", 0), [0.0] * len(network.ids)
            for chosen, weight in zip(sets, priors, strict=True):
                share = weight * _likelihood(term, chosen)
                for fault in chosen:
                    totals[fault] += share


def _likelihood(term, chosen) -> float:
    top, bottom = term.top_leak, term.bottom_leak
    for fault, up, down in zip(term.faults, term.top, term.bottom, strict=True):
        if int(fault) in chosen:
            top, bottom = top * up, bottom * down
    return top - bottom


def _growth(notes: list[str]) -> dict[str, float]:
    """Posterior and forecast of every check at 100 and at 300 faults."""
    found = {}
    for faults, checks in ((100, 160), (300, 467)):
        rng = np.random.default_rng(faults)
        network, asked = random_network(rng, faults, checks)
        said = _evidence(rng, asked, 6)
        rest = {f"c{n}": numbers for n, numbers in enumerate(asked[checks // 2 :])}
        laid = slate(rest, posterior(network, said).groups)
        times = _timed(lambda _: forecast(posterior(network, said), laid), range(9))
        found[f"ms_at_{faults}_faults"] = statistics.median(times)
        notes.append(
            f"{faults} faults: {doubling_count(network, said.terms)} doubling findings, {len(rest)} checks scored"
        )
    return found


def _memory(case: Case) -> dict[str, float]:
    catalogue = load_catalogue()
    tracemalloc.start()
    set_out(catalogue, case)
    peak = tracemalloc.get_traced_memory()[1] / 1e6
    tracemalloc.stop()
    return {"peak_mb": peak}
