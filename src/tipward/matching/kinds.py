"""What kind of wire a label means: metal, form, shielding, polarity and gases of its class."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from tipward.reference import table

# Wire keys that say a kind but no class, as people do who have not read the label.
WITHOUT_CLASS = frozenset({"solid steel", "stainless", "aluminium", "metal-cored", "self-shielded", "flux-cored"})
# The letter behind a flux-cored class is the gas it was classified with; without one the label must say it.
GASES_BY_LETTER: Mapping[str, tuple[str, ...]] = {"c": ("C1",), "m": ("M21",)}
EITHER_GAS = ("C1", "M21")
_USABILITY = re.compile(r"^e\d{2,3}t-?(\d{1,2}|gs|g)((?:[cmj/-].*)?)$")
_ISO_WITHOUT_GAS = "vwy"


@dataclass(frozen=True, slots=True)
class WireKind:
    """A wire class as the tables know it; ``polarity`` is "" where the label must say it, ``gases`` are ISO 14175."""

    key: str
    family: str
    metal: str
    form: str
    shielding: str
    polarity: str
    gases: tuple[str, ...]
    source: str
    grade: str

    def words(self) -> str:
        """The kind as people say it.

        >>> known("er70s-6").words()
        'solid carbon steel wire'
        """
        if self.form == "solid":
            return f"solid {self.metal} wire"
        if self.form == "metal-cored":
            return "metal-cored wire"
        return {"self": "self-shielded flux-cored wire", "gas": "gas-shielded flux-cored wire"}.get(
            self.shielding, "flux-cored wire"
        )


@cache
def _classes() -> Mapping[str, WireKind]:
    return {
        row.keys["wire_class"]: WireKind(
            key=row.keys["wire_class"],
            family=row.keys["family"],
            metal=row.keys["metal"],
            form=row.keys["form"],
            shielding=row.keys["shielding"],
            polarity=row.keys["polarity"],
            gases=tuple(row.keys["gases"].split()),
            source=row.source,
            grade=row.grade,
        )
        for row in table("wire_classes")
    }


def known(wire_class: str) -> WireKind:
    """The kind of a class that the table holds.

    >>> known("e70t-4").polarity
    'electrode positive'
    """
    return _classes()[wire_class]


def all_kinds() -> tuple[WireKind, ...]:
    """Every class of the table, in file order.

    >>> len(all_kinds()) > 20
    True
    """
    return tuple(_classes().values())


@cache
def wire_kind(label: str | None) -> WireKind | None:
    """What a class or label means, or None where it means nothing to the tables.

    >>> wire_kind("G 46 4 M21 3Si1").key, wire_kind("E71T-8").polarity, wire_kind("T 46 3 P M 1 H10").gases
    ('er70s-6', 'electrode negative', ('M21',))
    >>> wire_kind("string") is None
    True
    """
    words = (label or "").lower().split()
    if not words:
        return None
    names = {row.keys["label"]: row.keys["wire_class"] for row in table("wire_names")}
    for spelling in (" ".join(words), "".join(words), words[-1]):
        found = names.get(spelling, spelling)
        if found in _classes():
            return _classes()[found]
    return _from_usability("".join(words)) or _from_iso_17632(words)


def _from_usability(label: str) -> WireKind | None:
    """Flux-cored labels carry their usability number behind the T: it settles shielding and polarity."""
    match = _USABILITY.match(label)
    usability = f"T-{match[1].upper()}" if match else ""
    for row in table("polarity_by_usability"):
        if match and row.keys["usability"] == usability:
            shielding = row.keys["shielding"]
            gases = {"self": ("none",), "gas": _gases_behind(match[2])}
            return WireKind(
                label, "tubular", "carbon steel", "tubular", shielding, row.keys["polarity"],
                gases.get(shielding, ()), row.source, row.grade,
            )  # fmt: skip
    return None


def _gases_behind(rest: str) -> tuple[str, ...]:
    """The letter may stand at once or behind the alloy ("-ni1c"); two classes on one label leave both gases."""
    plain = re.sub(r"-?h\d+$|j$", "", rest)
    if "/" in plain or not plain:
        return EITHER_GAS
    return GASES_BY_LETTER.get(plain[0], GASES_BY_LETTER.get(plain[-1], EITHER_GAS))


def _from_iso_17632(words: list[str]) -> WireKind | None:
    """ISO labels of cored wire: letters V, W, Y and gas N mean no gas, M is metal-cored; polarity is not in them."""
    # A and Z in front are impact symbols, not the core
    letters = [word for word in words[1:] if len(word) == 1 and word.isalpha() and word not in "az"]
    if words[0] != "t" or len(words) < 4 or not letters or letters[0] not in "rpbmvwy":
        return None
    core, gas = letters[0], letters[1] if len(letters) > 1 else ""
    gases: tuple[str, ...]
    if core in _ISO_WITHOUT_GAS or gas == "n":
        shielding, gases = "self", ("none",)
    else:
        shielding, gases = "gas", GASES_BY_LETTER.get(gas, EITHER_GAS)
    form = "metal-cored" if core == "m" else "tubular"
    return WireKind(
        " ".join(words), "tubular", "carbon steel", form, shielding, "", gases, "iso-17632", "standard"
    )  # fmt: skip
