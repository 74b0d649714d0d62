"""The fields of a place: where the work is done, what is at hand, what time is worth; read, and shown again."""

from dataclasses import dataclass

from tipward import tasks
from tipward.model import Place
from tipward.web.forms import Posted


def read_place(shop: tasks.Shop, form: Posted, before: Place | None = None) -> Place:
    """Where the work is done, what is at hand and what time is worth, as ticked; rates not asked stay as ``before``."""
    tools, spares = (", ".join(form.all(name)) for name in ("tool", "spare"))
    work: str | float = form.text("work_per_hour")
    standstill: str | float = form.text("standstill_per_hour")
    if before is not None:
        work = work or before.work_per_hour
        standstill = standstill if form.has("standstill_per_hour") else before.standstill_per_hour
    return tasks.place(shop, form.text("at") or "machine", tools, spares, form.has("qualified"), work, standstill)


@dataclass(frozen=True)
class PlaceFields:
    """What stands in the fields of a place: as the case has it, or as somebody just wrote it."""

    at: str
    tools: tuple[str, ...]
    spares: tuple[str, ...]
    qualified: bool
    work_per_hour: str
    standstill_per_hour: str

    @classmethod
    def of(cls, form: Posted, work_per_hour: float) -> "PlaceFields":
        """As written in a form; the rate where none was written."""
        work, standstill = form.text("work_per_hour", 100), form.text("standstill_per_hour", 100)
        tools, spares = tuple(form.all("tool")), tuple(form.all("spare"))
        return cls(
            form.text("at") or "machine",
            tools,
            spares,
            form.has("qualified"),
            work or amount(work_per_hour),
            standstill,
        )

    @classmethod
    def by(cls, place: Place) -> "PlaceFields":
        """As the case has it."""
        standstill = amount(place.standstill_per_hour) if place.standstill_per_hour else ""
        return cls(place.at, place.tools, place.spares, place.qualified, amount(place.work_per_hour), standstill)


def amount(value: float) -> str:
    """Money as it may be written again."""
    return f"{value:.2f}".removesuffix(".00")
