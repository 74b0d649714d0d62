"""What a customer sees who was given a link: the questions of a remote case, or the report of one that has ended."""

from typing import Annotated, Any

from fastapi import APIRouter, Depends, Query, Request
from fastapi.responses import RedirectResponse, Response

from tipward import tasks
from tipward.foundation import InputError, NotKnownError, Problem
from tipward.model import Case
from tipward.web.forms import Form, posted
from tipward.web.links import QUIET, LinkGoneError, RemoteCase, ReportedCase, remote_case
from tipward.web.photos import SentPhoto, safe_photo
from tipward.web.showing import render

# In this order: the link first, then the form. Who has no link makes the server read nothing.
router = APIRouter(prefix="/a/{token}", dependencies=[Depends(remote_case), Depends(posted)])
report_router = APIRouter()
Skip = Annotated[str, Query(max_length=1500)]
MOST_SKIPPED = 40


@router.get("")
def questions(request: Request, token: str, case: RemoteCase, skip: Skip = "", thanks: str = "") -> Response:
    """The next questions, in plain words."""
    return _page(request, token, case, skip, thanks=thanks)


def _page(
    request: Request,
    token: str,
    case: Case,
    skip: str,
    status: int = 200,
    problems: tuple[Problem, ...] = (),
    thanks: str = "",
) -> Response:
    shop = request.app.state.shop
    skipped = _skipped(skip)
    values: dict[str, Any] = {"asked": tasks.ask_customer(shop, case, frozenset(skipped)), "skip": ",".join(skipped)}
    values |= {"thanks": thanks if thanks in {"answer", "photo"} else "", "photos": len(tasks.photos_of(shop, case.id))}
    page = render(request, "remote.html", status, link=f"/a/{token}", problems=problems, **values)
    page.headers.update(QUIET)
    return page


def _skipped(said: str) -> list[str]:
    """Checks that the customer could not answer: they travel in the address, so that nothing is kept of them."""
    return [name for name in dict.fromkeys(said.split(",")) if name.replace("-", "").isalnum()][:MOST_SKIPPED]


@router.post("/answer")
def answer(request: Request, token: str, case: RemoteCase, form: Form) -> Response:
    """One answer; it enters as reported by the customer."""
    skip = form.text("skip", 1500)
    try:
        key = form.key or ""
        check, outcome = form.text("check", 80), form.text("outcome", 80)
        tasks.answer_from_afar(request.app.state.shop, case.id, check, outcome, key, form.text("note", 300))
    except InputError as problem:
        return _page(request, token, case, skip, 422, problem.problems)
    return _on(token, skip, "answer")


@router.post("/photo")
def photo(request: Request, token: str, case: RemoteCase, form: Form, sent: SentPhoto) -> Response:
    """A photo, written anew before it is kept."""
    skip = form.text("skip", 1500)
    try:
        if case.closed() is not None:
            raise InputError("photo", [Problem("photo", "comes after the end of the case", "call the workshop")])
        tasks.keep_photo(request.app.state.shop, case.id, safe_photo(sent))
    except InputError as problem:
        return _page(request, token, case, skip, 422, problem.problems)
    return _on(token, skip, "photo")


def _on(token: str, skip: str, thanks: str) -> Response:
    return RedirectResponse(f"/a/{token}?thanks={thanks}&skip={','.join(_skipped(skip))}", 303)


@report_router.get("/r/{token}")
def report(request: Request, case: ReportedCase) -> Response:
    """One finished report and nothing else."""
    try:
        told = tasks.customer_report(request.app.state.shop, case)
    except NotKnownError as problem:
        raise LinkGoneError(str(problem)) from None
    page = render(request, "report.html", report=told)
    page.headers.update(QUIET)
    return page
