"""The HTTP API: the same tasks as the pages and the command line, JSON in and out, described by OpenAPI."""

from typing import Any

from fastapi import Depends, FastAPI

from tipward.web.api import cases, entries, lessons, links, people, rigs, route, setups, sign_in
from tipward.web.api.doors import REFUSALS, api_owner, api_reads, api_writes

PREFIX = "/api"


def add_api(app: FastAPI) -> None:
    """Add every router with its role, so that a new one cannot forget to ask for one."""
    for router, role in (
        (sign_in.router, None),
        (setups.router, api_reads),
        (route.router, api_reads),
        (cases.router, api_writes),
        (entries.router, api_writes),
        (links.router, api_writes),
        (rigs.router, api_writes),
        (lessons.learned, api_reads),
        (lessons.router, api_owner),
        (people.router, api_owner),
    ):
        asks = [Depends(role)] if role else []
        app.include_router(router, prefix=PREFIX, dependencies=asks, responses=REFUSALS)
    _document(app)


def _document(app: FastAPI) -> None:
    """Numbers of answers may be null: JSON has no infinity, and a wire that locks up has no finite force."""
    made = app.openapi

    def openapi() -> dict[str, Any]:
        if app.openapi_schema is None:
            schema = made()
            for name, part in schema.get("components", {}).get("schemas", {}).items():
                if not name.endswith("Request"):
                    _nullable(part)
            app.openapi_schema = schema
        return app.openapi_schema

    app.openapi = openapi  # type: ignore[method-assign]


def _nullable(part: Any) -> None:
    if isinstance(part, dict):
        if part.get("type") == "number":
            part["type"] = ["number", "null"]
        for value in part.values():
            _nullable(value)
    elif isinstance(part, list):
        for value in part:
            _nullable(value)
