"""The casebook: append-only pages of cases, rigs, people, links, lessons and photos, on SQLite or PostgreSQL."""

from tipward.records.casebook import Casebook
from tipward.records.opening import open_casebook

__all__ = [
    "Casebook",
    "open_casebook",
]
