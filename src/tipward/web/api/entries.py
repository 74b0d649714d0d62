"""Writing into a case: each entry is saved before the answer, and answered with the case as it is now."""

from fastapi import APIRouter, Request
from fastapi.responses import JSONResponse

from tipward import tasks
from tipward.foundation import InputError, Problem
from tipward.model import Cannot, Case, Entry, Finding, Moved, ProofTest, Repair, TakenBack, build_path
from tipward.web.api.doors import answer, author
from tipward.web.api.requests import (
    CannotRequest,
    CloseRequest,
    FindingRequest,
    MoveRequest,
    ProofRequest,
    RepairRequest,
    TakeBackRequest,
    Written,
    si,
)

router = APIRouter(prefix="/cases/{case_id}", tags=["cases"])


def _add(request: Request, case_id: str, entry: Entry, said: Written) -> JSONResponse:
    return answer(tasks.add(request.app.state.shop, case_id, entry, said.key, said.after, author(request)))


@router.post("/findings", response_model=Case)
def finding(request: Request, case_id: str, said: FindingRequest) -> JSONResponse:
    """An outcome of a check, or the readings of a measured one."""
    readings: tuple[float, ...] = ()
    if said.readings:
        readings = si(said.readings, tasks.unit_of_check(request.app.state.shop, said.check), "readings")
    return _add(request, case_id, Finding(said.check, said.outcome, readings, said.by, said.note), said)


@router.post("/cannot", response_model=Case)
def cannot(request: Request, case_id: str, said: CannotRequest) -> JSONResponse:
    """A check or action that cannot be done here."""
    return _add(request, case_id, Cannot(said.what, said.why), said)


@router.post("/taken-back", response_model=Case)
def take_back(request: Request, case_id: str, said: TakeBackRequest) -> JSONResponse:
    """Take a page back; it stays on record and no longer counts."""
    return _add(request, case_id, TakenBack(said.sequence, said.why), said)


@router.post("/repairs", response_model=Case)
def repair(request: Request, case_id: str, said: RepairRequest) -> JSONResponse:
    """An action that was carried out."""
    path = build_path(said.setup) if said.setup is not None else None
    return _add(request, case_id, Repair(said.action, said.minutes, said.cost, path, said.note), said)


@router.post("/moves", response_model=Case)
def move(request: Request, case_id: str, said: MoveRequest) -> JSONResponse:
    """Go on at another place or with other tools."""
    shop = request.app.state.shop
    return _add(request, case_id, Moved(said.place.place(shop, tasks.read_case(shop, case_id).place())), said)


@router.post("/proof", response_model=Case)
def proof(request: Request, case_id: str, said: ProofRequest) -> JSONResponse:
    """Readings of the proof by target id."""
    units = {target.id: target.unit for target in request.app.state.kept.view(case_id).proof.targets}
    unknown = [
        Problem(name, "is no target", f"one of {', '.join(units)}") for name in said.readings if name not in units
    ]
    if unknown:
        raise InputError("proof", unknown)
    read = tuple((name, si(values, units[name], name)) for name, values in said.readings.items())
    return _add(request, case_id, ProofTest(read), said)


@router.post("/close", response_model=Case)
def close(request: Request, case_id: str, said: CloseRequest) -> JSONResponse:
    """Close the case as its proof stands."""
    shop = request.app.state.shop
    return answer(tasks.close_case(shop, case_id, said.note, said.key, said.after, author(request)))
