"""Set-up of a rig: what does not match its wire, what each change is worth, and what-if."""

from typing import Annotated, Any

from fastapi import APIRouter, Query, Request
from fastapi.responses import Response

from tipward import tasks
from tipward.foundation import InputError, Problem, read_quantity
from tipward.model import FeedPath, Gain, build_path, path_to_data
from tipward.web.showing import render
from tipward.web.visitor import Visiting

router = APIRouter(prefix="/rigs/{rig}")
Said = Annotated[str, Query(max_length=60)]
LINERS, GUNS = ("steel", "ptfe", "pa", "carbon-ptfe"), ("push", "push-pull", "spool gun")


@router.get("/set-up")
def setup_page(
    request: Request,
    visitor: Visiting,
    rig: str,
    lead: Said = "",
    turns: Said = "",
    radius: Said = "",
    liner: Said = "",
    bore: Said = "",
    gun: Said = "",
) -> Response:
    """What does not match and why, gains in newtons, and one own what-if."""
    seen = tasks.see_rig(request.app.state.shop, rig).rig
    asked = {"lead": lead, "turns": turns, "radius": radius, "liner": liner, "bore": bore, "gun": gun}
    own: Gain | None = None
    problems: tuple[Problem, ...] = ()
    try:
        own = _own(seen.path, asked) if any(asked.values()) else None
    except InputError as problem:
        problems = problem.problems
    return render(
        request,
        "setup.html",
        422 if problems else 200,
        rig=seen,
        fit=tasks.fit(seen.path),
        advice=tasks.recommend(seen.path),
        gains=tasks.gains(seen.path),
        line=tasks.path_pictures(seen.path, visitor.inches),
        own=own,
        asked=asked,
        problems=problems,
        liners=LINERS,
        guns=GUNS,
    )


def _own(path: FeedPath, asked: dict[str, str]) -> Gain:
    """The change that was asked for; fields left empty stay as they are."""
    after = tasks.shortened(path, read_size("lead", asked["lead"], "m")) if asked["lead"] else path
    data = path_to_data(after)
    if asked["turns"] or asked["radius"]:
        data.get("torch_lead", {}).pop("route", None)
    for field, said, unit in (
        ("torch_lead.turns", asked["turns"], ""),
        ("torch_lead.turn_radius_m", asked["radius"], "m"),
        ("liner.bore_m", asked["bore"], "m"),
    ):
        if said:
            _put(data, field, read_size(field, said, unit))
    if asked["liner"] in LINERS:
        kept = {key: data.get("liner", {}).get(key) for key in ("bore_m", "length_m")}
        data["liner"] = {**kept, "material": asked["liner"]}
    if asked["gun"] in GUNS:
        _put(data, "gun.kind", asked["gun"])
    return tasks.gain(path, build_path(data, "what-if"))  # loops longer than the lead are refused here


def _put(data: dict[str, Any], field: str, value: float | str) -> None:
    part, _, name = field.partition(".")
    data.setdefault(part, {})[name] = value


def read_size(name: str, said: str, unit: str) -> float:
    try:
        value = read_quantity(said, unit)
    except ValueError as problem:
        what, _, step = str(problem).partition("; ")
        raise InputError("what-if", [Problem(name, what, step or "write number and unit")]) from None
    if not 0 <= value <= 1000 or (unit and not value):
        raise InputError("what-if", [Problem(name, f"{said!r} is out of reach", "give a size that can be built")])
    return value
