"""Cases: list, open, look at, their checks, line and card."""

from typing import Annotated, Literal

from fastapi import APIRouter, Query, Request
from fastapi.responses import JSONResponse, PlainTextResponse, Response

from tipward import tasks
from tipward.model import Case, CaseRow, CaseView, Inspected, LinePicture, NextCheck, Round, ToldPage, build_path
from tipward.web.api.doors import answer, author
from tipward.web.api.requests import EndRequest, OpenRequest

router = APIRouter(prefix="/cases", tags=["cases"])
Occasion = Annotated[Literal["", "sale", "hire-return", "new-spool"], Query(description="Why it is looked at")]
Inches = Annotated[bool, Query(description="Inches, in/min and pounds-force")]


@router.get("", response_model=list[CaseRow])
def cases(request: Request, open_only: bool = False) -> JSONResponse:
    """The cases, newest first."""
    return answer(tasks.list_cases(request.app.state.shop, open_only))


@router.post("", status_code=201, response_model=Case)
def open_case(request: Request, said: OpenRequest) -> JSONResponse:
    """Open a case; the same key opens one case only."""
    shop = request.app.state.shop
    rig = tasks.see_rig(shop, said.rig).rig if said.rig else None
    path = rig.path if rig and not said.setup else build_path(said.setup)
    customer = said.customer or (rig.customer if rig else "")
    where = said.place.place(shop)
    made = tasks.open_case(
        shop, path, said.complaints, said.words, where, said.rig, customer, said.key, author(request)
    )
    return answer(made, 201)


@router.get("/{case_id}", response_model=CaseView)
def case(request: Request, case_id: str) -> JSONResponse:
    """A case with its judgement, next step, fixes and proof."""
    return answer(request.app.state.kept.view(case_id))


@router.get("/{case_id}/pages", response_model=list[ToldPage])
def told(request: Request, case_id: str, after: Annotated[int, Query(ge=0, le=1_000_000)] = 0) -> JSONResponse:
    """The pages of a case in words, those after one that was seen."""
    shop = request.app.state.shop
    pages = tasks.told_pages(shop, tasks.read_case(shop, case_id))
    return answer([page for page in pages if page.sequence > after])


@router.get("/{case_id}/checks", response_model=list[tuple[str, str]])
def checks(request: Request, case_id: str) -> JSONResponse:
    """Every check that can be done now, by id and name."""
    return answer(tasks.checks_now(request.app.state.shop, case_id))


@router.get("/{case_id}/checks/{check}", response_model=NextCheck)
def check(request: Request, case_id: str, check: str) -> JSONResponse:
    """One check as it would be shown if it were next."""
    return answer(tasks.look_up_check(request.app.state.shop, case_id, check))


@router.get("/{case_id}/line", response_model=LinePicture)
def line(request: Request, case_id: str, inches: Inches = False) -> JSONResponse:
    """The line as two drawings and a table, with its budget."""
    kept = request.app.state.kept
    return answer(kept.line(kept.view(case_id), inches))


@router.get("/{case_id}/looks", response_model=Round)
def looks(request: Request, case_id: str, occasion: Occasion = "") -> JSONResponse:
    """What is left to look at in an inspection, group by group."""
    shop = request.app.state.shop
    return answer(tasks.looks_left(shop, tasks.read_case(shop, case_id), occasion))


@router.get("/{case_id}/inspected", response_model=Inspected)
def inspected(request: Request, case_id: str, occasion: Occasion = "") -> JSONResponse:
    """What an inspection came to: found, to mend, to look at more closely."""
    shop = request.app.state.shop
    return answer(tasks.inspected(shop, tasks.read_case(shop, case_id), occasion))


@router.post("/{case_id}/end-inspection", response_model=Case)
def end_inspection(request: Request, case_id: str, said: EndRequest) -> JSONResponse:
    """End an inspection: closed where nothing was found, else open for mending."""
    shop = request.app.state.shop
    case = tasks.read_case(shop, case_id)
    return answer(tasks.end_inspection(shop, case, tasks.inspected(shop, case, said.occasion)))


@router.get(
    "/{case_id}/card.txt",
    response_class=Response,
    responses={200: {"content": {"text/plain": {}}, "description": "The card as text"}},
)
def card_text(request: Request, case_id: str, inches: Inches = False) -> PlainTextResponse:
    """The card of a case as text."""
    shop = request.app.state.shop
    return PlainTextResponse(tasks.card_text(shop, request.app.state.kept.view(case_id), inches))


@router.get(
    "/{case_id}/card.pdf",
    response_class=Response,
    responses={200: {"content": {"application/pdf": {}}, "description": "The card on one page"}},
)
def card_pdf(request: Request, case_id: str, paper: Literal["a4", "letter"] = "a4", inches: Inches = False) -> Response:
    """The card of a case on one page."""
    shop = request.app.state.shop
    pdf = tasks.card_pdf(shop, request.app.state.kept.view(case_id), paper, inches)
    return Response(pdf, media_type="application/pdf")
