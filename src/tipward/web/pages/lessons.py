"""Lessons: what the closed cases would change in the odds, taken into use, taken back, or shared as counts. For the owner."""

from fastapi import APIRouter, Request
from fastapi.responses import RedirectResponse, Response

from tipward import tasks
from tipward.foundation import ConflictError, InputError, NotKnownError, Problem
from tipward.web.forms import Form
from tipward.web.showing import render

router = APIRouter(prefix="/lessons")
MOST_SHOWN = 20
LONGEST = 200_000
COUNTED_AT_ONCE = 20  # new closed cases that one look at the page counts: about a quarter of a second each


@router.get("")
def lessons_page(request: Request) -> Response:
    """Before and after of every number that the closed cases would change, and the lessons in use."""
    return _page(request)


def _page(request: Request, status: int = 200, problems: tuple[Problem, ...] = (), pasted: str = "") -> Response:
    learning = tasks.learn(request.app.state.shop, most_new=COUNTED_AT_ONCE)
    shown = tasks.largest_changes(learning.changes)[:MOST_SHOWN]
    picture = tasks.reliability_picture(learning)
    return render(
        request,
        "lessons.html",
        status,
        learning=learning,
        shown=shown,
        reliability=picture,
        problems=problems,
        pasted=pasted,
    )


@router.get("/counts.json")
def counts_file(request: Request) -> Response:
    """The counts for another shop: no customer, rig, word or time is in it."""
    text = tasks.export_counts(tasks.learn(request.app.state.shop).counts)
    headers = {"content-disposition": 'attachment; filename="tipward-counts.json"'}
    return Response(text, media_type="application/json", headers=headers)


@router.get("/sheet.pdf")
def sheet(request: Request, paper: str = "a4") -> Response:
    """What the closed cases say, on paper."""
    size = "letter" if paper == "letter" else "a4"
    pdf = tasks.lessons_pdf(tasks.learn(request.app.state.shop), size)
    headers = {"content-disposition": "inline; filename=what-the-closed-cases-say.pdf"}
    return Response(pdf, media_type="application/pdf", headers=headers)


@router.post("")
def change_lessons(request: Request, form: Form) -> Response:
    """Take the shop's own counts or another shop's into use, or take a lesson back."""
    shop, pasted = request.app.state.shop, form.text("counts", LONGEST)
    try:
        if form.has("back"):
            tasks.reverse_lessons(shop, form.number("back"))
        elif form.has("counts"):
            tasks.take_counts(shop, pasted)
        else:
            tasks.apply_lessons(shop)
    except InputError as problem:
        return _page(request, 422, problem.problems, pasted)
    except (ConflictError, NotKnownError) as problem:
        what, _, then = str(problem).partition("; ")
        return _page(request, 409, (Problem("lessons", what, then or "look at what is in use"),), pasted)
    return RedirectResponse("/lessons", 303)
