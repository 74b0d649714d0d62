"""Judgement over all combinations of causes, and what closed cases teach it."""

from tipward.diagnosis.calibration import calibrated, scored, stated
from tipward.diagnosis.counting import count_case, merged
from tipward.diagnosis.judging import judge
from tipward.diagnosis.learning import catalogue_mark, changed_numbers, taught

__all__ = [
    "calibrated",
    "catalogue_mark",
    "changed_numbers",
    "count_case",
    "judge",
    "merged",
    "scored",
    "stated",
    "taught",
]
