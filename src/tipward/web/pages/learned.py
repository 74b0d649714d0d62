"""What we learned: which causes this shop really has, how its cases ended, how well the odds held."""

from fastapi import APIRouter, Request
from fastapi.responses import Response

from tipward import tasks
from tipward.web.showing import render

router = APIRouter()


@router.get("/learned")
def learned_page(request: Request) -> Response:
    """Counts of closed cases."""
    return render(request, "learned.html", learned=tasks.what_we_learned(request.app.state.shop))
