"""The HTTP API."""

from fastapi import FastAPI


def add_api(app: FastAPI) -> None:
    """Add the API."""
