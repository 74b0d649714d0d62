"""Links that show a customer one report, or ask about one case from afar."""

from datetime import datetime, timedelta
from typing import Annotated, Literal

from fastapi import APIRouter, Request
from fastapi.responses import JSONResponse
from pydantic import BaseModel, Field

from tipward import tasks
from tipward.model import Link, LinkKind, now
from tipward.web.api.doors import answer
from tipward.web.api.requests import Incoming
from tipward.web.links import fresh_link, path_of
from tipward.web.visitor import token_hash

router = APIRouter(prefix="/cases/{case_id}/links", tags=["links"])


class LinkRequest(Incoming):
    """What the link is for, and for how many days it holds."""

    kind: Literal["report", "remote"]
    days: Annotated[int, Field(ge=1, le=90)] = 7


class EndLinkRequest(Incoming):
    """Which link ends: its id in the list."""

    id: Annotated[str, Field(max_length=128)]


class KeptLink(BaseModel):
    """A link as it is kept: ``id`` is the hash of its token, from which nobody finds the token."""

    id: str
    kind: LinkKind
    created: datetime
    expires: datetime
    revoked: datetime | None


class HandedLink(KeptLink):
    """A link just made: ``path`` holds its token and is told this once."""

    path: str


def _kept(link: Link) -> KeptLink:
    return KeptLink(
        id=link.token_hash, kind=link.kind, created=link.created, expires=link.expires, revoked=link.revoked
    )


@router.get("", response_model=list[KeptLink])
def links(request: Request, case_id: str) -> JSONResponse:
    """All links to a case, also those that are over."""
    return answer([_kept(link).model_dump() for link in tasks.links_of(request.app.state.shop, case_id)])


@router.post("", status_code=201, response_model=HandedLink)
def make_link(request: Request, case_id: str, said: LinkRequest) -> JSONResponse:
    """Make a link: to the report of a case that has ended, or to the questions about one that is open."""
    shop, token = request.app.state.shop, fresh_link()
    link = tasks.make_link(shop, case_id, said.kind, token_hash(token), now() + timedelta(days=said.days))
    return answer({**_kept(link).model_dump(), "path": path_of(link.kind, token)}, 201)


@router.post("/end", response_model=list[KeptLink])
def end_link(request: Request, case_id: str, said: EndLinkRequest) -> JSONResponse:
    """End a link at once."""
    tasks.end_link(request.app.state.shop, case_id, said.id)
    return links(request, case_id)
