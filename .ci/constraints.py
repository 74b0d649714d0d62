"""Write constraints.txt from what is installed here: names and versions only, with markers, no addresses.

Run inside a fresh venv that holds `pip install -e '.[dev,postgres]'`:  .venv/bin/python .ci/constraints.py > constraints.txt
"""

import tomllib
from importlib.metadata import distribution
from pathlib import Path

from packaging.markers import Marker
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name


def needs(name: str, extras: frozenset[str]) -> list[Requirement]:
    """What a package asks for here, with the given extras."""
    wanted = [Requirement(text) for text in distribution(name).requires or []]
    return [
        item
        for item in wanted
        if item.marker is None or any(item.marker.evaluate({"extra": extra}) for extra in {"", *extras})
    ]


def reach(roots: list[Requirement]) -> dict[str, list[Requirement]]:
    """All packages behind the roots, each with the requirements that brought it."""
    found: dict[str, list[Requirement]] = {}
    seen: set[tuple[str, frozenset[str]]] = set()
    waiting = list(roots)
    while waiting:
        item = waiting.pop()
        name, extras = canonicalize_name(item.name), frozenset(item.extras)
        found.setdefault(name, []).append(item)
        if (name, extras) not in seen:
            seen.add((name, extras))
            waiting += needs(name, extras)
    return found


def marker_of(asked: list[Requirement]) -> str:
    """The marker under which a package is needed, where every requirer has the same one and it names no extra."""
    markers = {str(item.marker) for item in asked if item.marker is not None and "extra" not in str(item.marker)}
    bare = any(item.marker is None or "extra" in str(item.marker) for item in asked)
    return "" if bare or len(markers) != 1 else f" ; {Marker(markers.pop())}"


def lines(found: dict[str, list[Requirement]], without: set[str] = frozenset()) -> list[str]:
    """One line for each package."""
    return [
        f"{name}=={distribution(name).version}{marker_of(asked)}"
        for name, asked in sorted(found.items())
        if name not in without
    ]


def main() -> None:
    """Print the file."""
    project = tomllib.loads((Path(__file__).parents[1] / "pyproject.toml").read_text("utf-8"))["project"]
    base = [Requirement(text) for text in project["dependencies"]]
    extras = [Requirement(text) for more in project["optional-dependencies"].values() for text in more]
    run, every = reach(base), reach([*base, *extras])
    print(
        "# Versions that this project was tested with; for `pip install -c constraints.txt`. Made by .ci/constraints.py."
    )
    print("\n# What Tipward runs on")
    print("\n".join(lines(run)))
    print("\n# What the extras add")
    print("\n".join(lines(every, set(run))))


if __name__ == "__main__":
    main()
