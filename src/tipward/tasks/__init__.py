"""One function per task of the technician: the only place that joins thinking, keeping and telling."""

from tipward.tasks.casework import (
    Shop,
    add,
    checks_now,
    close_case,
    look_up_check,
    move,
    open_case,
    open_shop,
    see,
    view,
)
from tipward.tasks.fitting import fit, force, recommend
from tipward.tasks.intake import page_text, place, read_readings, read_targets
from tipward.tasks.telling import (
    card_pdf,
    card_text,
    caution_texts,
    demo_folder,
    line_of,
    line_of_view,
    line_picture,
    list_cases,
    local_codes,
    odds_in_words,
)

__all__ = [
    "Shop",
    "add",
    "card_pdf",
    "card_text",
    "caution_texts",
    "checks_now",
    "close_case",
    "demo_folder",
    "fit",
    "force",
    "line_of",
    "line_of_view",
    "line_picture",
    "list_cases",
    "local_codes",
    "look_up_check",
    "move",
    "odds_in_words",
    "open_case",
    "open_shop",
    "page_text",
    "place",
    "read_readings",
    "read_targets",
    "recommend",
    "see",
    "view",
]
