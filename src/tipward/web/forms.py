"""What a page sends: is it from one of our own pages, and its fields."""

import hmac
from typing import Annotated
from urllib.parse import urlsplit

from fastapi import Depends, Request
from starlette.datastructures import FormData

from tipward.foundation import InputError, Problem, TipwardError
from tipward.web.visitor import form_token

OWN_FIELDS = ("token", "key", "after")
LONGEST_FIELD, LONGEST_KEY = 200_000, 64


class ForeignFormError(TipwardError):
    """A form that none of our pages sent."""


class StaleFormError(TipwardError):
    """A form of ours whose token belongs to another sign-in; ``form`` can be sent again."""

    def __init__(self, form: "Posted") -> None:
        self.form = form
        super().__init__("this page was opened before you signed in; send it again")


class Posted:
    """The fields of a form as plain text."""

    def __init__(self, form: FormData) -> None:
        self.items = [(name, value) for name, value in form.multi_items() if isinstance(value, str)]
        self._first = dict(reversed(self.items))

    def text(self, name: str, most: int = 2000) -> str:
        """One field, "" where it was not sent."""
        value = self._first.get(name, "").strip()
        if len(value) > most:
            what = f"has {len(value)} characters"
            raise InputError("form", [Problem(name, what, f"shorten it to {most}")])
        return value

    def number(self, name: str, most: int = 12) -> int:
        """One field as a whole number of plain digits, 0 where it is none."""
        said = self.text(name, most)
        return int(said) if said.isascii() and said.isdigit() else 0

    def all(self, name: str) -> tuple[str, ...]:
        """Every value of a field."""
        return tuple(value for key, value in self.items if key == name)

    def has(self, name: str) -> bool:
        """Whether a field was sent at all."""
        return name in self._first

    @property
    def key(self) -> str | None:
        """The idempotency key that the page was given."""
        return self.text("key", LONGEST_KEY) or None

    @property
    def after(self) -> int | None:
        """The last page of the case that was seen."""
        said = self.text("after", 12)
        if not said:
            return None
        if not said.isascii() or not said.isdigit():
            raise InputError("form", [Problem("after", f"{said!r} is no page number", "open the case again")])
        return int(said)

    def again(self) -> list[tuple[str, str]]:
        """The fields that a page repeats so that they can be sent again."""
        return [(name, value) for name, value in self.items if name not in OWN_FIELDS]


def is_from_here(request: Request) -> bool | None:
    """Whether the browser says that a request comes from this site; None where it says nothing."""
    origin = request.headers.get("origin")
    if origin is None or origin == "null":
        site = request.headers.get("sec-fetch-site")
        return None if site is None and origin is None else site in {"same-origin", "none"} and origin is None
    told = urlsplit(origin)
    return told.scheme == request.url.scheme and told.netloc.lower() == request.headers.get("host", "").lower()


async def posted(request: Request) -> Posted:
    """The form of a POST, once its origin and token are ours; empty for a GET."""
    if request.method in {"GET", "HEAD"}:
        return Posted(FormData())
    if is_from_here(request) is not True:
        raise ForeignFormError("this form did not come from a page of this Tipward; open the page here and send again")
    form = Posted(await request.form(max_files=10, max_fields=600, max_part_size=LONGEST_FIELD))
    request.state.form = form
    if not hmac.compare_digest(form.text("token", 200), form_token(request.state.token)):
        raise StaleFormError(form)
    return form


Form = Annotated[Posted, Depends(posted)]
