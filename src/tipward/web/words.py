"""Every text of the pages, from one file a language; what a language lacks is shown in English."""

import tomllib
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

FOLDER = Path(__file__).parent / "texts"
ENGLISH = "en"


@cache
def languages() -> dict[str, str]:
    """Language codes with the name that each language gives itself."""
    return {file.stem: _flat(file.stem)["language"] for file in sorted(FOLDER.glob("*.toml"))}


@cache
def _flat(language: str) -> dict[str, str]:
    with (FOLDER / f"{language}.toml").open("rb") as file:
        return dict(_flattened(tomllib.load(file), ""))


def _flattened(table: Mapping[str, Any], before: str) -> Any:
    for key, value in table.items():
        if isinstance(value, Mapping):
            yield from _flattened(value, f"{before}{key}.")
        else:
            yield f"{before}{key}", str(value)


class Words:
    """The texts of one language."""

    def __init__(self, language: str) -> None:
        self.language = language if language in languages() else ENGLISH
        self._own, self._english = _flat(self.language), _flat(ENGLISH)

    def __call__(self, name: str, /, **values: object) -> str:
        """The text of that name with its places filled; with ``n`` = 1 the text ``name_one`` where there is one."""
        if values.get("n") == 1 and f"{name}_one" in self._english:
            name = f"{name}_one"
        text = self._own.get(name) or self._english[name]
        return text.format(**values) if values else text

    def maybe(self, name: str, otherwise: str) -> str:
        """The text of that name, or what is given where no language has it."""
        return self._own.get(name) or self._english.get(name) or otherwise
