"""What may be written: plain text, finite numbers, moments with a zone, and only what reads back unchanged."""

import json
import re
import secrets
from datetime import datetime
from typing import Any

from tipward.foundation import InputError, Problem, RecordError
from tipward.model import Entry, entry_from_data, entry_to_data

# No i, l, o, 0, 1: an id is read aloud on the phone and typed with gloves on.
ID_LETTERS = "23456789abcdefghjkmnpqrstuvwxyz"
ID_LENGTH = 8
_NUL = re.compile(r"(?<!\\)(?:\\\\)*\\u0000")


def new_id() -> str:
    """A fresh id in two groups of four; about 40 bits, so it is not guessed by trying."""
    letters = "".join(secrets.choice(ID_LETTERS) for _ in range(ID_LENGTH))
    return f"{letters[:4]}-{letters[4:]}"


def tidy_id(given: str) -> str:
    """An id or its beginning as people type it, in the form in which it is kept."""
    letters = re.sub(r"[\s-]+", "", given.lower())
    return f"{letters[:4]}-{letters[4:]}" if len(letters) > 4 else letters


def refuse(where: str, what: str, next_step: str) -> InputError:
    """An InputError with one problem."""
    return InputError("casebook", [Problem(where, what, next_step)])


def keepable(text: str) -> bool:
    """Whether a database could hold this text at all; asking for other text finds nothing."""
    return "\0" not in text and not any("\ud800" <= letter <= "\udfff" for letter in text)


def plain_text(value: str, where: str, may_be_empty: bool = False) -> str:
    """Text that every database keeps as it is."""
    if not value and not may_be_empty:
        raise refuse(where, "is empty", "give it")
    plain_data(value, where)
    return value


def plain_data(data: Any, where: str) -> Any:
    """JSON data that every database keeps as it is."""
    try:
        text = json.dumps(data, ensure_ascii=False, allow_nan=False)
        text.encode("utf-8")
    except (ValueError, TypeError) as problem:
        raise refuse(where, f"cannot be kept ({problem})", "use finite numbers and plain text") from None
    if _NUL.search(text):
        raise refuse(where, "holds a NUL character", "remove it")
    return json.loads(text)


def zoned(moment: datetime, where: str) -> datetime:
    """A moment that says in which zone it is."""
    if moment.tzinfo is None:
        raise refuse(where, f"{moment.isoformat()} has no time zone", "give the moment with its zone, as UTC")
    return moment


def entry_data(entry: Entry) -> Any:
    """An entry as it is kept; refused unless it reads back the same, since a page can never be mended."""
    data = plain_data(entry_to_data(entry), "entry")
    if entry_from_data(data) != entry:
        raise refuse("entry", "does not read back as it was written", "leave unknown fields empty (None)")
    return data


def read_entry(data: Any, where: str) -> Entry:
    """An entry from what is kept."""
    try:
        return entry_from_data(data)
    except InputError as problem:
        raise RecordError(
            f"{where}: cannot be read ({problem.problems[0]}); it was written by another version: update Tipward"
        ) from problem
