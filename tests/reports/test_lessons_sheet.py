"""The lessons sheet: reliability table, scores and picture against the same sums done by hand."""

import re
import subprocess
import xml.etree.ElementTree as ElementTree
from datetime import datetime

import numpy as np
import pytest

from tipward.diagnosis import calibrated, scored
from tipward.model import CauseCount, ChangedNumber, Counts, Learning, Lesson
from tipward.reports import lessons_sheet_pdf, reliability_svg

SAID, SO = [0.02, 0.3, 0.5, 0.5, 0.97], [0.0, 0.0, 1.0, 0.0, 1.0]
CHANGE = ChangedNumber(
    "odds", "liner-dirty", "Liner <b>clogged</b> #dust", "wire er70s-6", 0.06, 0.12, 0.05, 0.2, 4.0, 1.2, 9.0
)


def learning(changes=(CHANGE,), stale=(), left_out=(), in_use=()):
    held = calibrated([scored(SAID, SO)])
    causes = (CauseCount("liner-dirty", "Liner clogged with dust or debris", "liner", 3),)
    return Learning((("proved", 4), ("open end", 1)), causes, held, Counts(), changes, in_use, left_out, stale)


def printed(pdf, tmp_path):
    (tmp_path / "sheet.pdf").write_bytes(pdf)
    told = subprocess.run(
        ["pdftotext", "-layout", tmp_path / "sheet.pdf", "-"], capture_output=True, text=True, check=True
    )
    return re.sub(r"\s+", " ", told.stdout.replace("\u00a0", " "))


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_scores_stand_on_paper_as_worked_by_hand(tmp_path, paper):
    """Brier and log score of five stated chances, worked out beside the code (Brier 1950, Good 1952)."""
    text = printed(lessons_sheet_pdf(learning(), (CHANGE,), paper), tmp_path)
    p, y = np.array(SAID), np.array(SO)
    brier = ((p - y) ** 2).mean()
    log_score = -np.log(np.where(y == 1, p, 1 - p)).mean()
    assert f"Brier score: {brier:.4f}" in text and f"Log score: {log_score:.4f} nat" in text
    assert "5 suspicions stated in 1 proved case." in text
    assert "40 to 60 % 1.0 1.0 2" in text and "95 to 100 % 1.0 1.0 1" in text
    assert "Liner clogged with dust or debris liner 3" in text and "proved 4 open end 1" in text


def test_what_would_change_is_printed_with_before_and_after_and_never_as_markup(tmp_path):
    text = printed(lessons_sheet_pdf(learning(), (CHANGE,)), tmp_path)
    assert "Liner <b>clogged</b> #dust, wire er70s-6 how common 6 % 12 % 5 % to 20 % 4.0 (1.2)" in text
    many = tuple([CHANGE] * 40)
    assert "10 more change less." in printed(lessons_sheet_pdf(learning(many), many), tmp_path)


def test_lessons_in_use_and_what_could_not_be_counted_are_named(tmp_path):
    lesson = Lesson(7, "counts", "own", {"cases": 12}, datetime(2026, 3, 4))
    text = printed(lessons_sheet_pdf(learning((), (7,), ("k2-44",), (lesson,)), ()), tmp_path)
    assert "Lesson 7: 12 closed cases of this shop, since 2026-03-04" in text
    assert "Lesson 7 was counted against another catalogue" in text and "Case k2-44 names what this catalogue" in text


def test_the_same_learning_is_the_same_paper_and_another_paper_is_refused():
    assert lessons_sheet_pdf(learning(), (CHANGE,)) == lessons_sheet_pdf(learning(), (CHANGE,))
    with pytest.raises(ValueError, match="paper 'a5' is not known"):
        lessons_sheet_pdf(learning(), (), "a5")


def test_the_picture_puts_each_row_where_it_was_said_and_found():
    rows = learning().calibration.rows
    drawn = ElementTree.fromstring(reliability_svg(rows))
    dots = [element for element in drawn if element.tag.endswith("circle")]
    assert len(dots) == len(rows) == 4
    middle = next(dot for dot, row in zip(dots, rows, strict=True) if row.low == 0.4)
    first, last = dots[0], dots[-1]
    span = float(last.get("cx")) - float(first.get("cx"))
    assert float(middle.get("cx")) == pytest.approx(
        float(first.get("cx")) + span * (0.5 - 0.02) / (0.97 - 0.02), abs=0.1
    )
    assert float(last.get("cy")) < float(middle.get("cy")) < float(first.get("cy"))
    assert "given 50 %, so in 50 % of 2" in drawn.get("aria-label")
