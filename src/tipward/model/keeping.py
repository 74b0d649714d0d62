"""What the casebook keeps beside cases and rigs: summaries, baselines, accounts, links, lessons, photos."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Literal

Role = Literal["owner", "technician", "reader"]
LinkKind = Literal["report", "remote"]


@dataclass(frozen=True, slots=True)
class CaseRow:
    """One line of the list of cases; ``closed`` is how it ended, "" while it is open."""

    id: str
    opened_at: datetime
    rig: str
    customer: str
    complaints: tuple[str, ...]
    closed: str
    pages: int


@dataclass(frozen=True, slots=True)
class Baseline:
    """Readings of a rig when it was healthy, by name of the reading (SI)."""

    rig: str
    at: datetime
    readings: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Account:
    """Somebody who may sign in; ``password_hash`` is argon2 text made by the door, never a password."""

    name: str
    password_hash: str
    role: Role
    created: datetime
    revoked: datetime | None = None


@dataclass(frozen=True, slots=True)
class SignIn:
    """One session of an account: only the hash of its token is known."""

    token_hash: str
    account: str
    created: datetime
    expires: datetime
    revoked: datetime | None = None


@dataclass(frozen=True, slots=True)
class Link:
    """A link that shows one case to somebody without an account, or lets a customer answer from afar."""

    token_hash: str
    case: str
    kind: LinkKind
    created: datetime
    expires: datetime
    revoked: datetime | None = None


@dataclass(frozen=True, slots=True)
class Lesson:
    """Something learned from closed cases; ``reversed_by`` is the lesson that took it back, if one did."""

    id: int
    kind: str
    key: str
    payload: Mapping[str, Any]
    at: datetime
    reversed_by: int | None = None


@dataclass(frozen=True, slots=True)
class Photo:
    """One photo that belongs to a case."""

    id: str
    case: str
    mime: str
    created: datetime
    data: bytes
