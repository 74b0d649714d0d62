"""Rigs: list, one rig with its healthy baseline and its cases, add and edit by form or set-up text."""

from fastapi import APIRouter, Request
from fastapi.responses import RedirectResponse, Response
from starlette.datastructures import FormData

from tipward import tasks
from tipward.foundation import InputError, Problem
from tipward.model import FeedPath, Rig
from tipward.web.forms import Form, Posted
from tipward.web.pages.cases import read_path
from tipward.web.pages.path_form import parts, read_path_form, wrong_fields
from tipward.web.showing import render

router = APIRouter(prefix="/rigs")
NEW = Rig("", "", FeedPath())


@router.get("")
def rigs_page(request: Request) -> Response:
    """The rigs of the shop."""
    return render(request, "rigs.html", rigs=tasks.list_rigs(request.app.state.shop))


@router.get("/new")
def new_rig_page(request: Request) -> Response:
    """The form of a new rig."""
    return _form(request, NEW)


@router.post("")
def add_rig(request: Request, form: Form) -> Response:
    """Keep a new rig; sent twice, it is kept once."""
    try:
        name = form.text("name", 200)
        made = tasks.rig_id(name)
        known = {rig.id: rig for rig in tasks.list_rigs(request.app.state.shop)}
        path = _path(form, NEW.path)
        if made in known and known[made] == Rig(made, name, path, form.text("customer", 200)):
            return RedirectResponse(f"/rigs/{made}", 303)
        return _save(request, form, path, "")
    except InputError as problem:
        return _form(request, NEW, 422, form, problem.problems)


@router.get("/{rig}")
def rig_page(request: Request, rig: str) -> Response:
    """One rig with its baselines and cases."""
    return _rig_page(request, rig)


def _rig_page(
    request: Request, rig: str, status: int = 200, form: Posted | None = None, problems: tuple[Problem, ...] = ()
) -> Response:
    shop = request.app.state.shop
    targets = tasks.baseline_targets(shop)
    seen = tasks.see_rig(shop, rig)
    values = {
        "seen": seen,
        "targets": targets,
        "read": {name for one in seen.baselines[-3:] for name in one.readings},
        "names": dict(tasks.choices(shop).complaints),
        "texts": tasks.path_texts(seen.rig.path),
    }
    return render(request, "rig.html", status, **values, form=form, problems=problems)


@router.get("/{rig}/edit")
def edit_rig_page(request: Request, rig: str) -> Response:
    """The form of a rig that is known."""
    return _form(request, tasks.see_rig(request.app.state.shop, rig).rig)


@router.post("/{rig}")
def change_rig(request: Request, rig: str, form: Form) -> Response:
    """Keep a rig as it is now."""
    known = tasks.see_rig(request.app.state.shop, rig).rig
    try:
        return _save(request, form, _path(form, known.path), known.id)
    except InputError as problem:
        return _form(request, known, 422, form, problem.problems)


def _path(form: Posted, before: FeedPath) -> FeedPath:
    return read_path(form) if form.text("how") == "text" else read_path_form(form, before, form.text("name", 200))


def _save(request: Request, form: Posted, path: FeedPath, known: str) -> Response:
    name = form.text("name", 200) or path.name
    rig = tasks.save_rig(request.app.state.shop, name, path, form.text("customer", 200), known)
    return RedirectResponse(f"/rigs/{rig.id}", 303)


def _form(
    request: Request, rig: Rig, status: int = 200, form: Posted | None = None, problems: tuple[Problem, ...] = ()
) -> Response:
    choices = tasks.choices(request.app.state.shop)
    texts = tasks.path_texts(rig.path)
    if form is not None:
        texts |= {name.removeprefix("path:"): value for name, value in form.items if name.startswith("path:")}
    values = {"rig": rig, "form": form or Posted(FormData()), "problems": problems, "texts": texts, "parts": parts()}
    setup = form.text("setup", 200_000) if form else tasks.setup_text(rig.path)
    return render(
        request, "rig_form.html", status, **values, choices=choices, setup=setup, wrong=wrong_fields(problems)
    )


@router.post("/{rig}/baseline")
def baseline(request: Request, rig: str, form: Form) -> Response:
    """Keep the readings of a healthy day."""
    shop = request.app.state.shop
    units = {name: unit for name, _, unit in tasks.baseline_targets(shop)}
    try:
        said = {name: form.text(f"read:{name}", 200) for name in units}
        readings = {name: tasks.read_readings(text, units[name]) for name, text in said.items() if text}
        tasks.save_baseline(shop, rig, readings)
    except InputError as problem:
        return _rig_page(request, rig, 422, form, problem.problems)
    return RedirectResponse(f"/rigs/{rig}#healthy", 303)
