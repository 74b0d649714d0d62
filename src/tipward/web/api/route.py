"""The lie of a torch lead: drawn, tapped along a photo, or in loops."""

from typing import Annotated

from fastapi import APIRouter
from fastapi.responses import JSONResponse
from pydantic import Field

from tipward import tasks
from tipward.foundation import InputError, Problem, read_quantity
from tipward.model import RouteCost
from tipward.web.api.doors import answer
from tipward.web.api.requests import SetupRequest

router = APIRouter(tags=["set-up"])
Size = Annotated[str, Field(max_length=40)]
Coordinate = Annotated[float, Field(allow_inf_nan=False)]
Points = Annotated[list[tuple[Coordinate, Coordinate]], Field(max_length=6000)]


class RouteRequest(SetupRequest):
    """The length of the lead, and either points along it (machine to gun, any one unit) or turns and radius of its loops."""

    length: Annotated[Size, Field(description="With its unit, as 4 m; that of the set-up where empty")] = ""
    points: Points = Field(default_factory=list)
    turns: Annotated[float, Field(ge=0, le=20, allow_inf_nan=False)] = 0.0
    radius: Annotated[Size, Field(description="With its unit, as 150 mm")] = ""


@router.post("/route", response_model=RouteCost)
def route(said: RouteRequest) -> JSONResponse:
    """Turns, tightest radius, push as it lies and laid straight, and what each bend costs in newtons."""
    path = said.path()
    known = path.torch_lead.length_m
    length = _read("length", said.length) if said.length or known is None else known
    if said.points:
        return answer(tasks.drawn_lead(path, said.points, length))
    return answer(tasks.looped_lead(path, length, said.turns, _read("radius", said.radius)))


def _read(name: str, said: str) -> float:
    try:
        return read_quantity(said, "m")
    except ValueError as problem:
        what, _, step = str(problem).partition("; ")
        raise InputError("route", [Problem(name, what, step or "write number and unit")]) from None
