"""Templates: every text through the words of the visitor's language, every quantity in the visitor's units."""

import math
import secrets
from collections.abc import Mapping
from datetime import datetime
from functools import cache
from pathlib import Path
from typing import Any
from urllib.parse import quote

from fastapi import Request
from fastapi.responses import HTMLResponse
from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from tipward import tasks
from tipward.foundation import show_quantity
from tipward.model import STATIONS, Band
from tipward.web.visitor import Visitor, find_visitor, visitor_of
from tipward.web.words import languages

HERE = Path(__file__).parent
PIPS = 10


@cache
def _templates() -> Environment:
    env = Environment(
        loader=FileSystemLoader(HERE / "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
    )
    env.globals.update(
        odds=tasks.odds_in_words,
        cautions=tasks.caution_texts,
        fresh_key=lambda: secrets.token_hex(8),
        languages=languages,
        stations=STATIONS,
    )
    env.filters.update(
        first_up=first_up,
        when=when,
        pips=pips,
        minutes=minutes,
        segment=lambda text: quote(str(text), safe=""),
        svg=Markup,
    )
    return env


def when(moment: datetime) -> str:
    """A moment on the clock of this machine: the day only where it is not today."""
    local, today = moment.astimezone(), datetime.now().astimezone()
    if local.date() == today.date():
        return f"{local:%H:%M}"
    return f"{local.day} {local:%b %H:%M}" if local.year == today.year else f"{local:%Y-%m-%d}"


def first_up(text: str) -> str:
    """The text with its first letter as a capital; the rest stays, since N is not n."""
    return text[:1].upper() + text[1:]


def pips(probability: float) -> str:
    """Ten marks, as many filled as the odds say; the words beside them say the same."""
    full = int(probability * PIPS + 0.5)
    return "■" * full + "□" * (PIPS - full)


def minutes(value: float) -> str:
    """Minutes without false precision."""
    return f"{value:.0f}" if value >= 1 else "1"


def render(request: Request, template: str, status: int = 200, **values: Any) -> HTMLResponse:
    """One page of a template for the visitor of this request."""
    visitor = find_visitor(request) or visitor_of(request, request.state.token, "", "reader")
    text = _templates().get_template(template).render({**context(request, visitor), **values})
    headers = {"hx-push-url": "false", "hx-replace-url": "false"} if status >= 400 else {}
    return HTMLResponse(text, status, {**headers, "vary": "cookie, accept-language"})


def context(request: Request, visitor: Visitor) -> Mapping[str, Any]:
    """What every template may use."""

    def quantity(value: float, unit: str) -> str:
        if math.isinf(value):
            return visitor.words("unit.locked_up" if value > 0 else "unit.without_end")
        return show_quantity(value, unit, visitor.inches)

    def band(value: Band, unit: str) -> str:
        if math.isinf(value.mid):
            return visitor.words("unit.locked_up")
        return visitor.words(
            "unit.band", **{name: quantity(getattr(value, name), unit) for name in ("low", "mid", "high")}
        )

    return {
        "request": request,
        "visitor": visitor,
        "t": visitor.words,
        "quantity": quantity,
        "band": band,
        "here": request.url.path,
        "in_english": "" if visitor.words.language == "en" else Markup(' lang="en"'),
        "signed_in": find_visitor(request) is not None,
    }
