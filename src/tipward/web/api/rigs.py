"""Rigs of the shop and their healthy baselines."""

from fastapi import APIRouter, Request
from fastapi.responses import JSONResponse

from tipward import tasks
from tipward.model import Rig, RigView, build_path
from tipward.web.api.doors import answer
from tipward.web.api.requests import BaselineRequest, RigRequest, si

router = APIRouter(prefix="/rigs", tags=["rigs"])


@router.get("", response_model=list[Rig])
def rigs(request: Request) -> JSONResponse:
    """All rigs, by id."""
    return answer(tasks.list_rigs(request.app.state.shop))


@router.post("", status_code=201, response_model=Rig)
def add_rig(request: Request, said: RigRequest) -> JSONResponse:
    """Keep a new rig; its id is made from its name."""
    made = tasks.save_rig(request.app.state.shop, said.name, build_path(said.setup), said.customer)
    return answer(made, 201)


@router.get("/{rig}", response_model=RigView)
def rig(request: Request, rig: str) -> JSONResponse:
    """One rig with its baselines and cases."""
    return answer(tasks.see_rig(request.app.state.shop, rig))


@router.put("/{rig}", response_model=Rig)
def change_rig(request: Request, rig: str, said: RigRequest) -> JSONResponse:
    """Keep a rig as it is now."""
    known = tasks.see_rig(request.app.state.shop, rig).rig
    return answer(tasks.save_rig(request.app.state.shop, said.name, build_path(said.setup), said.customer, known.id))


@router.post("/{rig}/baselines", status_code=201, response_model=RigView)
def baseline(request: Request, rig: str, said: BaselineRequest) -> JSONResponse:
    """Keep the readings of a healthy day."""
    shop = request.app.state.shop
    units = {name: unit for name, _, unit in tasks.baseline_targets(shop)}
    readings = {name: si(values, units.get(name, ""), name) for name, values in said.readings.items()}
    return answer(tasks.save_baseline(shop, rig, readings), 201)
