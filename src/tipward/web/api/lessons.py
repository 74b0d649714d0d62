"""What closed cases teach, and taking it into use or back: as `tipward learn`."""

import json
from typing import Any, Literal

from fastapi import APIRouter, Request
from fastapi.responses import JSONResponse, Response

from tipward import tasks
from tipward.model import Learning, Lesson
from tipward.web.api.doors import answer
from tipward.web.api.requests import LessonRequest, ReverseRequest

learned = APIRouter(prefix="/learn", tags=["learn"])
router = APIRouter(prefix="/lessons", tags=["learn"])


@learned.get("", response_model=Learning)
def learn(request: Request) -> JSONResponse:
    """Counts of the closed cases, what they would change, and how well the stated odds held."""
    return answer(tasks.learn(request.app.state.shop))


@learned.get("/counts", response_model=dict[str, Any])
def counts(request: Request) -> JSONResponse:
    """The counts for another shop: numbers and ids of the shipped catalogue, nothing else."""
    return JSONResponse(json.loads(tasks.export_counts(tasks.learn(request.app.state.shop).counts)))


@learned.get(
    "/sheet.pdf",
    response_class=Response,
    responses={200: {"content": {"application/pdf": {}}, "description": "What the closed cases say, on paper"}},
)
def sheet(request: Request, paper: Literal["a4", "letter"] = "a4") -> Response:
    """What the closed cases say, with the reliability table and its scores, on paper."""
    pdf = tasks.lessons_pdf(tasks.learn(request.app.state.shop), paper)
    return Response(pdf, media_type="application/pdf")


@router.post("", status_code=201, response_model=Lesson)
def take(request: Request, said: LessonRequest) -> JSONResponse:
    """Take counts into use: those of the shop's own closed cases, or, given, those of another shop beside them."""
    shop = request.app.state.shop
    return answer(tasks.apply_lessons(shop) if said.counts is None else tasks.take_counts(shop, said.counts), 201)


@router.post("/{number}/reversed", response_model=Lesson)
def reverse(request: Request, number: int, said: ReverseRequest) -> JSONResponse:
    """Take a lesson back."""
    return answer(tasks.reverse_lessons(request.app.state.shop, number, said.why))
