"""Signing in and out, units and language."""

from fastapi import APIRouter, Request
from fastapi.responses import RedirectResponse, Response

from tipward import tasks
from tipward.web import accounts
from tipward.web.doorway import cookie
from tipward.web.forms import Form
from tipward.web.showing import render
from tipward.web.visitor import LANGUAGE, UNITS, find_visitor, fresh_token, token_hash
from tipward.web.words import languages

router = APIRouter()
YEAR_S = 31_536_000


def own_page(said: str) -> str:
    """A page of ours to go on to, whatever was asked for."""
    fine = said.startswith("/") and not said.startswith(("//", "/\\")) and said.isascii() and said.isprintable()
    return said if fine and "\\" not in said else "/"


def come_from(request: Request) -> str:
    """The page that a form of every page was sent from."""
    return own_page("/" + request.headers.get("referer", "").partition("://")[2].partition("/")[2])


@router.get("/sign-in")
def sign_in_page(request: Request, to: str = "/") -> Response:
    """The form to sign in."""
    if not request.app.state.lan or find_visitor(request) is not None:
        return RedirectResponse(own_page(to), 303)
    return render(request, "sign_in.html", to=own_page(to), refused="", name="")


@router.post("/sign-in")
def sign_in(request: Request, form: Form) -> Response:
    """Check name and password, and begin a session under a new token."""
    to, name = own_page(form.text("to")), form.text("name", 200)
    address = request.client.host if request.client else ""
    state = request.app.state
    try:
        token = accounts.sign_in(state.shop, state.throttle, address, name, form.text("password"))
    except accounts.WrongPasswordError:
        return render(request, "sign_in.html", 401, to=to, refused="wrong", name=name)
    except accounts.TooManyError as problem:
        answer = render(request, "sign_in.html", 429, to=to, refused="many", name=name)
        answer.headers["retry-after"] = str(problem.wait_s)
        return answer
    return _under(request, token, to)


@router.post("/sign-out")
def sign_out(request: Request, form: Form) -> Response:
    """End the session."""
    tasks.end_session(request.app.state.shop, token_hash(request.state.token))
    return _under(request, fresh_token(), "/")


def _under(request: Request, token: str, to: str) -> Response:
    answer = RedirectResponse(to, 303)
    answer.headers.append("set-cookie", cookie(token, request.url.scheme == "https"))
    return answer


@router.post("/preferences")
def preferences(request: Request, form: Form) -> Response:
    """Keep units and language in this browser."""
    answer = RedirectResponse(come_from(request), 303)
    units, language = form.text("units"), form.text("language")
    if units in {"metric", "inches"}:
        answer.set_cookie(UNITS, units, max_age=YEAR_S, httponly=True, samesite="strict")
    if language in languages():
        answer.set_cookie(LANGUAGE, language, max_age=YEAR_S, httponly=True, samesite="strict")
    return answer
