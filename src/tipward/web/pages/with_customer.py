"""With the customer: links to one case, who may end them, and the photos of the case. And the label of a rig."""

from dataclasses import dataclass
from datetime import timedelta
from typing import Literal

from fastapi import APIRouter, Request
from fastapi.responses import RedirectResponse, Response

from tipward import tasks
from tipward.foundation import InputError, Problem
from tipward.model import Link, now
from tipward.web.forms import Form
from tipward.web.links import FIRST, address, fresh_link, is_local, path_of
from tipward.web.photos import HEADERS, SentPhoto, safe_photo
from tipward.web.showing import render
from tipward.web.visitor import token_hash

router = APIRouter()
DAYS = (1, 3, 7, 30, 90)


@dataclass(frozen=True, slots=True)
class Handed:
    """A link just made: the only time that its address is known."""

    kind: str
    url: str
    code: str
    local: bool


@router.get("/cases/{case_id}/customer")
def customer_page(request: Request, case_id: str) -> Response:
    """Links and photos of a case."""
    return _page(request, case_id)


def _page(
    request: Request, case_id: str, status: int = 200, problems: tuple[Problem, ...] = (), handed: Handed | None = None
) -> Response:
    shop = request.app.state.shop
    case = tasks.read_case(shop, case_id)
    links = [(link, _state(link)) for link in reversed(tasks.links_of(shop, case.id))]
    values = {"case": case, "links": links, "photos": tasks.photos_of(shop, case.id), "handed": handed, "days": DAYS}
    return render(request, "with_customer.html", status, **values, problems=problems)


def _state(link: Link) -> Literal["ended", "expired", "holds"]:
    if link.revoked is not None:
        return "ended"
    return "holds" if link.expires > now() else "expired"


@router.post("/cases/{case_id}/links")
def make_link(request: Request, case_id: str, form: Form) -> Response:
    """Make a link and show its address, this once."""
    shop = request.app.state.shop
    case, token, kind = tasks.read_case(shop, case_id), fresh_link(), form.text("kind", 20)
    days = form.number("days", 4)
    try:
        if kind not in FIRST:
            raise InputError("link", [Problem("kind", f"{kind!r} is unknown", "choose report or remote")])
        tasks.make_link(shop, case.id, kind, token_hash(token), now() + timedelta(days=days))
    except InputError as problem:
        return _page(request, case.id, 422, problem.problems)
    url = address(request, path_of(kind, token))
    return _page(request, case.id, 201, handed=Handed(kind, url, tasks.address_code(url), is_local(request)))


@router.post("/cases/{case_id}/links/end")
def end_link(request: Request, case_id: str, form: Form) -> Response:
    """End a link at once."""
    tasks.end_link(request.app.state.shop, case_id, form.text("link", 128))
    return RedirectResponse(f"/cases/{case_id}/customer", 303)


@router.post("/cases/{case_id}/photo")
def add_photo(request: Request, case_id: str, form: Form, sent: SentPhoto) -> Response:
    """A photo taken by the workshop itself."""
    shop = request.app.state.shop
    case = tasks.read_case(shop, case_id)
    try:
        tasks.keep_photo(shop, case.id, safe_photo(sent))
    except InputError as problem:
        return _page(request, case.id, 422, problem.problems)
    return RedirectResponse(f"/cases/{case.id}/customer#photos", 303)


@router.get("/photos/{photo}")
def photo(request: Request, photo: str) -> Response:
    """One photo, as we wrote it ourselves; for those who may sign in."""
    found = tasks.see_photo(request.app.state.shop, photo)
    return Response(found.data, media_type="image/jpeg", headers=HEADERS)


@router.get("/rigs/{rig}/label")
def label(request: Request, rig: str) -> Response:
    """The label that hangs on a rig: its code opens the page of the rig."""
    seen = tasks.see_rig(request.app.state.shop, rig).rig
    url = address(request, f"/rigs/{seen.id}")
    return render(request, "label.html", rig=seen, url=url, code=tasks.address_code(url), local=is_local(request))
