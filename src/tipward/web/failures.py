"""One answer for each kind of error: a page for people, JSON for programs."""

from typing import Any

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse, RedirectResponse, Response
from starlette.exceptions import HTTPException

from tipward.foundation import (
    ConflictError,
    InputError,
    NotKnownError,
    Problem,
    RangeError,
    RecordError,
    TipwardError,
)
from tipward.model import Page, entry_to_data, to_data
from tipward.web.accounts import TooManyError, WrongPasswordError
from tipward.web.forms import ForeignFormError, StaleFormError
from tipward.web.showing import render
from tipward.web.visitor import NotAllowedError, SignInNeededError

STATUS: tuple[tuple[type[TipwardError], int], ...] = (
    (SignInNeededError, 401),
    (WrongPasswordError, 401),
    (NotAllowedError, 403),
    (ForeignFormError, 403),
    (StaleFormError, 403),
    (TooManyError, 429),
    (NotKnownError, 404),
    (ConflictError, 409),
    (InputError, 422),
    (RangeError, 422),
    (RecordError, 503),
)
KINDS = {400: "bad request", 401: "sign in", 403: "not allowed", 404: "not known", 405: "not that way", 409: "conflict"}
KINDS |= {413: "too large", 422: "input", 429: "too many", 503: "casebook"}


def add_failures(app: FastAPI) -> None:
    """Teach the application to answer errors."""
    app.add_exception_handler(TipwardError, _own)
    app.add_exception_handler(HTTPException, _http)
    app.add_exception_handler(RequestValidationError, _invalid)


def status_of(problem: TipwardError) -> int:
    """The status that a kind of error is answered with."""
    return next((status for kind, status in STATUS if isinstance(problem, kind)), 422)


def is_api(request: Request) -> bool:
    """Whether a program is asking."""
    return request.url.path.startswith("/api/")


def _own(request: Request, problem: Exception) -> Response:
    assert isinstance(problem, TipwardError)
    status = status_of(problem)
    problems = problem.problems if isinstance(problem, InputError) else ()
    if is_api(request):
        return _json(status, str(problem), problems, getattr(problem, "since", ()), _wait(problem))
    if isinstance(problem, SignInNeededError) and request.method in {"GET", "HEAD"}:
        return RedirectResponse(f"/sign-in?to={request.url.path}", 303)
    if isinstance(problem, SignInNeededError | StaleFormError):
        return _again(request, status)
    return told(request, status, problem.args[0] if not problems else "", problems, _wait(problem))


def _again(request: Request, status: int) -> Response:
    """The page was opened under another sign-in: what was written is kept, to be sent again."""
    form = getattr(request.state, "form", None)
    return render(request, "again.html", status, again=form.again() if form else [])


def _wait(problem: TipwardError) -> dict[str, str]:
    return {"retry-after": str(problem.wait_s)} if isinstance(problem, TooManyError) else {}


def told(
    request: Request, status: int, message: str, problems: tuple[Problem, ...], headers: dict[str, str]
) -> Response:
    """The page that says what is wrong and what to do."""
    page = render(request, "problem.html", status, message=message, problems=problems, code=status)
    page.headers.update(headers)
    return page


def _json(
    status: int, message: str, problems: Any = (), since: Any = (), headers: dict[str, str] | None = None
) -> JSONResponse:
    body = {
        "error": KINDS.get(status, "refused"),
        "message": message,
        "problems": [{"where": item.where, "what": item.what, "next_step": item.next_step} for item in problems],
        "since": [_page(page) for page in since if isinstance(page, Page)],
    }
    return JSONResponse(_sayable(body), status, headers)


def _sayable(said: Any) -> Any:
    """What came in may hold half a character; an answer may not."""
    if isinstance(said, str):
        return said.encode("utf-8", "replace").decode()
    if isinstance(said, dict):
        return {_sayable(key): _sayable(value) for key, value in said.items()}
    return [_sayable(item) for item in said] if isinstance(said, list | tuple) else said


def _page(page: Page) -> dict[str, Any]:
    return {
        "sequence": page.sequence,
        "at": page.at.isoformat(),
        "author": page.author,
        "entry": to_data(entry_to_data(page.entry)),
    }


def _http(request: Request, problem: Exception) -> Response:
    assert isinstance(problem, HTTPException)
    headers = dict(problem.headers or {})
    if is_api(request):
        return _json(problem.status_code, str(problem.detail), headers=headers)
    return told(request, problem.status_code, "", (), headers)


def _invalid(request: Request, problem: Exception) -> Response:
    assert isinstance(problem, RequestValidationError)
    problems = tuple(
        Problem(".".join(str(step) for step in error["loc"]), error["msg"].lower(), "correct it")
        for error in problem.errors()
    )
    if is_api(request):
        return _json(422, f"{len(problems)} of the values cannot be used", problems)
    return told(request, 422, "", problems, {})
