"""The list of cases, and opening a new one."""

from typing import Annotated

from fastapi import APIRouter, Query, Request
from fastapi.responses import RedirectResponse, Response
from starlette.datastructures import FormData

from tipward import tasks
from tipward.foundation import InputError, Problem
from tipward.model import Case, FeedPath, parse_setup
from tipward.web.forms import Form, Posted
from tipward.web.pages.place_form import PlaceFields, read_place
from tipward.web.showing import render
from tipward.web.visitor import Visiting, Visitor

router = APIRouter()
LONGEST_SETUP, LONGEST_WORDS = 100_000, 1500


@router.get("/")
def list_of_cases(request: Request) -> Response:
    """Open cases first, then those that ended."""
    shop = request.app.state.shop
    rows = tasks.list_cases(shop)
    names = dict(tasks.choices(shop).complaints)
    rigs = {rig.id: rig.name for rig in tasks.list_rigs(shop)}
    open_rows, closed = [row for row in rows if not row.closed], [row for row in rows if row.closed]
    return render(request, "cases.html", open_cases=open_rows, closed_cases=closed, names=names, rigs=rigs)


@router.get("/cases/new")
def new_case_page(request: Request, rig: Annotated[str, Query(max_length=80)] = "") -> Response:
    """The form that opens a case."""
    return _form(request, 200, Posted(FormData([("rig", rig), ("at", "machine")])), ())


def _form(request: Request, status: int, form: Posted, problems: tuple[Problem, ...]) -> Response:
    shop = request.app.state.shop
    values = {"choices": tasks.choices(shop), "rigs": tasks.list_rigs(shop), "form": form, "problems": problems}
    return render(request, "new_case.html", status, **values, asked=PlaceFields.of(form, tasks.usual_rate(shop)))


@router.post("/cases")
def open_case(request: Request, form: Form, visitor: Visiting) -> Response:
    """Open a case: a rig of the shop or a set-up, the customer's words, place and tools."""
    try:
        case = _opened(request, form, visitor)
    except InputError as problem:
        return _form(request, 422, form, problem.problems)
    return RedirectResponse(f"/cases/{case.id}", 303)


def _opened(request: Request, form: Posted, visitor: Visitor) -> Case:
    shop = request.app.state.shop
    words = form.text("words", LONGEST_WORDS)
    if not words and not form.all("complaint"):
        raise InputError("case", [Problem("words", "are empty", visitor.words("new.say_something"))])
    rig = form.text("rig", 80)
    known = {one.id: one for one in tasks.list_rigs(shop)}
    if rig and rig not in known:
        raise InputError("case", [Problem("rig", f"{rig!r} is not known", "choose one, or none")])
    path = known[rig].path if rig else read_path(form)
    customer = form.text("customer", 120) or (known[rig].customer if rig else "")
    return tasks.open_case(
        shop, path, form.all("complaint"), words, read_place(shop, form), rig, customer, form.key, visitor.name
    )


def read_path(form: Posted) -> FeedPath:
    """The set-up text of a form; nothing known where it is empty."""
    text = form.text("setup", LONGEST_SETUP)
    return parse_setup(text.encode(), is_json=text.startswith("{")) if text else FeedPath()
