"""A change of wire of a rig: every part with its reason, every step with its cautions, then the healthy baseline."""

from typing import Annotated

from fastapi import APIRouter, Query, Request
from fastapi.responses import RedirectResponse, Response

from tipward import tasks
from tipward.foundation import InputError, Problem
from tipward.model import BaselineReading, FeedPath, Rig, Wire, WireWalk
from tipward.web.forms import Form, Posted
from tipward.web.pages.setup import read_size
from tipward.web.showing import render

router = APIRouter(prefix="/rigs/{rig}/wire")
Said = Annotated[str, Query(max_length=60)]
WIRE_STEPS = {"old-wire", "spool", "thread"}  # without these the old wire is still in


@router.get("")
def wire_page(request: Request, rig: str, wire_class: Said = "", diameter: Said = "") -> Response:
    """The steps from the wire of the rig to another."""
    seen = tasks.see_rig(request.app.state.shop, rig).rig
    walk, problems = None, ()
    if wire_class or diameter:
        try:
            walk = _walk(request, seen, wire_class, diameter)
        except InputError as problem:
            return _page(request, seen, 422, problem.problems, None, wire_class, diameter)
    return _page(request, seen, 200, problems, walk, wire_class, diameter)


def _walk(request: Request, rig: Rig, wire_class: str, diameter: str) -> WireWalk:
    size = read_size("wire.diameter", diameter, "m") if diameter else None
    new = FeedPath(wire=Wire(wire_class or None, size))
    return tasks.walk_wire(request.app.state.shop, rig.path, new)


def _page(
    request: Request,
    rig: Rig,
    status: int,
    problems: tuple[Problem, ...],
    walk: WireWalk | None,
    wire_class: str,
    diameter: str,
    form: Posted | None = None,
) -> Response:
    choices = tasks.choices(request.app.state.shop)
    values = {"wire_class": wire_class, "diameter": diameter, "form": form, "choices": choices}
    return render(request, "wire.html", status, rig=rig, walk=walk, problems=problems, **values)


@router.post("")
def keep_wire(request: Request, rig: str, form: Form) -> Response:
    """The walk is done: the rig keeps the new wire and its parts, and the readings as its healthy baseline."""
    seen = tasks.see_rig(request.app.state.shop, rig).rig
    wire_class, diameter = form.text("wire_class", 60), form.text("diameter", 60)
    walk = None
    try:
        walk = _walk(request, seen, wire_class, diameter)
        _keep(request, seen, walk, form)
    except InputError as problem:
        return _page(request, seen, 422, problem.problems, walk, wire_class, diameter, form)
    return RedirectResponse(f"/rigs/{seen.id}", 303)


def _keep(request: Request, rig: Rig, walk: WireWalk, form: Posted) -> None:
    shop, undone = request.app.state.shop, form.all("undone")
    if WIRE_STEPS & set(undone):
        raise InputError("wire", [Problem("undone", "says that the new wire is not in", "thread it first")])
    path = tasks.path_after(walk, undone)
    read = _readings(shop, walk, path, form)
    odd = [item for item in read if not item.healthy]
    if odd and not form.has("anyway"):
        step = "find out why first, or keep the rig without a healthy baseline"
        raise InputError("wire", [Problem(item.name, "is not what a healthy path reads", step) for item in odd])
    tasks.save_rig(shop, rig.name, path, rig.customer, rig.id)
    if read and not odd:
        tasks.save_baseline(shop, rig.id, {item.check: item.readings for item in read})


def _readings(shop: tasks.Shop, walk: WireWalk, path: FeedPath, form: Posted) -> tuple[BaselineReading, ...]:
    measured = {step.id: step.measured for step in walk.steps if step.measured is not None}
    said = {name: form.text(f"read:{name}", 200) for name in measured}
    values = {name: tasks.read_readings(text, measured[name].unit) for name, text in said.items() if text}
    return tasks.judge_baseline(shop, path, values) if values else ()
