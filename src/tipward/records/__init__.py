"""The casebook: append-only pages of cases, rigs, people, links, lessons and photos, on SQLite or PostgreSQL."""

from tipward.records.casebook import Casebook
from tipward.records.lessons import list_lessons, reverse_lesson, save_lesson
from tipward.records.links import create_link, find_link, list_links, revoke_link
from tipward.records.opening import open_casebook
from tipward.records.people import (
    change_account,
    create_account,
    find_account,
    list_accounts,
    revoke_account,
)
from tipward.records.photos import list_photos, load_photo, save_photo
from tipward.records.sign_ins import create_session, find_session, revoke_session

__all__ = [
    "Casebook",
    "change_account",
    "create_account",
    "create_link",
    "create_session",
    "find_account",
    "find_link",
    "find_session",
    "list_accounts",
    "list_lessons",
    "list_links",
    "list_photos",
    "load_photo",
    "open_casebook",
    "reverse_lesson",
    "revoke_account",
    "revoke_link",
    "revoke_session",
    "save_lesson",
    "save_photo",
]
