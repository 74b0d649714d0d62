"""The form of a feed path: one field each, text with its unit, every refusal at its field."""

from dataclasses import dataclass, fields, is_dataclass
from functools import cache
from types import UnionType
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

from tipward import tasks
from tipward.foundation import Problem, unit_of_field
from tipward.model import FeedPath, build_path, path_to_data
from tipward.web.forms import Posted

# What most technicians know of a machine at first sight; the rest waits behind its part.
AT_FIRST_SIGHT = (
    "wire.wire_class",
    "wire.diameter",
    "spool.form",
    "drive_rolls.groove",
    "drive_rolls.groove_size",
    "liner.material",
    "liner.bore",
    "torch_lead.length",
    "torch_lead.turns",
    "torch_lead.turn_radius",
    "contact_tip.marked_size",
    "gun.kind",
    "welding_circuit.polarity",
    "settings.feed_speed",
)
# Not for a form of one line a field. Sizes of faults, numbers that are 0 or 1 on a healthy rig, are not asked either.
NOT_ASKED = {"stiffness_factor", "route"}


@dataclass(frozen=True, slots=True)
class PathField:
    """One field: its dotted plain name, its unit, and what can be chosen (empty for text)."""

    name: str
    unit: str
    options: tuple[str, ...]


@cache
def parts() -> dict[str, tuple[PathField, ...]]:
    """The fields by part, those at first sight first under ""."""
    found: dict[str, tuple[PathField, ...]] = {"": ()}
    for item in fields(FeedPath):
        part = type(getattr(FeedPath(), item.name))
        if is_dataclass(part):
            found[item.name] = tuple(_part_fields(item.name, part))
    by_name = {one.name: one for group in found.values() for one in group}
    first = tuple(by_name[name] for name in AT_FIRST_SIGHT)
    rest = {part: tuple(one for one in group if one not in first) for part, group in found.items() if part}
    return {"": first, **{part: group for part, group in rest.items() if group}}


def _part_fields(part: str, kind: type) -> Any:
    hints = get_type_hints(kind)
    for item in fields(kind):
        if item.name not in NOT_ASKED and not isinstance(item.default, float):
            name, unit = unit_of_field(item.name) or (item.name, "")
            yield PathField(f"{part}.{name}", unit, _options(hints[item.name]))


def _options(hint: Any) -> tuple[str, ...]:
    origin = get_origin(hint)
    if origin is Literal:
        return tuple(str(option) for option in get_args(hint))
    if origin in {Union, UnionType}:
        return next((found for found in map(_options, get_args(hint)) if found), ())
    return ("true", "false") if hint is bool else ()


def read_path_form(form: Posted, before: FeedPath, name: str) -> FeedPath:
    """The path that a form describes: fields that were not touched keep their exact value."""
    data = path_to_data(before)
    shown = tasks.path_texts(before)
    for one in (one for group in parts().values() for one in group):
        said = form.text(f"path:{one.name}", 200)
        if form.has(f"path:{one.name}") and said != shown.get(one.name, ""):
            _put(data, one, said)
    data["name"] = name or before.name
    return build_path({key: value for key, value in data.items() if value != {}}, "set-up")


def _put(data: dict[str, Any], one: PathField, said: str) -> None:
    part, _, plain = one.name.partition(".")
    values = data.setdefault(part, {})
    for key in [key for key in values if (unit_of_field(key) or (key,))[0] == plain]:
        del values[key]
    if said:
        values[plain] = said


def wrong_fields(problems: tuple[Problem, ...]) -> set[str]:
    """The dotted plain names of the fields that were refused."""
    found = set()
    for problem in problems:
        part, _, field = problem.where.partition(".")
        plain = (unit_of_field(field) or (field,))[0]
        found.add(f"{part}.{plain}")
    return found
