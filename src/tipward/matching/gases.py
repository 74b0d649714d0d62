"""Which group of ISO 14175 people mean when they write down a gas."""

import re
from functools import cache

from tipward.reference import table

_NAMES = {
    "co2": "carbon dioxide", "carbondioxide": "carbon dioxide", "carbonicacid": "carbon dioxide",
    "ar": "argon", "argon": "argon", "he": "helium", "helium": "helium", "o2": "oxygen", "oxygen": "oxygen",
}  # fmt: skip
_NOTHING = frozenset({"none", "no", "nogas", "gasless", "without", "off", "0"})
_PART = "|".join(sorted(_NAMES, key=len, reverse=True))
_SHARE = re.compile(rf"(\d+(?:[.,]\d+)?)%?({_PART})")
_SHARE_BEHIND = re.compile(rf"({_PART})(\d+(?:[.,]\d+)?)%?")
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
    pairs = [(name, share) for share, name in _SHARE.findall(plain)] or _SHARE_BEHIND.findall(plain)
    found = {_NAMES[name]: float(share.replace(",", ".")) / 100 for name, share in pairs}
    others = {name: share for name, share in found.items() if name != "argon"}
    named = {_NAMES[name] for name in re.findall(_PART, plain)}
    if len(others) < len(named - {"argon"}):
        missing = (named - {"argon"}) - set(others)
        if "argon" not in found or len(missing) > 1:
            return {}
        others[missing.pop()] = max(0.0, 1 - found["argon"] - sum(others.values()))
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
