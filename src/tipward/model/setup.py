"""The door for set-up files: TOML or JSON in, a validated feed path out, every bad field named at once."""

import difflib
import json
import tomllib
from dataclasses import asdict, fields, is_dataclass
from pathlib import Path
from typing import Any

from pydantic import TypeAdapter, ValidationError

from tipward.foundation import Problem, SetupError, read_quantity, unit_of_field
from tipward.model.path import FeedPath, Piece

LARGEST_SETUP_BYTES = 1_000_000
_PATH = TypeAdapter(FeedPath)
_PARTS: dict[str, type] = {item.name: type(getattr(FeedPath(), item.name)) for item in fields(FeedPath)}
_DEFAULTS = {name: part() for name, part in _PARTS.items() if is_dataclass(part)}


def read_setup(source: Path) -> FeedPath:
    """Read a feed path from a set-up file.

    Parameters
    ----------
    source : Path
        A ``.toml`` or ``.json`` file, UTF-8, at most 1 MB.

    Returns
    -------
    FeedPath
        Validated, SI.

    Raises
    ------
    SetupError
        File missing, empty, too large, not UTF-8, not TOML or JSON, or any bad field: all are listed.

    Source: design (docs/decisions/0002).

    >>> read_setup(Path("missing.toml"))
    Traceback (most recent call last):
    ...
    tipward.foundation.errors.SetupError: missing.toml: 1 problem
      - file: does not exist; check the name
    """
    name = str(source)
    try:
        if source.stat().st_size > LARGEST_SETUP_BYTES:
            raise _refused(name, "file", "is larger than 1 MB", "give one set-up file for one feed path")
        raw = source.read_bytes()
    except FileNotFoundError:
        raise _refused(name, "file", "does not exist", "check the name") from None
    except OSError as problem:
        raise _refused(name, "file", f"cannot be read ({problem.strerror})", "check the name and the rights") from None
    return parse_setup(raw, name, is_json=source.suffix.lower() == ".json")


def parse_setup(raw: bytes, name: str = "set-up", is_json: bool = False) -> FeedPath:
    """Read a feed path from the bytes of a set-up file.

    Parameters
    ----------
    raw : bytes
        TOML or JSON text in UTF-8.
    name : str
        What error messages call it.
    is_json : bool
        JSON instead of TOML.

    Returns
    -------
    FeedPath
        Validated, SI.

    Raises
    ------
    SetupError
        Empty, not UTF-8, not TOML or JSON, or any bad field: all are listed.

    Source: design (docs/decisions/0002).

    >>> parse_setup(b'[wire]\\ndiameter = "0.9 mm"').wire.diameter_m
    0.0009
    """
    if not raw.strip():
        raise _refused(name, "file", "is empty", "start from one of the files in examples/")
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as problem:
        raise _refused(name, f"byte {problem.start}", "is not UTF-8", "save the file as UTF-8") from None
    try:
        data = json.loads(text) if is_json else tomllib.loads(text)
    except (json.JSONDecodeError, tomllib.TOMLDecodeError, RecursionError) as problem:
        kind = "JSON" if is_json else "TOML"
        raise _refused(name, "file", f"is not {kind}: {problem}", "mend that line") from None
    return build_path(data, name)


def build_path(data: Any, name: str = "set-up") -> FeedPath:
    """Build a feed path from nested plain data; quantities may be text with a unit or SI numbers.

    Parameters
    ----------
    data : dict
        ``{"wire": {"diameter": "0.9 mm"}}`` or ``{"wire": {"diameter_m": 0.0009}}``; "unknown" or null is unknown.
    name : str
        What error messages call it.

    Returns
    -------
    FeedPath
        Validated, SI.

    Raises
    ------
    SetupError
        Any bad field: all are listed.

    Source: design (docs/decisions/0002).

    >>> build_path({"wire": {"diameter": "0.035 in"}}).wire.diameter_m
    0.000889
    """
    if not isinstance(data, dict):
        raise _refused(name, "file", "holds no tables", "start from one of the files in examples/")
    problems: list[Problem] = []
    plain = {
        key: _plain(_PARTS[key], value, key, problems) if is_dataclass(_PARTS.get(key)) else value
        for key, value in data.items()
    }
    path: FeedPath | None = None
    try:
        path = _PATH.validate_python(plain)
    except ValidationError as refused:
        known = {problem.where for problem in problems}
        problems += [item for item in map(_problem, refused.errors()) if item.where not in known]
    lead = path or _lead_alone(plain.get("torch_lead"))
    if lead is not None:
        problems += _lead_shorter_than_its_bends(lead)
    if problems or path is None:
        raise SetupError(name, problems)
    return path


