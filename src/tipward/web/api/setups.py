"""Fit, force, recommended set-up, gains and change of wire of a feed path; what can be chosen; what we learned."""

from fastapi import APIRouter, Request
from fastapi.responses import JSONResponse

from tipward import tasks
from tipward.model import Choices, Fit, ForceBudget, Gain, Learned, Recommended, WireChange, build_path
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


@router.post("/change-wire", response_model=WireChange)
def change_wire(said: WireRequest) -> JSONResponse:
    """What has to change with the wire, step by step."""
    return answer(tasks.change_wire(said.path(), said.wire()))


@router.get("/choices", response_model=Choices)
def choices(request: Request) -> JSONResponse:
    """Complaints, tools, spares and wire classes to choose from."""
    return answer(tasks.choices(request.app.state.shop))


@router.get("/learned", response_model=Learned)
def learned(request: Request) -> JSONResponse:
    """What the closed cases say."""
    return answer(tasks.what_we_learned(request.app.state.shop))
