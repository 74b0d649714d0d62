"""Which group of ISO 14175 people mean when they write down a gas."""

import re
from functools import cache
from itertools import pairwise

from tipward.reference import table

_NAMES = {
    "co2": "carbon dioxide", "carbondioxide": "carbon dioxide", "carbonicacid": "carbon dioxide",
    "ar": "argon", "argon": "argon", "he": "helium", "helium": "helium", "o2": "oxygen", "oxygen": "oxygen",
}  # fmt: skip
_NOTHING = frozenset({"none", "no", "nogas", "gasless", "without", "off", "0"})
_PART = "|".join(sorted(_NAMES, key=len, reverse=True))
_TOKEN = re.compile(rf"{_PART}|\d+(?:[.,]\d+)?")
_FILLING = re.compile(r"mixture|mix|balance|bal|rest|gas|and|with|[%/:,.-]")
_RATIO = re.compile(r"^(\d+)[/:-](\d+)$")


@cache
def gas_group(text: str | None) -> str | None:
    """The group, "none" for no gas, or None where the words mean nothing here.

    >>> gas_group("M21"), gas_group("Ar + 18 % CO2"), gas_group("75/25"), gas_group("argon"), gas_group("CO2")
    ('M21', 'M21', 'M21', 'I1', 'C1')
    >>> gas_group("no gas"), gas_group("Ar + 30% He"), gas_group("blue bottle") is None
    ('none', 'I3', True)
    """
    plain = re.sub(r"[^a-z0-9%.,/:-]", "", (text or "").lower().replace("₂", "2"))
    if not plain:
        return None
    if plain in _NOTHING:
        return "none"
    groups = {row.keys["group"].lower(): row.keys["group"] for row in table("gases")}
    return groups.get(plain) or _group_of(_shares(plain))


def _shares(plain: str) -> dict[str, float]:
    """Share of each component; what is left over is argon."""
    if plain in _NAMES:
        return {_NAMES[plain]: 1.0}
    ratio = _RATIO.match(plain)
    if ratio:  # the trade writes argon first, then carbon dioxide
        return {"carbon dioxide": float(ratio[2]) / 100} if int(ratio[1]) + int(ratio[2]) == 100 else {}
    if _FILLING.sub("", _TOKEN.sub("", plain)):  # other words: nothing is guessed out of them
        return {}
    tokens = _TOKEN.findall(plain)
    if tokens and tokens[0] in _NAMES and tokens[-1] not in _NAMES:  # "Ar 92 CO2 8": the share stands behind
        tokens = tokens[::-1]
    pairs = [(name, share) for share, name in pairwise(tokens) if name in _NAMES and share not in _NAMES]
    found = {_NAMES[name]: float(share.replace(",", ".")) / 100 for name, share in pairs}
    return _completed(found, {_NAMES[token] for token in tokens if token in _NAMES} - {"argon"})


def _completed(found: dict[str, float], named: set[str]) -> dict[str, float]:
    """Shares without argon; one component without a share takes what argon leaves."""
    others = {name: share for name, share in found.items() if name != "argon"}
    missing = named - set(others)
    if missing and ("argon" not in found or len(missing) > 1):
        return {}
    others |= {name: max(0.0, 1 - found["argon"] - sum(others.values())) for name in missing}
    return others or ({"argon": 1.0} if found.get("argon") == 1.0 else {})


def _group_of(shares: dict[str, float]) -> str | None:
    """The group whose every component lies in its range; on a boundary the leaner group."""
    parts: dict[str, dict[str, tuple[float, float]]] = {}
    for row in table("gases"):
        assert row.number is not None
        parts.setdefault(row.keys["group"], {})[row.keys["component"]] = (row.number.low, row.number.high)
    for group, ranges in parts.items():
        if (
            shares
            and set(ranges) == set(shares)
            and all(low <= shares[name] <= high for name, (low, high) in ranges.items())
        ):
            return group
    return None
