"""What every page needs: the stylesheet of the line, and a sign of life for phones that wait for the server."""

from fastapi import APIRouter
from fastapi.responses import PlainTextResponse, Response

from tipward import tasks

router = APIRouter()


@router.get("/line.css")
def line_css() -> Response:
    """The stylesheet that belongs to the drawing of the line."""
    return Response(tasks.line_css(), media_type="text/css", headers={"cache-control": "max-age=3600"})


@router.get("/alive")
def alive() -> Response:
    """Whether the server is there: a phone asks before it sends again what it kept."""
    return PlainTextResponse("alive")


@router.get("/favicon.ico")
def icon() -> Response:
    """The sign of the pages."""
    mark = (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 32 32"><rect width="32" height="32" rx="7" fill="#1d2226"/>'
        '<circle cx="10" cy="16" r="6" fill="none" stroke="#e8e6e1" stroke-width="2"/>'
        '<path d="M4 10h24" stroke="#e0a377" stroke-width="2.5"/></svg>'
    )
    return Response(mark, media_type="image/svg+xml", headers={"cache-control": "max-age=86400"})
