"""Links that are handed out: their addresses, their tokens, and what happens when one does not hold any more."""

import secrets
from typing import Annotated

from fastapi import Depends, Request
from fastapi.responses import Response

from tipward import tasks
from tipward.foundation import NotKnownError
from tipward.model import Case, LinkKind
from tipward.web.doorway import LOCAL_NAMES, host_name
from tipward.web.showing import render
from tipward.web.visitor import token_hash

FIRST: dict[LinkKind, str] = {"remote": "a", "report": "r"}
TOKEN_BYTES, LONGEST_TOKEN = 32, 100
# What a customer opens is found by nobody else: no address passed to other sites, nothing kept, nothing listed.
# ("no-referrer" would go further and make browsers hide our own origin from us: every form would be refused as foreign.)
QUIET = {"referrer-policy": "same-origin", "x-robots-tag": "noindex, nofollow", "cache-control": "no-store, private"}


class LinkGoneError(NotKnownError):
    """A link that was guessed, ended or has expired."""


def path_of(kind: LinkKind, token: str) -> str:
    """Where a link of this kind leads."""
    return f"/{FIRST[kind]}/{token}"


def fresh_link() -> str:
    """A token that is not guessed by trying."""
    return secrets.token_urlsafe(TOKEN_BYTES)


def address(request: Request, path: str) -> str:
    """The whole address of a page, under the name by which this visitor came."""
    return f"{request.url.scheme}://{request.headers.get('host', '')}{path}"


def is_local(request: Request) -> bool:
    """Whether that name means this machine only, so that no phone gets here by it."""
    return host_name(request.headers.get("host", "")) in LOCAL_NAMES


def _case(request: Request, token: str, kind: str) -> Case:
    shop = request.app.state.shop
    if len(token) > LONGEST_TOKEN or not token.isascii():
        raise LinkGoneError("no such link")
    try:
        link = tasks.follow_link(shop, token_hash(token), kind)  # type: ignore[arg-type]
        return tasks.read_case(shop, link.case)
    except NotKnownError as problem:
        raise LinkGoneError(str(problem)) from None


def remote_case(request: Request, token: str) -> Case:
    """The case that a link asks about; checked before a byte of what was sent is read."""
    return _case(request, token, "remote")


def reported_case(request: Request, token: str) -> Case:
    """The case that a link reports."""
    return _case(request, token, "report")


RemoteCase = Annotated[Case, Depends(remote_case)]
ReportedCase = Annotated[Case, Depends(reported_case)]


def gone(request: Request, problem: Exception) -> Response:
    """The page of a link that does not hold: the same whatever the reason."""
    page = render(request, "link_gone.html", 404)
    page.headers.update(QUIET)
    return page
