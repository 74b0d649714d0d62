"""Languages: both files say the same things, no template speaks by itself, and each visitor reads his own."""

import re
import string
import tomllib
from pathlib import Path

import pytest
from web_visits import open_case

from tipward import tasks
from tipward.faults import load_catalogue
from tipward.web import words

TEMPLATES = sorted((Path(words.__file__).parent / "templates").glob("*.html"))
PLACES = string.Formatter()
# Marks, not words: what stands between texts. "Tipward" is a name; units and digits are the same in every language.
MARKS = re.compile(r"^[\s·–—:;,.“”\"'()!×→\-|/%0-9]*(Tipward|mm|in)?[\s·–—:;,.“”\"'()!×→\-|/%0-9]*$")


def texts(language):
    with (words.FOLDER / f"{language}.toml").open("rb") as file:
        return dict(words._flattened(tomllib.load(file), ""))


def places(text):
    return sorted(name for _, name, *_ in PLACES.parse(text) if name is not None)


OTHERS = sorted(set(words.languages()) - {"en"})


def test_there_is_a_second_language():
    assert OTHERS == ["de"]


@pytest.mark.parametrize("language", OTHERS)
def test_every_text_is_there_in_every_language_and_no_other(language):
    own, english = texts(language), texts("en")
    assert sorted(set(english) - set(own)) == [] and sorted(set(own) - set(english)) == []


@pytest.mark.parametrize("language", OTHERS)
def test_every_text_has_the_same_places_to_fill(language):
    own, english = texts(language), texts("en")
    assert [name for name in english if places(own.get(name, "")) != places(english[name])] == []


@pytest.mark.parametrize("language", OTHERS)
def test_texts_are_translated(language):
    own, english = texts(language), texts("en")
    same = [name for name, text in english.items() if own.get(name) == text and re.search(r"[a-z]{4}", text)]
    known = {"case.example_N", "sign.name", "field.name", "option.ptfe", "line.station", "report.dates"}
    assert [name for name in same if name not in known and places(english[name]) == []] == []


def bare(template):
    """Words in a template that come from no text: between tags, and in attributes that are read out."""
    text = template.read_text("utf-8")
    text = re.sub(r"\{#.*?#\}|\{%.*?%\}|<!doctype[^>]*>", "", text, flags=re.S)
    text = re.sub(r"\{\{.*?\}\}", "", text, flags=re.S)
    read_out = re.findall(r"\s(?:aria-label|title|alt|placeholder|data-[a-z]+)=\"([^\"]*)\"", text)
    between = re.findall(r">([^<>]*)<", re.sub(r"<(script|style)\b.*?</\1>", "", text, flags=re.S))
    found = [piece.strip() for piece in between if not MARKS.match(piece)]
    return found + [piece for piece in read_out if re.search(r"[A-Za-z]{3} [A-Za-z]", piece)]


@pytest.mark.parametrize("template", TEMPLATES, ids=lambda file: file.name)
def test_no_template_holds_bare_text(template):
    assert bare(template) == []


def test_the_search_for_bare_text_finds_it(tmp_path):
    planted = tmp_path / "planted.html"
    planted.write_text('<p>Save it</p><p>{{ t("a.b") }} · {{ n }}</p><img alt="a nice picture">')
    assert bare(planted) == ["Save it", "a nice picture"]


@pytest.mark.parametrize("template", TEMPLATES, ids=lambda file: file.name)
def test_every_text_that_a_template_names_is_there(template):
    known = texts("en")
    named = re.findall(r"\bt\(\s*[\"']([a-z_.]+[a-z_])[\"']\s*[,)]", template.read_text("utf-8"))
    assert [name for name in named if name not in known] == []


def test_scripts_hold_no_text():
    for script in (Path(words.__file__).parent / "static").glob("*.js"):
        if script.name != "htmx.min.js":
            said = re.findall(r"textContent = [\"'`]([^\"'`]*)|\balert\(|innerHTML", script.read_text("utf-8"))
            assert said == [], script.name


PAGES = [
    "/",
    "/cases/new",
    "/rigs",
    "/rigs/new",
    "/rigs/bay-3",
    "/rigs/bay-3/set-up",
    "/route",
    "/learned",
    "/lessons",
    "/rigs/bay-3/label",
]


@pytest.mark.parametrize("url", PAGES)
def test_pages_are_read_in_german(visit, shop, path, url):
    tasks.save_rig(shop, "Bay 3", path)
    answer = visit.get(url, headers={"accept-language": "de-DE,de;q=0.9,en;q=0.5"})
    assert answer.status_code == 200 and '<html lang="de">' in answer.text
    assert "er wird auf Englisch geführt" in answer.text and "Local codes" not in answer.text
    assert "accept-language" in answer.headers["vary"].lower()


def test_what_is_chosen_goes_before_what_the_browser_says(visit):
    visit.get("/")
    visit.post(
        "/preferences",
        {"language": "de", "units": "inches"},
        headers={**visit.headers, "referer": "http://localhost/rigs"},
    )
    page = visit.get("/", headers={"accept-language": "en"}).text
    assert '<html lang="de">' in page and "Neuer Fall" in page
    visit.post("/preferences", {"language": "xx", "units": "furlongs"})
    assert '<html lang="de">' in visit.get("/").text


@pytest.mark.parametrize(
    "said", ["", "fr", "xx;q=1", "*", ";;;,,,", "de" * 5000, "de;q=0", "de;q=x", "en,de;q=0.9", "de;q=0.2,en;q=0.8"]
)
def test_other_languages_read_english(visit, said):
    assert '<html lang="en">' in visit.get("/", headers={"accept-language": said}).text


def test_units_are_those_that_were_chosen(visit, shop, path):
    tasks.save_rig(shop, "Bay 3", path)
    metric = visit.get("/rigs").text
    visit.get("/")
    visit.post("/preferences", {"units": "inches"})
    inches = visit.get("/rigs").text
    assert "0.9 mm" in metric and "4 m" in metric and "0.0354 in" in inches and "13.1 ft" in inches
    route = visit.get("/route?length=4+m&turns=1&radius=150+mm").text
    assert re.search(r'big-number">[\d.]+ lbf<', route) and not re.search(r"\d N\b", route)


def test_every_question_that_a_customer_may_be_asked_is_in_plain_words():
    known, checks = texts("en"), load_catalogue().checks.values()
    asked = [check for check in checks if tasks.may_be_asked(check)]
    assert len(asked) > 20
    missing = [f"ask.{check.id}" for check in asked] + [
        f"answer.{check.id}.{o.id}" for check in asked for o in check.outcomes
    ]
    missing += [f"careful.{caution}" for check in asked for caution in check.cautions]
    assert [name for name in missing if name not in known] == []
    assert [name for name in known if name.startswith("ask.") and name[4:] not in {check.id for check in asked}] == []


def test_a_case_in_german_keeps_the_catalogue_in_english_and_says_so(visit, shop, path):
    case = open_case(shop, path)
    page = visit.get(f"/cases/{case.id}", headers={"accept-language": "de"}).text
    assert "Nächste Prüfung" in page and "aus dem Katalog" in page
