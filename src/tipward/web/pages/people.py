"""People: who may sign in, and as what. For the owner."""

from fastapi import APIRouter, Request
from fastapi.responses import RedirectResponse, Response

from tipward import tasks
from tipward.foundation import ConflictError, InputError, Problem
from tipward.web import accounts
from tipward.web.forms import Form
from tipward.web.showing import render

router = APIRouter(prefix="/people")
ROLES = ("technician", "reader", "owner")


@router.get("")
def people_page(request: Request) -> Response:
    """Everybody with an account."""
    return _page(request)


def _page(request: Request, status: int = 200, problems: tuple[Problem, ...] = (), name: str = "") -> Response:
    people = tasks.list_accounts(request.app.state.shop)
    return render(request, "people.html", status, people=people, problems=problems, roles=ROLES, name=name)


@router.post("")
def add_person(request: Request, form: Form) -> Response:
    """Make an account."""
    name = form.text("name", 200)
    try:
        hashed = accounts.hash_password(form.text("password", 1000))
        tasks.add_account(request.app.state.shop, name, hashed, form.text("role") or "technician")  # type: ignore[arg-type]
    except InputError as problem:
        return _page(request, 422, problem.problems, name)
    except ConflictError as problem:
        return _page(request, 409, (Problem("name", str(problem).partition("; ")[0], "choose another name"),), name)
    return RedirectResponse("/people", 303)


@router.post("/{name}")
def change_person(request: Request, name: str, form: Form) -> Response:
    """Another role or password, or no more signing in."""
    shop = request.app.state.shop
    try:
        if form.text("do") == "revoke":
            tasks.change_account(shop, name, revoked=True)
        elif form.text("do") == "password":
            tasks.change_account(shop, name, accounts.hash_password(form.text("password", 1000)))
        else:
            tasks.change_account(shop, name, role=form.text("role"))  # type: ignore[arg-type]
    except InputError as problem:
        return _page(request, 422, problem.problems)
    return RedirectResponse("/people", 303)
