"""python -m benchmarks [NAME …] [--quick] [--json]: measure, write figures.md and figures.json, or compare with them."""

import argparse
import importlib
import json
import math
import pkgutil
import platform
import subprocess
import sys
import time
import traceback
from collections.abc import Callable
from pathlib import Path
from typing import Any

import benchmarks
from benchmarks import Measured

FOLDER = Path(__file__).parent
# A quick slice fails past this many standard errors; exact figures must agree to this share.
STANDARD_ERRORS = 3.0
EXACT_SHARE = 1e-6
Run = Callable[[bool], "Measured | tuple[dict[str, float], list[str]]"]


def registry() -> dict[str, str]:
    """Benchmarks by name: every module of the folder whose text defines ``run``."""
    found = {}
    for module in pkgutil.iter_modules(benchmarks.__path__):
        text = (FOLDER / f"{module.name}.py").read_text("utf-8") if not module.ispkg else ""
        if not module.name.startswith("_") and "\ndef run(" in text:
            found[module.name] = f"benchmarks.{module.name}"
    return found


def measure(module: str, quick: bool) -> Measured:
    """Run one benchmark and check that every figure is a finite number."""
    run: Run = importlib.import_module(module).run
    found = run(quick)
    measured = found if isinstance(found, Measured) else Measured(*found)
    bad = [key for key, value in measured.figures.items() if not math.isfinite(float(value))]
    if bad:
        raise ValueError(f"{module}: {', '.join(bad)} not finite; leave out what could not be measured")
    return measured


def disagreements(name: str, quick: Measured, committed: dict[str, Any]) -> list[str]:
    """Figures of a quick slice that differ from the committed full run by more than they may."""
    full = committed.get(name, {})
    found = []
    for key, error in full.get("errors", {}).items():
        if key not in quick.figures:
            continue
        was, now = full["figures"][key], quick.figures[key]
        allowed = STANDARD_ERRORS * math.hypot(error, quick.errors.get(key, 0.0)) + EXACT_SHARE * abs(was)
        if abs(now - was) > allowed:
            found.append(f"{name}.{key}: {now:g} now, {was:g} in figures.json, more than {allowed:.3g} apart")
    return found


def keep(name: str, measured: Measured, committed: dict[str, Any], seconds: float) -> None:
    """Write one full run into figures.json and its table into figures.md."""
    committed[name] = {
        "commit": _commit(),
        "python": platform.python_version(),
        "machine": f"{platform.system()} {platform.machine()}",
        "seconds": round(seconds, 1),
        "figures": {key: float(value) for key, value in measured.figures.items()},
        "errors": measured.errors,
        "n": measured.n,
        "notes": measured.notes,
    }
    (FOLDER / "figures.json").write_text(json.dumps(committed, indent=1, sort_keys=True) + "\n", "utf-8")
    (FOLDER / "figures.md").write_text(table(committed), "utf-8")


def table(committed: dict[str, Any]) -> str:
    """The committed figures as tables for people."""
    lines = ["# Figures", "", "Written by `python -m benchmarks`; a figure that could not be measured is absent.", ""]
    for name, part in sorted(committed.items()):
        lines += [f"## {name}", "", f"Commit {part['commit']}, Python {part['python']}, {part['machine']}.", ""]
        lines += ["| figure | value | standard error | n |", "|---|---|---|---|"]
        for key, value in part["figures"].items():
            error = f"{part['errors'][key]:.3g}" if part["errors"].get(key) else ""
            lines.append(f"| `{key}` | {value:.6g} | {error} | {part['n'].get(key, '')} |")
        lines += ["", *(f"- {note}" for note in part["notes"]), ""]
    return "\n".join(lines)


def _commit() -> str:
    told = subprocess.run(
        ["git", "rev-parse", "--short", "HEAD"], cwd=FOLDER, capture_output=True, text=True, check=False
    )
    return told.stdout.strip() or "unknown"


def main(arguments: list[str] | None = None) -> int:
    """Measure what was asked for; 1 where a benchmark failed or a quick slice disagrees, 2 for an unknown name."""
    known = registry()
    parser = argparse.ArgumentParser(prog="python -m benchmarks", description=__doc__)
    parser.add_argument("names", nargs="*", metavar="NAME", help=", ".join(known))
    parser.add_argument("--quick", action="store_true", help="a slice; fails if it disagrees with figures.json")
    parser.add_argument("--json", action="store_true", help="one JSON object for each name, the last line")
    asked = parser.parse_args(arguments)
    unknown = [name for name in asked.names if name not in known]
    if unknown:
        print(f"no benchmark {', '.join(unknown)}; there are: {', '.join(known)}", file=sys.stderr)
        return 2
    figures_file = FOLDER / "figures.json"
    committed = json.loads(figures_file.read_text("utf-8")) if figures_file.is_file() else {}
    return max([_one(name, known[name], asked, committed) for name in asked.names or known], default=0)


def _one(name: str, module: str, asked: argparse.Namespace, committed: dict[str, Any]) -> int:
    start = time.perf_counter()
    try:
        measured = measure(module, asked.quick)
    except Exception:  # one broken benchmark must not hide the others
        traceback.print_exc()
        return 1
    seconds, wrong = time.perf_counter() - start, []
    if asked.quick:
        wrong = disagreements(name, measured, committed)
    else:
        keep(name, measured, committed, seconds)
    print(f"{name} ({seconds:.1f} s)", file=sys.stderr)
    for key, value in measured.figures.items():
        print(f"  {key:40s} {value:12.6g}", file=sys.stderr)
    for line in wrong:
        print(f"DISAGREES {line}", file=sys.stderr)
    if asked.json:
        print(json.dumps({"name": name, "figures": measured.figures, "notes": measured.notes + wrong}))
    return 1 if wrong else 0


if __name__ == "__main__":
    raise SystemExit(main())
