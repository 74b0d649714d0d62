"""Who may call the API, and how it answers: nouns as JSON, refusals in one form."""

from typing import Any

from fastapi import Request
from fastapi.responses import JSONResponse
from pydantic import BaseModel

from tipward import tasks
from tipward.model import Role, to_data
from tipward.web.forms import ForeignFormError, is_from_here
from tipward.web.visitor import RANK, NotAllowedError, SignInNeededError, token_hash


class Wrong(BaseModel):
    """One thing that is wrong, where it is, and what to do about it."""

    where: str
    what: str
    next_step: str


class Since(BaseModel):
    """One page of a case that came in between."""

    sequence: int
    at: str
    author: str
    entry: dict[str, Any]


class Refusal(BaseModel):
    """How every refusal looks."""

    error: str
    message: str
    problems: list[Wrong] = []
    since: list[Since] = []


def _said(what: str) -> dict[str, Any]:
    return {"model": Refusal, "description": what}


REFUSALS: dict[int | str, dict[str, Any]] = {
    400: _said("Cannot be read, or the host name is not one of ours (plain text)"),
    401: _said("Sign in first: POST /api/sign-in, then Authorization: Bearer TOKEN"),
    403: _said("Another site asks, or the role may not do this"),
    404: _said("No such case, rig, check or account"),
    409: _said("Somebody else was first; since holds the pages in between"),
    413: _said("The body is too large"),
    422: _said("Something in the request cannot be used; every problem is listed"),
    429: _said("Too many failed sign-ins; Retry-After says how long to wait"),
    503: _said("The casebook does not answer"),
}


def answer(noun: Any, status: int = 200) -> JSONResponse:
    """A noun as JSON; infinite numbers become null."""
    return JSONResponse(to_data(noun), status)


def author(request: Request) -> str:
    """Who calls, "" where nobody signs in."""
    return str(getattr(request.state, "author", ""))


def _ask(request: Request, needed: Role) -> None:
    if is_from_here(request) is False:
        raise ForeignFormError("this request comes from another site")
    if not request.app.state.lan:
        return
    scheme, _, token = request.headers.get("authorization", "").partition(" ")
    account = tasks.signed_in(request.app.state.shop, token_hash(token.strip())) if scheme.lower() == "bearer" else None
    if account is None:
        raise SignInNeededError("sign in first: POST /api/sign-in, then send Authorization: Bearer TOKEN")
    if RANK[account.role] < RANK[needed]:
        raise NotAllowedError(f"this is for the role {needed}; {account.name} is {account.role}")
    request.state.author = account.name


def api_reads(request: Request) -> None:
    """For everybody with an account, whatever the method."""
    _ask(request, "reader")


def api_writes(request: Request) -> None:
    """Readers read, technicians write."""
    _ask(request, "reader" if request.method in {"GET", "HEAD"} else "technician")


def api_owner(request: Request) -> None:
    """For the owner."""
    _ask(request, "owner")
