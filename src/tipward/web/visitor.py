"""Who is looking: name, role and how they like to read. On this machine alone nobody signs in."""

import hashlib
import hmac
import secrets
from dataclasses import dataclass
from typing import Annotated

from fastapi import Depends, Request

from tipward import tasks
from tipward.foundation import TipwardError
from tipward.model import Role
from tipward.web.words import Words, languages

COOKIE, UNITS, LANGUAGE = "tipward", "tipward-units", "tipward-language"
TOKEN_BYTES = 32
RANK: dict[str, int] = {"reader": 0, "technician": 1, "owner": 2}


class SignInNeededError(TipwardError):
    """Nobody is signed in."""


class NotAllowedError(TipwardError):
    """Signed in, but this is for another role."""


@dataclass(frozen=True, slots=True)
class Visitor:
    """One visitor of one request; ``token`` is the cookie, from which the form token follows."""

    token: str
    name: str
    role: Role
    inches: bool
    words: Words
    lan: bool

    def may(self, role: Role) -> bool:
        """Whether this visitor may do what that role may."""
        return RANK[self.role] >= RANK[role]

    @property
    def form_token(self) -> str:
        """Proof that a form came from one of our own pages; needs no secret on the server, so restarts do not end it."""
        return form_token(self.token)


def fresh_token() -> str:
    """A token that is not guessed by trying."""
    return secrets.token_urlsafe(TOKEN_BYTES)


def token_hash(token: str) -> str:
    """What is kept of a token."""
    return hashlib.sha256(token.encode("utf-8", "replace")).hexdigest()


def form_token(token: str) -> str:
    """The form token that belongs to a cookie."""
    return hmac.new(token.encode("utf-8", "replace"), b"tipward form", hashlib.sha256).hexdigest()


def find_visitor(request: Request) -> Visitor | None:
    """The visitor of a request, None where somebody has to sign in first."""
    known: Visitor | None = getattr(request.state, "visitor", None)
    if known is not None:
        return known
    token: str = request.state.token
    name, role = "", "owner"
    if request.app.state.lan:
        account = tasks.signed_in(request.app.state.shop, token_hash(token))
        if account is None:
            return None
        name, role = account.name, account.role
    visitor = visitor_of(request, token, name, role)
    request.state.visitor = visitor
    return visitor


def visitor_of(request: Request, token: str, name: str, role: str) -> Visitor:
    """A visitor with what the request says of units and language."""
    inches = request.cookies.get(UNITS) == "inches"
    return Visitor(token, name, role, inches, Words(_language(request)), request.app.state.lan)  # type: ignore[arg-type]


def _language(request: Request) -> str:
    wanted = [request.cookies.get(LANGUAGE, ""), *_read_by_browser(request.headers.get("accept-language", "")[:500])]
    return next((language for language in wanted if language in languages()), "en")


def _read_by_browser(header: str) -> list[str]:
    """Languages of an Accept-Language header, the most wanted first (RFC 9110, 12.5.4)."""
    found = []
    for part in header.split(","):
        name, _, weight = part.strip().lower().partition(";q=")
        try:
            found.append((-float(weight or 1), name.split("-")[0]))
        except ValueError:
            continue
    return [name for weight, name in sorted(found, key=lambda item: item[0]) if weight < 0]


def visiting(request: Request) -> Visitor:
    """The visitor; raises SignInNeededError where nobody is signed in."""
    visitor = find_visitor(request)
    if visitor is None:
        raise SignInNeededError("sign in first")
    return visitor


def may(request: Request) -> None:
    """Readers read, technicians write; on every page route, so that none is forgotten."""
    needed: Role = "reader" if request.method in {"GET", "HEAD"} else "technician"
    _refuse_unless(visiting(request), needed)


def owner_only(request: Request) -> None:
    """For the owner."""
    _refuse_unless(visiting(request), "owner")


def _refuse_unless(visitor: Visitor, role: Role) -> None:
    if not visitor.may(role):
        raise NotAllowedError(f"this is for the role {role}; you are signed in as {visitor.role}: ask the owner")


Visiting = Annotated[Visitor, Depends(visiting)]
