"""Route: the torch lead drawn with a finger, tapped along a photo, or as so many loops; what it costs in newtons."""

import json
from typing import Annotated, Any

from fastapi import APIRouter, Query, Request
from fastapi.responses import RedirectResponse, Response

from tipward import tasks
from tipward.foundation import InputError, Problem, read_quantity, show_quantity
from tipward.model import FeedPath, Rig, RouteCost
from tipward.web.forms import Form, Posted
from tipward.web.showing import render
from tipward.web.visitor import NotAllowedError, Visiting

router = APIRouter()
Said = Annotated[str, Query(max_length=80)]
LONGEST_DRAWING, MOST_POINTS = 120_000, 6000


@router.get("/route")
def route_page(
    request: Request, visitor: Visiting, rig: Said = "", length: Said = "", turns: Said = "", radius: Said = ""
) -> Response:
    """The pad to draw on, and the form for those who do not draw; with turns and radius what they cost."""
    asked = {"rig": rig, "length": length, "turns": turns, "radius": radius}
    cost: RouteCost | None = None
    problems: tuple[Problem, ...] = ()
    if turns or radius:
        try:
            cost = _looped(request, asked)
        except InputError as problem:
            problems = problem.problems
    return _page(request, asked, cost, problems)


def _page(request: Request, asked: dict[str, str], cost: RouteCost | None, problems: tuple[Problem, ...]) -> Response:
    shop = request.app.state.shop
    rigs = tasks.list_rigs(shop)
    known = next((one for one in rigs if one.id == asked["rig"]), None)
    return render(
        request,
        "route.html",
        422 if problems else 200,
        rigs=rigs,
        rig=known,
        asked=asked,
        cost=cost,
        problems=problems,
        overlay=overlay,
        two_figures=two_figures,
    )


@router.post("/route/cost")
def route_cost(request: Request, form: Form) -> Response:
    """What a drawing costs, as the part of the page that shows it: asked for again and again while the finger draws."""
    values: dict[str, Any] = {
        "rig": _rig(request, form.text("rig", 80)),
        "overlay": overlay,
        "two_figures": two_figures,
    }
    try:
        return render(request, "_route_cost.html", **values, cost=_drawn(request, form), problems=())
    except InputError as problem:
        return render(request, "_route_cost.html", 422, **values, cost=None, problems=problem.problems)


@router.post("/rigs/{rig}/route")
def keep_route(request: Request, visitor: Visiting, rig: str, form: Form) -> Response:
    """Keep the lie of the lead with its rig."""
    if not visitor.may("technician"):
        raise NotAllowedError(f"this is for the role technician; you are signed in as {visitor.role}: ask the owner")
    shop = request.app.state.shop
    known = tasks.see_rig(shop, rig).rig
    asked = {name: form.text(name, 80) for name in ("length", "turns", "radius")} | {"rig": known.id}
    try:
        cost = _drawn(request, form, known.id) if form.has("points") else _looped(request, asked)
    except InputError as problem:
        return _page(request, asked, None, problem.problems)
    tasks.save_rig(shop, known.name, cost.path, known.customer, known.id)
    return RedirectResponse(f"/rigs/{known.id}/set-up", 303)


def _rig(request: Request, name: str) -> Rig | None:
    return tasks.see_rig(request.app.state.shop, name).rig if name else None


def _path(request: Request, name: str) -> FeedPath:
    known = _rig(request, name)
    return known.path if known else FeedPath()


def _looped(request: Request, asked: dict[str, str]) -> RouteCost:
    path = _path(request, asked["rig"])
    return tasks.looped_lead(
        path, _length(asked["length"], path), _read("turns", asked["turns"], ""), _read("radius", asked["radius"], "m")
    )


def _drawn(request: Request, form: Posted, rig: str = "") -> RouteCost:
    path = _path(request, rig or form.text("rig", 80))
    return tasks.drawn_lead(
        path, read_points(form.text("points", LONGEST_DRAWING)), _length(form.text("length", 80), path)
    )


def read_points(said: str) -> list[tuple[float, float]]:
    """Points as the pad sends them: [[x, y], …]."""
    try:
        found = [(float(x), float(y)) for x, y in json.loads(said)]
    except (ValueError, TypeError, RecursionError, OverflowError):
        raise InputError("route", [Problem("points", "are not pairs of numbers", "draw the lead again")]) from None
    if len(found) > MOST_POINTS:
        raise InputError("route", [Problem("points", f"are {len(found)}", f"send at most {MOST_POINTS}")])
    return found


def _length(said: str, path: FeedPath) -> float:
    known = path.torch_lead.length_m
    return _read("length", said, "m") if said or known is None else known


def _read(name: str, said: str, unit: str) -> float:
    try:
        return read_quantity(said, unit)
    except ValueError as problem:
        what, _, step = str(problem).partition("; ")
        raise InputError("route", [Problem(name, what, step or "write number and unit")]) from None


def two_figures(length_m: float, inches: bool) -> str:
    """A drawn length: two figures are all that a hand can draw."""
    return show_quantity(float(f"{length_m:.2g}"), "m", inches)


def overlay(cost: RouteCost, inches: bool) -> str:
    """What the pad draws over the hand's line: the smoothed line, and where along it each bend lies, with its cost."""
    steps = len(cost.line) - 1
    bends = [
        {
            "from": round(bend.start_m / cost.length_m * steps),
            "to": round(bend.end_m / cost.length_m * steps),
            "costs": show_quantity(bend.cost_n.mid, "N", inches) if bend.cost_n.mid < float("inf") else "∞",
            "most": number == cost.costliest,
        }
        for number, bend in enumerate(cost.bends)
    ]
    return json.dumps({"line": cost.line, "bends": bends})
