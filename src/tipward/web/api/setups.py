"""Fit, force, recommended set-up, gains and change of wire of a feed path; what can be chosen; what we learned."""

from fastapi import APIRouter, Request
from fastapi.responses import JSONResponse

from tipward import tasks
from tipward.model import (
    CatalogueEntry,
    Choices,
    Fit,
    ForceBudget,
    Gain,
    Learned,
    Recommended,
    Served,
    WireWalk,
    build_path,
)
from tipward.web.api.doors import answer
from tipward.web.api.requests import ForceRequest, GainRequest, SetupRequest, WireRequest

router = APIRouter(tags=["set-up"])


@router.post("/fit", response_model=Fit)
def fit(said: SetupRequest) -> JSONResponse:
    """Which parts do not suit the wire or each other, and why."""
    return answer(tasks.fit(said.path()))


@router.post("/force", response_model=ForceBudget)
def force(said: ForceRequest) -> JSONResponse:
    """Force to push the wire through the path, with every limit and its margin."""
    return answer(tasks.force(said.path(), said.draws, said.seed, said.extrapolate))


@router.post("/recommend", response_model=Recommended)
def recommend(said: SetupRequest) -> JSONResponse:
    """The set-up that suits the wire, line by line."""
    return answer(tasks.recommend(said.path()))


@router.post("/gains", response_model=list[Gain])
def gains(said: SetupRequest) -> JSONResponse:
    """What each usual change of the path is worth in newtons."""
    return answer(tasks.gains(said.path()))


@router.post("/what-if", response_model=Gain)
def what_if(said: GainRequest) -> JSONResponse:
    """What one change of the path is worth in newtons."""
    return answer(tasks.gain(said.path(), build_path(said.changed)))


@router.post("/change-wire", response_model=WireWalk)
def change_wire(request: Request, said: WireRequest) -> JSONResponse:
    """A change of wire as a walk: what has to change, every step with its cautions, the healthy baseline."""
    return answer(tasks.walk_wire(request.app.state.shop, said.path(), build_path(said.new)))


@router.post("/serves", response_model=list[Served])
def serves(said: SetupRequest) -> JSONResponse:
    """Which wires the parts of a path serve, and why not the others."""
    return answer(tasks.serves(said.path()))


@router.get("/catalogue", response_model=list[tuple[str, str, str]])
def catalogue(request: Request) -> JSONResponse:
    """Every fault, check and action by id and name."""
    return answer(tasks.list_catalogue(request.app.state.shop))


@router.get("/catalogue/{name}", response_model=CatalogueEntry)
def catalogue_entry(request: Request, name: str) -> JSONResponse:
    """What the catalogue says about one fault, check or action, with file and line."""
    return answer(tasks.look_up(request.app.state.shop, name))


@router.get("/choices", response_model=Choices)
def choices(request: Request) -> JSONResponse:
    """Complaints, tools, spares and wire classes to choose from."""
    return answer(tasks.choices(request.app.state.shop))


@router.get("/learned", response_model=Learned)
def learned(request: Request) -> JSONResponse:
    """What the closed cases say."""
    return answer(tasks.what_we_learned(request.app.state.shop))
