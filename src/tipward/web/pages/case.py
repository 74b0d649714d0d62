"""A case: the next step, the line, what it may be, what is known, what to do about it."""

from typing import Annotated, Any

from fastapi import APIRouter, Query, Request
from fastapi.responses import RedirectResponse, Response

from tipward import tasks
from tipward.foundation import Problem
from tipward.model import CaseView, NextCheck
from tipward.web.forms import Posted
from tipward.web.pages.place_form import PlaceFields
from tipward.web.showing import render
from tipward.web.visitor import Visiting, find_visitor

router = APIRouter(prefix="/cases/{case_id}")
SHORT_LIST, WORTH_NAMING = 6, 0.02


@router.get("")
def case_page(request: Request, case_id: str, saved: Annotated[int, Query(ge=0, le=100_000)] = 0) -> Response:
    """The whole case."""
    view = request.app.state.kept.view(case_id)
    if view.case.id != case_id:
        return RedirectResponse(f"/cases/{view.case.id}", 303)
    return show_case(request, view, saved=saved)


def show_case(
    request: Request,
    view: CaseView,
    status: int = 200,
    saved: int = 0,
    check: NextCheck | None = None,
    form: Posted | None = None,
    problems: tuple[Problem, ...] = (),
) -> Response:
    """The page of a case; ``check`` shows another check than the next one, ``form`` what was refused and why."""
    return render(
        request,
        "case.html",
        status,
        **case_values(request, view),
        saved=saved,
        other_check=check,
        form=form,
        problems=problems,
    )


def case_values(request: Request, view: CaseView) -> dict[str, Any]:
    """What the templates of a case need."""
    shop, case = request.app.state.shop, view.case
    visitor = find_visitor(request)
    inches = visitor is not None and visitor.inches
    opened = case.opened()
    rig = next((one for one in tasks.list_rigs(shop) if one.id == opened.rig), None) if opened.rig else None
    likely = [item for item in view.judgement.suspicions if item.probability >= WORTH_NAMING]
    return {
        "view": view,
        "case": case,
        "opened": opened,
        "rig": rig,
        "last": case.pages[-1].sequence,
        "line": request.app.state.kept.line(view, inches),
        "pages": tasks.told_pages(shop, case, inches),
        "likely": likely[:SHORT_LIST],
        "also": likely[SHORT_LIST:],
    }


@router.get("/check/{check}")
def another_check(request: Request, case_id: str, check: str) -> Response:
    """A check that the technician chose instead of the next one."""
    view = request.app.state.kept.view(case_id)
    described = tasks.look_up_check(request.app.state.shop, view.case.id, check)
    return show_case(request, view, check=described)


@router.get("/checks")
def checks(request: Request, case_id: str) -> Response:
    """All checks that can be done now."""
    view = request.app.state.kept.view(case_id)
    found = tasks.checks_now(request.app.state.shop, view.case.id)
    return render(request, "checks.html", case=view.case, checks=found)


@router.get("/move")
def move_page(request: Request, case_id: str) -> Response:
    """The form to go on elsewhere or with other tools."""
    case = tasks.read_case(request.app.state.shop, case_id)
    choices, asked = tasks.choices(request.app.state.shop), PlaceFields.by(case.place())
    last = case.pages[-1].sequence
    return render(request, "move.html", case=case, asked=asked, choices=choices, last=last, problems=())


@router.get("/news")
def news(request: Request, case_id: str, after: Annotated[int, Query(ge=0, le=100_000)]) -> Response:
    """What others wrote since a page was seen; 204 where nothing came."""
    shop = request.app.state.shop
    case = tasks.read_case(shop, case_id)
    if case.pages[-1].sequence <= after:
        return Response(status_code=204)
    since = [page for page in tasks.told_pages(shop, case) if page.sequence > after]
    return render(request, "news.html", case=case, since=since)


@router.get("/card.pdf")
def card(request: Request, case_id: str, visitor: Visiting, paper: str = "a4") -> Response:
    """The card of the case on one page."""
    view = request.app.state.kept.view(case_id)
    size = "letter" if paper == "letter" else "a4"
    pdf = tasks.card_pdf(request.app.state.shop, view, size, visitor.inches)
    name = f"inline; filename=case-{view.case.id}.pdf"
    return Response(pdf, media_type="application/pdf", headers={"content-disposition": name})
