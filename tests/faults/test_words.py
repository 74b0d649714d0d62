"""Customers' own words are understood: every sentence of said.toml, and nothing is made out of small talk."""

import tomllib
from pathlib import Path
from time import perf_counter

import pytest

from tipward.faults import Catalogue, load_catalogue, understand

_DATA = tomllib.loads((Path(__file__).parent / "said.toml").read_text("utf-8"))
SAID = [(row["text"], frozenset(row["means"])) for row in _DATA["said"]]
NOT_YET = [(row["text"], frozenset(row["means"])) for row in _DATA["not_yet"]]


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return load_catalogue()


def understood(catalogue: Catalogue, text: str, means: frozenset[str]) -> bool:
    found = understand(catalogue, text)
    return means <= set(found) and (found[0] in means if means else not found)


@pytest.mark.parametrize(("text", "means"), SAID)
def test_said_is_understood(catalogue: Catalogue, text: str, means: frozenset[str]) -> None:
    assert understood(catalogue, text, means), understand(catalogue, text)


@pytest.mark.parametrize(("text", "means"), NOT_YET)
def test_what_is_not_understood_yet_is_still_not(catalogue: Catalogue, text: str, means: frozenset[str]) -> None:
    assert not understood(catalogue, text, means), "understood now: move it up to the others"


def test_enough_is_asked_and_every_complaint_is_said_by_somebody(catalogue: Catalogue) -> None:
    assert len(SAID) >= 40
    assert len(NOT_YET) <= len(SAID) / 20
    assert set(catalogue.complaints) == {item for _, means in SAID for item in means}


def test_every_complaint_understands_its_own_name_and_words(catalogue: Catalogue) -> None:
    for complaint in catalogue.complaints.values():
        for words in (complaint.name, *complaint.words):
            assert complaint.id in understand(catalogue, words)[:2], words


def test_few_complaints_are_read_into_a_sentence_that_are_not_in_it(catalogue: Catalogue) -> None:
    extra = sum(len(set(understand(catalogue, text)) - means) for text, means in SAID)
    assert extra <= 0.15 * len(SAID)


@pytest.mark.parametrize("text", ["", "   ", "?!", "\n", "0.8", "wire", "the machine", "ø" * 2000])
def test_nothing_said_means_nothing(catalogue: Catalogue, text: str) -> None:
    assert understand(catalogue, text) == ()


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("the gun pushes back", "the torch pushes back"),
        ("bird's nest at the rollers", "rats nest at the drive rolls"),
        ("works with inch but not with trigger", "works with jog but not with trigger"),
        ("the reel coasts", "the spool overruns"),
    ],
)
def test_either_word_of_the_trade_will_do(catalogue: Catalogue, one: str, other: str) -> None:
    assert understand(catalogue, one) == understand(catalogue, other) != ()


def test_what_stops_all_questions_is_found_beside_anything_else(catalogue: Catalogue) -> None:
    found = understand(catalogue, "It burns back, the arc is erratic and yesterday I got a shock off the gun")
    assert "tingle" in found
    assert catalogue.complaints["tingle"].kind == "stop"


def test_negation_turns_the_meaning(catalogue: Catalogue) -> None:
    assert understand(catalogue, "jog works, trigger does not")[0] == "jog-works-trigger-not"
    assert "jog-works-trigger-not" not in understand(catalogue, "trigger works, jog does not")


def test_a_slip_of_spelling_does_no_harm(catalogue: Catalogue) -> None:
    assert understand(catalogue, "it birdnestts at the rolers") == understand(catalogue, "it birdnests at the rollers")


def test_a_page_of_text_is_read_in_less_than_a_second(catalogue: Catalogue) -> None:
    page = "The welder was fine until last week and then the wire began to stutter on long runs. " * 40
    start = perf_counter()
    assert "slips-or-surges" in understand(catalogue, page)
    assert perf_counter() - start < 1.0
