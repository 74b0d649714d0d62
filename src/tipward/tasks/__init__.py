"""One function per task of the technician: the only place that joins thinking, keeping and telling."""

from tipward.tasks.adding import add, move
from tipward.tasks.baselines import judge_baseline
from tipward.tasks.choices import choices, usual_rate
from tipward.tasks.closing import close_case
from tipward.tasks.customer_report import customer_report
from tipward.tasks.drawing_file import read_drawing
from tipward.tasks.fitting import fit, force, recommend, serves
from tipward.tasks.inspecting import end_inspection, inspected, looks_left
from tipward.tasks.intake import page_text, place, read_readings, read_targets
from tipward.tasks.learning import largest_changes, learn, lessons_pdf, reliability_picture, what_we_learned
from tipward.tasks.links import end_link, follow_link, links_of, make_link
from tipward.tasks.lookup import list_catalogue, look_up
from tipward.tasks.opening import open_case
from tipward.tasks.people import (
    add_account,
    begin_session,
    change_account,
    end_session,
    find_account,
    list_accounts,
    signed_in,
)
from tipward.tasks.photos import address_code, keep_photo, photos_of, see_photo
from tipward.tasks.reading import case_mark, pages_since, read_case, unit_of_check
from tipward.tasks.remote import answer_from_afar, ask_customer, may_be_asked
from tipward.tasks.rigs import baseline_targets, list_rigs, rig_id, rig_named, save_baseline, save_rig, see_rig
from tipward.tasks.route import drawn_lead, looped_lead
from tipward.tasks.seeing import checks_now, look_up_check, see, view
from tipward.tasks.setup_text import path_texts, setup_text
from tipward.tasks.shop import Shop, open_shop
from tipward.tasks.teaching import apply_lessons, export_counts, import_counts, reverse_lessons, take_counts
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
from tipward.tasks.told import line_css, line_pictures, path_pictures, told_pages
from tipward.tasks.walking import path_after, walk_wire
from tipward.tasks.what_if import change_wire, gain, gains, shortened, straightened

__all__ = [
    "Shop",
    "add",
    "add_account",
    "address_code",
    "answer_from_afar",
    "apply_lessons",
    "ask_customer",
    "baseline_targets",
    "begin_session",
    "card_pdf",
    "card_text",
    "case_mark",
    "caution_texts",
    "change_account",
    "change_wire",
    "checks_now",
    "choices",
    "close_case",
    "customer_report",
    "demo_folder",
    "drawn_lead",
    "end_inspection",
    "end_link",
    "end_session",
    "export_counts",
    "find_account",
    "fit",
    "follow_link",
    "force",
    "gain",
    "gains",
    "import_counts",
    "inspected",
    "judge_baseline",
    "keep_photo",
    "largest_changes",
    "learn",
    "lessons_pdf",
    "line_css",
    "line_of",
    "line_of_view",
    "line_picture",
    "line_pictures",
    "links_of",
    "list_accounts",
    "list_cases",
    "list_catalogue",
    "list_rigs",
    "local_codes",
    "look_up",
    "look_up_check",
    "looks_left",
    "looped_lead",
    "make_link",
    "may_be_asked",
    "move",
    "odds_in_words",
    "open_case",
    "open_shop",
    "page_text",
    "pages_since",
    "path_after",
    "path_pictures",
    "path_texts",
    "photos_of",
    "place",
    "read_case",
    "read_drawing",
    "read_readings",
    "read_targets",
    "recommend",
    "reliability_picture",
    "reverse_lessons",
    "rig_id",
    "rig_named",
    "save_baseline",
    "save_rig",
    "see",
    "see_photo",
    "see_rig",
    "serves",
    "setup_text",
    "shortened",
    "signed_in",
    "straightened",
    "take_counts",
    "told_pages",
    "unit_of_check",
    "usual_rate",
    "view",
    "walk_wire",
    "what_we_learned",
]
