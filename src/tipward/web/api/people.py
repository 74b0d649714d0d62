"""Accounts, for the owner. Passwords come in, hashes never go out."""

from datetime import datetime

from fastapi import APIRouter, Request
from fastapi.responses import JSONResponse
from pydantic import BaseModel

from tipward import tasks
from tipward.model import Account, Role
from tipward.web.accounts import hash_password
from tipward.web.api.doors import answer
from tipward.web.api.requests import PersonChangeRequest, PersonRequest

router = APIRouter(prefix="/people", tags=["people"])


class Person(BaseModel):
    """Somebody who may sign in."""

    name: str
    role: Role
    created: datetime
    revoked: datetime | None


def _person(account: Account) -> Person:
    return Person(name=account.name, role=account.role, created=account.created, revoked=account.revoked)


@router.get("", response_model=list[Person])
def people(request: Request) -> JSONResponse:
    """Everybody with an account."""
    return answer([_person(account) for account in tasks.list_accounts(request.app.state.shop)])


@router.post("", status_code=201, response_model=Person)
def add_person(request: Request, said: PersonRequest) -> JSONResponse:
    """Make an account."""
    hashed = hash_password(said.password)
    return answer(_person(tasks.add_account(request.app.state.shop, said.name, hashed, said.role)), 201)


@router.patch("/{name}", response_model=Person)
def change_person(request: Request, name: str, said: PersonChangeRequest) -> JSONResponse:
    """Another role or password, or no more signing in."""
    hashed = hash_password(said.password) if said.password is not None else None
    return answer(_person(tasks.change_account(request.app.state.shop, name, hashed, said.role, said.revoked)))
