"""Tipward keeps MIG welding wire feeding smoothly from spool to arc."""

__version__ = "0.1.0"
