"""Where each table of the catalogue stands: its file, its first line and its own text."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

_HEAD = re.compile(r"^\[\[\s*(fault|check|action|complaint|caution|set_up|synonym)\s*\]\]")
_KEY = re.compile(r"""^\s*(?:id|word)\s*=\s*["']([^"']+)["']""")


@dataclass(frozen=True, slots=True)
class Block:
    """One table as it stands in its file; ``first`` is the number of its first line."""

    file: str
    first: int
    text: tuple[str, ...]

    def line(self, *wanted: str) -> int:
        """The number of the line that holds all of these texts as whole words, or where they are all found in turn.

        >>> Block("a.toml", 7, ("[[fault]]", 'id = "x"', "prior = 0.1")).line("prior")
        9
        >>> Block("a.toml", 1, ("[[check.shows]]", 'fault = "x"', "outcomes = { worn = 0.9 }")).line("x", "worn")
        3
        """
        whole = [re.compile(rf"(?<![\w-]){re.escape(item)}(?![\w-])") for item in wanted]
        for number, text in enumerate(self.text):
            if all(item.search(text) for item in whole):
                return self.first + number
        place = 0
        for item in whole:
            found = next((number for number in range(place, len(self.text)) if item.search(self.text[number])), None)
            if found is None:
                return self.first
            place = found
        return self.first + place


def blocks(file: str, text: str) -> Iterator[tuple[str, Block]]:
    """The tables of one file by kind and id, as "fault liner-dirty".

    >>> [name for name, _ in blocks("a.toml", '[[fault]]\\nid = "x"')]
    ['fault x']
    """
    lines = text.splitlines()
    heads = [number for number, line in enumerate(lines) if _HEAD.match(line)]
    for start, end in pairwise([*heads, len(lines)]):
        kind = _HEAD.match(lines[start])
        key = next((found[1] for found in map(_KEY.match, lines[start:end]) if found), None)
        if kind is not None and key is not None:
            yield f"{kind[1]} {key}", Block(file, start + 1, tuple(lines[start:end]))
