"""The force budget: set-ups a second, against a plain loop and against nothing but the exponentials it needs."""

import math
import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

from benchmarks import Measured
from tipward.mechanics import change, draw, feed_force, push_force, triangular
from tipward.model import FeedPath, TorchLead, Wire

sys.path.insert(0, str(Path(__file__).parents[1] / "tests" / "mechanics"))
from reference_path import reference_path, settled

NAME = "force"
SETS, DRAWS = 300, 400
LOOPED = 2000
PATH = FeedPath(wire=Wire("er70s-6", 0.0009), torch_lead=TorchLead(4.0, 1.0))


def run(quick: bool) -> Measured:
    """Reference figures, set-ups a second, and both ratios, timed in turn."""
    figures = reference_figures()
    errors = dict.fromkeys(figures, 0.0)
    rounds = 5 if quick else 25
    paths = varied_paths(20 if quick else 200)
    start = time.perf_counter()
    for path in paths:
        feed_force(path)
    figures["setups_per_s"] = len(paths) / (time.perf_counter() - start)
    notes = [f"a set-up is a whole budget of 512 draws: push, five limits, influences; {len(paths)} different set-ups"]
    many, mu = changed_draws()
    exps, spread = ratio(lambda: push_force(many, PATH, detail=False), lambda: bare_exponentials(mu), rounds)
    figures["ratio_to_bare_exp"] = exps
    notes.append(f"ratio_to_bare_exp: {SETS} sets x {DRAWS} draws, one exp per bend per draw; quartiles {spread}")
    few, worst = looped_draws()
    loops, spread = ratio(lambda: plain_loop(few), lambda: push_force(few, PATH, detail=False), max(rounds // 5, 3))
    figures["speedup_vs_loop"] = loops
    notes.append(f"speedup_vs_loop: {LOOPED} draws, the same march in plain Python floats; quartiles {spread}")
    notes.append(f"both marches agree to {worst:.1e}")
    return Measured(figures, notes, errors, {"setups_per_s": len(paths)})


def reference_figures() -> dict[str, float]:
    """Push on the reference path with 0, 1, 2 loops, and for 4.5 N at the tip (row 17), in newtons."""
    asked = {f"reference_{n}_loop{'' if n == 1 else 's'}_n": reference_path(n) for n in (0, 1, 2)}
    asked["row17_n"] = reference_path(1, friction=0.20, tip_n=4.5)
    return {key: float(push_force(settled(path), path).push_n) for key, path in asked.items()}


def varied_paths(count: int) -> list[FeedPath]:
    """Different set-ups, from a fixed seed."""
    random = np.random.default_rng(7)
    classes, sizes = ("er70s-6", "er308lsi", "er4043", "er5356", "e71t-11"), (0.0008, 0.0009, 0.001, 0.0012)
    return [
        FeedPath(
            wire=Wire(str(random.choice(classes)), float(random.choice(sizes))),
            torch_lead=TorchLead(float(random.uniform(3, 5)), float(random.uniform(0, 1.5)), 0.15),
        )
        for _ in range(count)
    ]


def changed_draws() -> tuple[dict[str, object], np.ndarray]:
    """Draws of one path under many sets of faults: friction, holds in liner and tip, extra bends."""
    draws = draw(PATH, DRAWS, extra=("size",))
    strength = np.linspace(0.0, 1.0, SETS)[:, None] * triangular(draws.uniforms["size"], 0.5, 1.0, 1.5)
    values = change(draws.values, "liner.friction_1", "*", 1 + strength)
    values = change(values, "liner.kink_drag_n", "+", 3 * strength)
    values = change(values, "contact_tip.spatter_drag_n", "+", 2 * strength)
    values = change(values, "torch_lead.extra_turning_rad", "+", 2 * strength)
    return dict(values), np.asarray(values["liner.friction_1"])


def bare_exponentials(mu: np.ndarray) -> np.ndarray:
    """One exponential for each of the three bends, nothing else."""
    force = np.ones_like(mu)
    for angle in (0.87, math.pi / 2, 2 * math.pi):
        force = force * np.exp(mu * angle)
    return force


def looped_draws() -> tuple[dict[str, object], float]:
    """Draws for the loop, and how far both marches differ on them."""
    values = dict(draw(PATH, LOOPED).values)
    push = np.broadcast_to(push_force(values, PATH).push_n, (LOOPED,))
    return values, float(np.max(np.abs(np.array(plain_loop(values)) / push - 1)))


def plain_loop(values: dict[str, object]) -> list[float]:
    """The march of docs/explanation/feed-force.md for one draw at a time, in plain floats."""
    names = list(values)
    columns = [np.broadcast_to(np.asarray(values[name], dtype=float), (LOOPED,)).tolist() for name in names]
    return [_plain_march(dict(zip(names, row, strict=True))) for row in zip(*columns, strict=True)]


def _plain_march(v: dict[str, float]) -> float:
    d, young, limit, mu = v["wire.diameter_m"], v["wire.young_pa"], v["wire.yield_pa"], v["liner.friction_1"]
    ei, c = v["wire.stiffness_factor"] * young * math.pi * d**4 / 64, v["liner.bore_m"] - d
    weight, moment = v["wire.density_kg_per_m3"] * 9.80665 * math.pi * d**2 / 4, limit * d**3 / 6
    cast, tip_c, doubt = v["wire.cast_diameter_m"], v["contact_tip.bore_m"] - d, v["mechanics.junction_factor_1"] - 1
    pressing = 4 * ei / cast / min(math.sqrt(12 * cast * tip_c), v["contact_tip.length_m"])
    force = v["contact_tip.friction_1"] * pressing + v["contact_tip.bridge_force_n"]
    radius, turning = v["torch_lead.turn_radius_m"], 2 * math.pi * v["torch_lead.turns"]
    half = max(v["torch_lead.length_m"] - 0.15 - math.pi / 4 - radius * turning, 0.0) / 2
    way = [(v["neck.radius_m"], v["neck.turning_rad"]), (None, 0.15 + half), (0.5, math.pi / 2), (radius, turning)]
    curve = 0.0
    for bend, size in [*way, (None, half)]:
        wanted = 0.0 if bend is None else 1 / bend
        step = abs(wanted - curve)
        share = 1.0 if bend is None or not step else min(bend * size / math.sqrt(24 * c / step), 1.0)
        step, curve = step * share, curve + (wanted - curve) * share
        if step:
            normal = 2 * min(ei * step, moment) / math.sqrt(24 * c / step)
            force += mu * normal * (1 + doubt * min(force * 24 * c / (math.pi**2 * ei * step), 1.0))
        if bend is not None:
            force = force * math.exp(mu * size) + share * _plain_set(young, limit, d, bend)
            continue
        r = c / 2
        winds = force > 2 * (2 * math.sqrt(2) - 1) * math.sqrt(ei * weight / r)
        if winds and size >= math.sqrt(8 * math.pi**2 * ei / force):
            left = 1 / force - mu * r * size / (4 * ei)
            force = 1 / left if left > 0 else math.inf
        else:
            force += mu * weight * size
    return force


def _plain_set(young: float, limit: float, d: float, radius: float) -> float:
    """Work of setting the wire in a bend, per length: fibres that yield once, and inside tight bends twice."""
    share, half, strain = 2 * limit * radius / (young * d), d / 2, limit / young
    if share >= 1:
        return 0.0
    once, twice = math.acos(share), math.acos(min(2 * share, 1.0))
    square = half**4 / 4 * (once - math.sin(4 * once) / 4 - twice + math.sin(4 * twice) / 4)
    area, area2 = (half**2 * (turn - math.sin(2 * turn) / 2) for turn in (once, twice))
    arm = 2 / 3 * (half * math.sin(twice)) ** 3
    work = young / 2 * (square / radius**2 - strain**2 * (area - area2)) + limit * (
        2 * arm / radius - 2.5 * strain * area2
    )
    return 2 * work


def ratio(first: Callable[[], object], second: Callable[[], object], rounds: int) -> tuple[float, str]:
    """Time of the first over that of the second, measured in turn: median, and quartiles as text."""
    first(), second()
    found = []
    for _ in range(rounds):
        one = _seconds(first)
        found.append(one / _seconds(second))
    low, mid, high = statistics.quantiles(found, n=4)
    return mid, f"{low:.2f}-{high:.2f}"


def _seconds(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start