def path_to_data(path: FeedPath) -> dict[str, Any]:
    """Turn a feed path into plain data that ``build_path`` reads back unchanged.

    Parameters
    ----------
    path : FeedPath
        The path.

    Returns
    -------
    dict
        SI numbers under their field names; unknown fields are left out.

    Raises
    ------
    Nothing.

    Source: design (docs/decisions/0002).

    >>> path_to_data(build_path({"wire": {"diameter": "0.9 mm"}}))["wire"]
    {'diameter_m': 0.0009}
    """

    data: dict[str, Any] = {"name": path.name}
    for part_name, default in _DEFAULTS.items():
        part = getattr(path, part_name)
        changed = {
            item.name: getattr(part, item.name)
            for item in fields(part)
            if getattr(part, item.name) != getattr(default, item.name)
        }
        if "route" in changed:
            changed["route"] = [
                {key: value for key, value in asdict(piece).items() if value is not None} for piece in changed["route"]
            ]
        if changed:
            data[part_name] = changed
    return data


def _refused(name: str, where: str, what: str, next_step: str) -> SetupError:
    return SetupError(name, [Problem(where, what, next_step)])


def _plain(part: type, data: Any, where: str, problems: list[Problem]) -> Any:
    """Turn quantities with units into SI numbers under the field's full name."""
    if not isinstance(data, dict):
        return data
    by_plain_name = {}
    for item in fields(part):
        split = unit_of_field(item.name)
        if split:
            by_plain_name[split[0]] = (item.name, split[1])
    plain: dict[str, Any] = {}
    for key, value in data.items():
        field, unit = by_plain_name.get(key, (key, None))
        if field in plain or (field != key and field in data):
            problems.append(Problem(f"{where}.{key}", "is given twice", f"keep one of {key} and {field}"))
        plain[field] = _value(field, unit, value, f"{where}.{key}", problems)
    return plain


def _value(field: str, unit: str | None, value: Any, where: str, problems: list[Problem]) -> Any:
    if value == "unknown":
        return None
    if field == "route" and isinstance(value, list):
        return tuple(_plain(Piece, item, f"{where}.{index}", problems) for index, item in enumerate(value))
    if unit is None or value is None:
        return value
    if isinstance(value, str):
        try:
            return read_quantity(value, unit)
        except ValueError as problem:
            what, _, step = str(problem).partition("; ")
            problems.append(Problem(where, what, step or "write number and unit"))
            return None
    if unit and isinstance(value, int | float) and not isinstance(value, bool):
        problems.append(Problem(where, f"{value} has no unit", f"write it with its unit as text, or {field} in {unit}"))
        return None
    return value


def _problem(error: Any) -> Problem:
    where = ".".join(str(step) for step in error["loc"]) or "file"
    if error["type"] in {"extra_forbidden", "unexpected_keyword_argument"}:
        known = _known_beside(error["loc"])
        near = difflib.get_close_matches(str(error["loc"][-1]), known, 1, 0.5)
        step = f"did you mean {near[0]}?" if near else f"known here: {', '.join(known)}"
        return Problem(where, "is not a field of a feed path", step)
    what = error["msg"][0].lower() + error["msg"][1:]
    given = repr(error["input"])[:60]
    return Problem(where, f"{what} (given: {given})", 'correct it, or write "unknown"')


def _known_beside(loc: tuple[Any, ...]) -> list[str]:
    if len(loc) == 1:
        return list(_PARTS)
    part: Any = Piece if "route" in loc else _PARTS.get(str(loc[0]))
    if not is_dataclass(part):
        return []
    return [(unit_of_field(item.name) or (item.name, ""))[0] for item in fields(part)]


def _lead_alone(torch_lead: Any) -> FeedPath | None:
    """The torch lead by itself, where other parts are refused: its own faults are named with theirs."""
    try:
        return _PATH.validate_python({"torch_lead": torch_lead})
    except ValidationError:
        return None


def _lead_shorter_than_its_bends(path: FeedPath) -> list[Problem]:
    lead, problems = path.torch_lead, []
    bent = 0.0
    for index, piece in enumerate(lead.route):
        given = sum(item is not None for item in (piece.length_m, piece.radius_m, piece.turning_rad))
        if (piece.radius_m is None and piece.length_m is None) or (piece.radius_m is not None and given < 2):
            where = f"torch_lead.route.{index}"
            problems.append(Problem(where, "says too little", "give length, or radius and turning (or length)"))
            continue
        if piece.radius_m is None and piece.turning_rad is not None:
            problems.append(Problem(f"torch_lead.route.{index}", "turns without a radius", "give its radius"))
            continue
        bent += piece.length_m if piece.length_m is not None else (piece.radius_m or 0) * (piece.turning_rad or 0)
    if lead.turns and lead.turn_radius_m and not lead.route:
        bent = lead.turns * 2 * 3.141592653589793 * lead.turn_radius_m
    if lead.length_m is not None and bent > lead.length_m * (1 + 1e-6):
        what = f"is {lead.length_m:g} m, shorter than its bends of {bent:.3g} m"
        problems.append(Problem("torch_lead.length", what, "check length, turns and radius"))
    return problems
