"""What comes in through the API."""

from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field

from tipward.foundation import InputError, Problem
from tipward.model import LEAST_RATE, MOST_RATE, FeedPath, Place, build_path
from tipward.tasks import Shop, place, read_readings

Name = Annotated[str, Field(max_length=120)]
Key = Annotated[str | None, Field(max_length=64, description="Idempotency key: the same key again changes nothing")]
After = Annotated[int | None, Field(ge=0, le=1_000_000, description="Last page that was seen; later ones conflict")]
Text = Annotated[str, Field(max_length=2000)]
Setup = Annotated[
    dict[str, Any],
    Field(description='As a set-up file: {"wire": {"diameter": "0.9 mm"}}, or SI as {"wire": {"diameter_m": 0.0009}}'),
]
Reading = Annotated[float, Field(ge=0, allow_inf_nan=False)] | Annotated[str, Field(max_length=60)]
Readings = Annotated[list[Reading], Field(min_length=1, max_length=50)]


class Incoming(BaseModel):
    """Unknown fields are refused, so that a slip of the pen is not lost."""

    model_config = ConfigDict(extra="forbid")


class SetupRequest(Incoming):
    """A feed path."""

    setup: Setup

    def path(self) -> FeedPath:
        """The path, every bad field named."""
        return build_path(self.setup)


class ForceRequest(SetupRequest):
    """A feed path, and how its unknowns are drawn."""

    draws: Annotated[int, Field(ge=16, le=8192)] = 512
    seed: Annotated[int, Field(ge=0, le=2**31 - 1)] = 1
    extrapolate: bool = False


class GainRequest(SetupRequest):
    """A feed path as it is, and as it would be."""

    changed: Setup


class WireRequest(SetupRequest):
    """A feed path as it is, and the new set-up: its wire, and the parts that are chosen already."""

    new: Setup


class PlaceRequest(Incoming):
    """Where the work is done, what is at hand and what time is worth there (money an hour, in the shop's currency)."""

    at: Literal["phone", "counter", "machine"] = "machine"
    tools: Annotated[list[Name], Field(max_length=100)] = []
    spares: Annotated[list[Name], Field(max_length=100)] = []
    qualified: bool = False
    work_per_hour: Annotated[float | None, Field(ge=LEAST_RATE, le=MOST_RATE)] = None
    standstill_per_hour: Annotated[float | None, Field(ge=0, le=MOST_RATE)] = None

    def place(self, shop: Shop, before: Place | None = None) -> Place:
        """The place, every unknown tool named; rates that are left out stay as they were ``before``."""
        rates: list[str | float] = []
        for said, name in ((self.work_per_hour, "work_per_hour"), (self.standstill_per_hour, "standstill_per_hour")):
            rates.append(said if said is not None else getattr(before, name) if before else "")
        return place(shop, self.at, ", ".join(self.tools), ", ".join(self.spares), self.qualified, *rates)


class Written(Incoming):
    """What every entry carries."""

    key: Key = None
    after: After = None


class OpenRequest(Incoming):
    """A new case: a rig of the shop or a set-up, and what the customer says."""

    setup: Setup = {}
    rig: Annotated[str, Field(max_length=80)] = ""
    complaints: Annotated[list[Name], Field(max_length=60)] = []
    words: Text = ""
    customer: Name = ""
    place: PlaceRequest = PlaceRequest()
    key: Key = None


class FindingRequest(Written):
    """An outcome of a check, or readings of a measured one (SI numbers, or text with unit, or "stuck")."""

    check: Name
    outcome: Name = ""
    readings: Annotated[list[Reading], Field(max_length=50)] = []
    by: Literal["technician", "customer", "qualified"] = "technician"
    note: Text = ""


class CannotRequest(Written):
    """A check or action that cannot be done here."""

    what: Name
    why: Text = ""


class TakeBackRequest(Written):
    """The page that no longer counts."""

    sequence: Annotated[int, Field(ge=1, le=1_000_000)]
    why: Text = ""


class RepairRequest(Written):
    """An action that was carried out, and the set-up afterwards where a part changed."""

    action: Name
    minutes: Annotated[float | None, Field(ge=0, le=100_000)] = None
    cost: Annotated[float | None, Field(ge=0, le=1e9)] = None
    setup: Setup | None = None
    note: Text = ""


class MoveRequest(Written):
    """The work goes on at another place or with other tools."""

    place: PlaceRequest


class ProofRequest(Written):
    """Readings by target id; yes and no as 1 and 0."""

    readings: Annotated[dict[str, Readings], Field(min_length=1, max_length=60)]


class CloseRequest(Written):
    """The end of the case."""

    note: Text = ""


class EndRequest(Incoming):
    """Why the rig was looked at."""

    occasion: Literal["", "sale", "hire-return", "new-spool"] = ""


class RigRequest(Incoming):
    """A rig under a name of the shop's own."""

    name: Name
    setup: Setup = {}
    customer: Name = ""


class BaselineRequest(Incoming):
    """Readings of a healthy day by check id."""

    readings: Annotated[dict[str, Readings], Field(min_length=1, max_length=60)]


class SignInRequest(Incoming):
    """Name and password."""

    name: Annotated[str, Field(max_length=200)]
    password: Annotated[str, Field(max_length=1000)]


class PersonRequest(Incoming):
    """A new account."""

    name: Annotated[str, Field(min_length=1, max_length=80)]
    password: Annotated[str, Field(max_length=1000)]
    role: Literal["owner", "technician", "reader"] = "technician"


class PersonChangeRequest(Incoming):
    """What changes of an account."""

    password: Annotated[str | None, Field(max_length=1000)] = None
    role: Literal["owner", "technician", "reader"] | None = None
    revoked: bool = False


class LessonRequest(Incoming):
    """Counts to take into use."""

    counts: Annotated[
        dict[str, Any] | None,
        Field(description="Of another shop, as GET /api/learn/counts gives them; null: one's own"),
    ] = None


class ReverseRequest(Incoming):
    """Why a lesson is taken back."""

    why: Text = ""


def si(readings: list[float | str], unit: str, where: str) -> tuple[float, ...]:
    """Readings in SI: numbers as they are, text with its unit."""
    try:
        return tuple(
            value for said in readings for value in ((said,) if isinstance(said, float) else read_readings(said, unit))
        )
    except InputError as problem:
        raise InputError("readings", [Problem(where, item.what, item.next_step) for item in problem.problems]) from None
