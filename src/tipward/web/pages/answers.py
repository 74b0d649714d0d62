"""What is written into a case: findings, "cannot", taking back, repairs, moving on, closing."""

from collections.abc import Callable

from fastapi import APIRouter, Request
from fastapi.responses import RedirectResponse, Response

from tipward import tasks
from tipward.foundation import ConflictError, InputError, NotKnownError, Problem, read_quantity
from tipward.model import Cannot, Case, Entry, Finding, Moved, Page, Repair, TakenBack, now
from tipward.web.forms import Form, Posted
from tipward.web.pages.case import show_case
from tipward.web.pages.cases import read_path
from tipward.web.pages.place_form import PlaceFields, read_place
from tipward.web.showing import render
from tipward.web.visitor import find_visitor

router = APIRouter(prefix="/cases/{case_id}")
Write = Callable[[int | None], Case]


def write(request: Request, case_id: str, form: Posted, entry: Entry, to: str = "") -> Response:
    """Add one entry; what others wrote meanwhile is shown first, with the own entry kept."""
    shop, author = request.app.state.shop, author_of(request)
    return settle(
        request, case_id, form, lambda after: tasks.add(shop, case_id, entry, form.key, after, author), entry, to
    )


def settle(request: Request, case_id: str, form: Posted, act: Write, entry: Entry | None, to: str = "") -> Response:
    """Write and go on to the case; a conflict keeps what was written."""
    try:
        case = act(form.after)
    except ConflictError as problem:
        return _conflict(request, case_id, form, problem, entry)
    page = next((page for page in case.pages if page.key == form.key), case.pages[-1])
    return RedirectResponse(to or f"/cases/{case.id}?saved={page.sequence}", 303)


def _conflict(request: Request, case_id: str, form: Posted, problem: ConflictError, entry: Entry | None) -> Response:
    shop = request.app.state.shop
    case = tasks.read_case(shop, case_id)
    seen = {page.sequence for page in problem.since if isinstance(page, Page)}
    since = [page for page in tasks.told_pages(shop, case) if page.sequence in seen]
    mine = None
    if entry is not None:
        last = case.pages[-1].sequence + 1
        trial = case.with_page(Page(last, f"{form.key}:mine", now(), entry))
        mine = tasks.told_pages(shop, trial)[-1]
    values = {"case": case, "since": since, "mine": mine, "again": form.again(), "key": form.key or ""}
    return render(request, "conflict.html", 409, **values)


def _refused(request: Request, case_id: str, form: Posted, problems: tuple[Problem, ...]) -> Response:
    view = request.app.state.kept.view(case_id)
    chosen = form.text("check")
    check = None
    if chosen and (view.next_step.check is None or view.next_step.check.check != chosen):
        try:
            check = tasks.look_up_check(request.app.state.shop, view.case.id, chosen)
        except NotKnownError:
            check = None
    return show_case(request, view, 422, check=check, form=form, problems=problems)


def author_of(request: Request) -> str:
    """Who writes, "" where nobody signs in."""
    visitor = find_visitor(request)
    return visitor.name if visitor else ""


@router.post("/finding")
def finding(request: Request, case_id: str, form: Form) -> Response:
    """An outcome of a check, or the readings of a measured one."""
    try:
        return write(request, case_id, form, _finding(form))
    except InputError as problem:
        return _refused(request, case_id, form, problem.problems)


def _finding(form: Posted) -> Finding:
    check, note = form.text("check", 80), form.text("note")
    if not form.has("readings"):
        return Finding(check, form.text("outcome", 80), note=note)
    values = tasks.read_readings(form.text("readings", 200), form.text("unit", 20))
    return Finding(check, readings=values, note=note)


@router.post("/cannot")
def cannot(request: Request, case_id: str, form: Form) -> Response:
    """A check or action that cannot be done here."""
    try:
        return write(request, case_id, form, Cannot(form.text("what", 80), form.text("why")))
    except InputError as problem:
        return _refused(request, case_id, form, problem.problems)


@router.post("/back")
def back(request: Request, case_id: str, form: Form) -> Response:
    """Take an entry back."""
    entry = TakenBack(form.number("sequence", 8), form.text("why"))
    try:
        return write(request, case_id, form, entry)
    except InputError as problem:
        return _refused(request, case_id, form, problem.problems)


@router.post("/repair")
def repair(request: Request, case_id: str, form: Form) -> Response:
    """An action that was carried out, with what it took and the path afterwards where it changed."""
    try:
        return write(request, case_id, form, _repair(form))
    except InputError as problem:
        return _refused(request, case_id, form, problem.problems)


def _repair(form: Posted) -> Repair:
    minutes, cost = _number(form, "minutes"), _number(form, "cost")
    path = read_path(form) if form.text("setup", 100_000) else None
    return Repair(form.text("action", 80), minutes, cost, path, form.text("note"))


def _number(form: Posted, name: str) -> float | None:
    said = form.text(name, 20)
    if not said:
        return None
    try:
        value = read_quantity(said, "")
    except ValueError:
        value = -1.0
    if value < 0:
        raise InputError("repair", [Problem(name, f"{said!r} is no number of 0 or more", "write it as 12 or 12.50")])
    return value


@router.post("/move")
def move(request: Request, case_id: str, form: Form) -> Response:
    """Go on elsewhere or with other tools."""
    shop = request.app.state.shop
    try:
        return write(request, case_id, form, Moved(read_place(shop, form, tasks.read_case(shop, case_id).place())))
    except InputError as problem:
        case = tasks.read_case(shop, case_id)
        asked = PlaceFields.of(form, case.place().work_per_hour)
        values = {"case": case, "asked": asked, "choices": tasks.choices(shop), "problems": problem.problems}
        return render(request, "move.html", 422, **values, last=case.pages[-1].sequence)


@router.post("/close")
def close(request: Request, case_id: str, form: Form) -> Response:
    """Close the case as its proof stands."""
    shop, note, author = request.app.state.shop, form.text("note"), author_of(request)

    def end(after: int | None) -> Case:
        return tasks.close_case(shop, case_id, note, form.key, after, author)

    return settle(request, case_id, form, end, None)
