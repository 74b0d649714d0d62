"""Proof: the targets of the repaired path beside the readings."""

from collections import Counter

from fastapi import APIRouter, Request
from fastapi.responses import Response

from tipward import tasks
from tipward.foundation import InputError, Problem
from tipward.model import ProofTest
from tipward.web.forms import Form, Posted
from tipward.web.pages.answers import write
from tipward.web.pages.case import case_values
from tipward.web.showing import render

router = APIRouter(prefix="/cases/{case_id}/proof")


@router.get("")
def proof_page(request: Request, case_id: str, saved: int = 0) -> Response:
    """Every target with its band and its readings, and what is missing."""
    return _page(request, case_id, 200, None, (), bool(saved))


def _page(
    request: Request, case_id: str, status: int, form: Posted | None, problems: tuple[Problem, ...], saved: bool = False
) -> Response:
    view = request.app.state.kept.view(case_id)
    found = Counter(caution for target in view.proof.targets for caution in target.cautions)
    shared = tuple(caution for caution, count in found.items() if count > 1)
    values = {"form": form, "problems": problems, "saved": saved, "shared": shared}
    return render(request, "proof.html", status, **case_values(request, view), **values)


@router.post("")
def proof(request: Request, case_id: str, form: Form) -> Response:
    """Readings of one or several targets; targets left empty stay as they are."""
    view = request.app.state.kept.view(case_id)
    said = [f"{target.id}={form.text(f'read:{target.id}', 200)}" for target in view.proof.targets]
    filled = [item for item in said if not item.endswith("=")]
    try:
        if not filled:
            raise InputError("proof", [Problem("readings", "are empty", "fill in at least one target")])
        readings = tasks.read_targets(view.proof, filled)
        answer = write(request, case_id, form, ProofTest(readings), f"/cases/{view.case.id}/proof?saved=1")
    except InputError as problem:
        return _page(request, case_id, 422, form, problem.problems)
    return answer
