"""The cards: what they say, on one page, in the same bytes, whatever people write."""

import subprocess
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest
from invented_workshop import ADVICE, BEFORE, CHECKS, FIT, PATH, TARGETS, WORDS, budget, case, open_view, view

from tipward.model import CardWords, Case, CaseView, Finding, Opened, Page, Place, Repair, TakenBack
from tipward.reports import case_card_pdf, case_card_text, check_sheet_pdf, setup_card_pdf
from tipward.reports.content import LOCAL_CODES

HOSTILE = '#read("/etc/passwd") *bold* $x$ #import "x" <script>alert(1)</script> \\ @ref _under_ [[ ]] // end'
SECTIONS = (
    "Complaint",
    "What was found",
    "What it was",
    "What was done",
    "What was proved",
    "What remains",
    "To keep it from coming back",
    "Cautions",
    "Sources this case used",
)


def pages(pdf: bytes, folder: Path) -> int:
    (folder / "card.pdf").write_bytes(pdf)
    told = subprocess.run(["pdfinfo", folder / "card.pdf"], capture_output=True, text=True, check=True).stdout
    return int(next(line for line in told.splitlines() if line.startswith("Pages:")).split()[1])


def read(pdf: bytes, folder: Path) -> str:
    (folder / "card.pdf").write_bytes(pdf)
    told = subprocess.run(
        ["pdftotext", "-layout", folder / "card.pdf", "-"], capture_output=True, text=True, check=True
    )
    return " ".join(told.stdout.split())


def full_case() -> CaseView:
    """Far more than a page would hold, all of it hostile."""
    long = HOSTILE + " word" * 300
    entries = [Opened(PATH, ("slips-or-surges",), Place(), long, long, long)]
    entries += [Finding(f"c{n}", "smooth", note=long) for n in range(30)]
    entries += [Repair(f"r{n}", note=long) for n in range(30)]
    stamped = tuple(Page(n, str(n), datetime(2026, 3, 2, tzinfo=UTC), item) for n, item in enumerate(entries, 1))
    whole = view(Case("2026-031", stamped))
    targets = tuple(replace(target, text=long) for target in TARGETS * 3)
    proof = replace(whole.proof, proved=False, missing=(long,) * 9, openly=(long,) * 9, targets=targets)
    return replace(whole, proof=proof)


def test_the_text_card_says_every_part_of_the_case() -> None:
    card = case_card_text(view(), WORDS, budget(), BEFORE)
    for heading in SECTIONS:
        assert f"\n{heading.upper()}\n" in card
    for part in (
        "CASE 2026-031 · Proved",
        "two loops tighter than a dinner plate",
        "24 N, 26.5 N",
        "no change (customer)",
        "liner clogged with dust: about 19 in 20 (93 %)",
        "Replace the liner: 18 min, 22.50",
        "6.4 N (wanted 3.1 N to 9.8 N)",
        "a cracked control lead would not have shown here",
        "Blow the liner out at every change of spool",
        "push at the rolls 12.7 N",
        LOCAL_CODES,
    ):
        assert part in " ".join(card.split()) or part in card


def test_the_text_card_is_at_most_eighty_columns_wide() -> None:
    for shown in (view(), open_view(), full_case()):
        assert max(map(len, case_card_text(shown, WORDS, budget(), BEFORE).splitlines())) <= 80


def test_only_the_sources_that_this_case_used() -> None:
    card = case_card_text(view(), WORDS, budget(), BEFORE)
    assert "Common practice of the trade, no source." in card
    assert "From memory" not in card


def test_cautions_of_what_was_done_and_no_others_each_once() -> None:
    card = case_card_text(view(), WORDS, budget(), BEFORE)
    for key in ("live-wire", "jog-only", "power-off", "eyes", "wire-end"):
        assert " ".join(card.split()).count(WORDS.cautions[key]) == 1
    assert WORDS.cautions["power-off"] not in case_card_text(open_view(), WORDS)


def test_what_was_taken_back_is_not_on_the_card() -> None:
    back = Page(99, "back", datetime(2026, 3, 2, 11, tzinfo=UTC), TakenBack(3))
    assert "Fit a new contact tip" not in case_card_text(view(case().with_page(back)), WORDS)


def test_an_open_case_claims_no_proof() -> None:
    card = case_card_text(open_view(), WORDS)
    assert "Open, a check is next" in card and "Not proved: pull, grip." in card
    assert "not tested" in card and "WHAT IT MAY BE" in card and "WHAT WAS DONE" not in card


def test_a_case_closed_as_proved_whose_proof_fell_says_so() -> None:
    fallen = replace(view(), proof=replace(view().proof, proved=False))
    assert "the proof no longer stands" in case_card_text(fallen, WORDS)


def test_words_that_are_missing_are_shown_as_ids() -> None:
    card = case_card_text(view(), CardWords())
    assert "look lead lie: tight" in card and "liner replace" in card


