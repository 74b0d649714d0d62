"""Telling: the line as picture, text and table; cards as paper and text, with exactly the sources they used."""

from tipward.reports.casepaper import case_card_pdf
from tipward.reports.casetext import case_card_text
from tipward.reports.checkpaper import check_sheet_pdf
from tipward.reports.codes import qr_svg
from tipward.reports.lessonspaper import lessons_sheet_pdf
from tipward.reports.line import LINE_CSS, line_svg
from tipward.reports.linetext import line_rows, line_text
from tipward.reports.odds import odds_in_words, percentage
from tipward.reports.reliability import reliability_svg
from tipward.reports.scene import suspicion_in_words
from tipward.reports.setuppaper import setup_card_pdf
from tipward.reports.suspicion import station_suspicions

__all__ = [
    "LINE_CSS",
    "case_card_pdf",
    "case_card_text",
    "check_sheet_pdf",
    "lessons_sheet_pdf",
    "line_rows",
    "line_svg",
    "line_text",
    "odds_in_words",
    "percentage",
    "qr_svg",
    "reliability_svg",
    "setup_card_pdf",
    "station_suspicions",
    "suspicion_in_words",
]
