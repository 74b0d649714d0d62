"""The terminal: parse, call one task, show."""

from tipward.cli.main import main

__all__ = ["main"]
