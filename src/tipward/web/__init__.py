"""Tipward as pages and as an HTTP API: parse, call one task, show."""

from tipward.web.accounts import hash_password
from tipward.web.app import create_app
from tipward.web.serving import serve

__all__ = ["create_app", "hash_password", "serve"]
