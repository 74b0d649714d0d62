"""Long simulations: many processes, and what was done is kept, so that a run that was stopped goes on where it was."""

import hashlib
import pickle
import shelve
import sys
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path
from typing import Any

FOLDER = Path(__file__).parent
KEPT = FOLDER / ".runs"  # never committed


def simulated(
    name: str, work: Callable[[Any], Any], tasks: Sequence[Any], processes: int, keep: bool = True
) -> list[Any]:
    """Results of ``work`` on every task, in order; with ``keep`` those of an earlier run of the same code are read back."""
    if not keep:
        return list(_done(work, tasks, processes))
    KEPT.mkdir(exist_ok=True)
    with shelve.open(str(KEPT / f"{name}-{_code(work)}")) as kept:
        keys = [pickle.dumps(task, 0).decode("latin-1") for task in tasks]
        new = [number for number, key in enumerate(keys) if key not in kept]
        for number, result in zip(new, _done(work, [tasks[n] for n in new], processes), strict=True):
            kept[keys[number]] = result
        return [kept[key] for key in keys]


def _done(work: Callable[[Any], Any], tasks: Sequence[Any], processes: int) -> Any:
    with ProcessPoolExecutor(processes, get_context("spawn")) as pool:
        yield from pool.map(work, tasks, chunksize=4)


def _code(work: Callable[[Any], Any]) -> str:
    """A mark of the code and data that decide the results."""
    own = sys.modules[work.__module__].__file__ or ""
    files = [own, *map(str, (FOLDER / "world.py", FOLDER / "session.py"))]
    package = FOLDER.parent / "src" / "tipward"
    parts = ("diagnosis", "planning", "faults", "mechanics", "model", "reference")
    files += [
        str(file) for part in parts for kind in ("*.py", "*.toml", "*.csv") for file in (package / part).rglob(kind)
    ]
    digest = hashlib.sha256()
    for file in sorted(files):
        digest.update(Path(file).read_bytes())
    return digest.hexdigest()[:12]
