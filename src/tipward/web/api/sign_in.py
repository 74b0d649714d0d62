"""Signing in to the API: a token to send with every call."""

from fastapi import APIRouter, Request
from fastapi.responses import JSONResponse
from pydantic import BaseModel

from tipward.foundation import NotKnownError
from tipward.web import accounts
from tipward.web.api.doors import answer
from tipward.web.api.requests import SignInRequest
from tipward.web.forms import ForeignFormError, is_from_here

router = APIRouter(tags=["people"])


class Token(BaseModel):
    """Send it as Authorization: Bearer TOKEN."""

    token: str


@router.post("/sign-in", response_model=Token)
def sign_in(request: Request, said: SignInRequest) -> JSONResponse:
    """Get a token; only where Tipward is served with --lan, else nobody signs in."""
    if is_from_here(request) is False:
        raise ForeignFormError("this request comes from another site")
    if not request.app.state.lan:
        raise NotKnownError("nobody signs in here: Tipward is served for this machine alone")
    address = request.client.host if request.client else ""
    state = request.app.state
    return answer(Token(token=accounts.sign_in(state.shop, state.throttle, address, said.name, said.password)))