def test_inches_on_the_card() -> None:
    card = case_card_text(view(), WORDS, budget(), BEFORE, inches=True)
    assert "1.44 lbf" in card and " N " not in card and "13.1 ft torch lead" in card


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_the_paper_card_is_one_page_and_says_the_same(paper: str, tmp_path: Path, poppler: None) -> None:
    pdf = case_card_pdf(view(), WORDS, budget(), paper, before=BEFORE)
    assert pages(pdf, tmp_path) == 1
    said = read(pdf, tmp_path)
    for part in (*SECTIONS, "liner clogged with dust", "Replace the liner", "Proved", "12.7 N", LOCAL_CODES):
        assert part in said


def test_the_sheet_is_as_large_as_asked(tmp_path: Path, poppler: None) -> None:
    sizes = {}
    for paper in ("a4", "letter"):
        (tmp_path / "card.pdf").write_bytes(case_card_pdf(view(), WORDS, budget(), paper))
        told = subprocess.run(["pdfinfo", tmp_path / "card.pdf"], capture_output=True, text=True, check=True).stdout
        sizes[paper] = next(line for line in told.splitlines() if line.startswith("Page size:"))
    assert "595" in sizes["a4"] and "612 x 792" in sizes["letter"]


def test_the_paper_card_is_the_same_bytes_again_and_dated_nowhere() -> None:
    one, other = (case_card_pdf(view(), WORDS, budget(), before=BEFORE) for _ in range(2))
    assert one == other
    assert b"CreationDate" not in one and b"pdfuaid" in one


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_a_full_case_of_hostile_text_stays_text_on_one_page(paper: str, tmp_path: Path, poppler: None) -> None:
    pdf = case_card_pdf(full_case(), WORDS, budget(), paper, before=BEFORE)
    assert pages(pdf, tmp_path) == 1
    said = read(pdf, tmp_path)
    assert '#read("/etc/passwd") *bold*' in said and "root:" not in said
    assert "more, in the case on the machine" in said


def test_cautions_are_never_cut_even_where_they_need_a_second_page(tmp_path: Path, poppler: None) -> None:
    many = {f"caution-{n}": f"Caution {n}: " + "keep clear " * 40 + f"end {n}" for n in range(30)}
    words = replace(WORDS, cautions=many, cautions_of={"c1": tuple(many)})
    said = read(case_card_pdf(full_case(), words, budget(), before=BEFORE), tmp_path)
    assert all(f"end {n}" in said for n in range(30))


def test_paper_that_is_not_known_is_refused() -> None:
    with pytest.raises(ValueError, match="paper 'a3' is not known; choose one of a4, letter"):
        case_card_pdf(view(), WORDS, paper="a3")


def test_the_check_sheet_has_checks_boxes_and_cautions_but_no_odds(tmp_path: Path, poppler: None) -> None:
    said = read(check_sheet_pdf(PATH, CHECKS, WORDS), tmp_path)
    for part in (
        "1. Look how the torch lead lies",
        "tight loops",
        "cannot do this here",
        "spring scale",
        "rolls open",
        "Eye",
    ):
        assert part in said
    assert LOCAL_CODES in said and "60 %" not in said and "in 10" not in said


def test_the_check_sheet_with_hostile_text(tmp_path: Path, poppler: None) -> None:
    said = read(check_sheet_pdf(PATH, (replace(CHECKS[0], name=HOSTILE, instructions=HOSTILE),)), tmp_path)
    assert '#read("/etc/passwd")' in said and "root:" not in said


def test_a_check_sheet_without_checks_is_refused() -> None:
    with pytest.raises(ValueError, match="needs at least one check"):
        check_sheet_pdf(PATH, ())


def test_the_set_up_card_says_what_to_put_right_and_how_to_set_up(tmp_path: Path, poppler: None) -> None:
    pdf = setup_card_pdf(PATH, FIT, ADVICE, budget(), url="https://workshop.local/rig/bench-one")
    assert pdf == setup_card_pdf(PATH, FIT, ADVICE, budget(), url="https://workshop.local/rig/bench-one")
    assert pages(pdf, tmp_path) == 1
    said = read(pdf, tmp_path)
    for part in ("To put right first", "liner bore 2.0 mm for 0.9 mm wire", "smooth V, 0.9 mm", "polarity: not stated"):
        assert part in said
    assert "From memory" in said and LOCAL_CODES in said


def test_the_set_up_card_with_hostile_text_is_one_page_of_text(tmp_path: Path, poppler: None) -> None:
    long = HOSTILE + " word" * 200
    fit = replace(FIT, mismatches=tuple(replace(FIT.mismatches[0], what=long, fix=long, reason=long) for _ in range(9)))
    pdf = setup_card_pdf(replace(PATH, name=long), fit, ADVICE, budget(), "letter")
    assert pages(pdf, tmp_path) == 1
    said = read(pdf, tmp_path)
    assert '#read("/etc/passwd")' in said and "root:" not in said
