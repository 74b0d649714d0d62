"""Every text stands in one place: no template names a text that is missing, no text waits unused, places agree."""

import re
import string
import tomllib

import pytest

from tipward.web import words
from tipward.web.showing import HERE

TEMPLATES = {file.name: file.read_text("utf-8") for file in sorted((HERE / "templates").glob("*.html"))}
CODE = "\n".join(file.read_text("utf-8") for file in sorted(HERE.rglob("*.py")))
ENGLISH = words._flat("en")
ASKED = re.compile(r"""\bt(?:\.maybe)?\(\s*["']([a-z_0-9.]+)["']""")
BUILT = re.compile(r"""\bt(?:\.maybe)?\(\s*["']([a-z_0-9.]+)["']\s*~""")


@pytest.mark.parametrize("name", TEMPLATES)
def test_every_text_that_a_template_asks_for_is_there(name):
    built = set(BUILT.findall(TEMPLATES[name]))
    asked = set(ASKED.findall(TEMPLATES[name])) - built
    assert asked - set(ENGLISH) == set()
    assert all(any(key.startswith(prefix) for key in ENGLISH) for prefix in built if prefix != "field.")


@pytest.mark.parametrize("name", TEMPLATES)
def test_no_template_speaks_for_itself(name):
    """Words between tags come from the texts: what is left has no word of three letters or more."""
    markup = re.sub(r"{#.*?#}|{%.*?%}|{{.*?}}", " ", TEMPLATES[name], flags=re.S)
    plain = re.sub(r"<[^>]*>|&#?[a-z0-9]+;", " ", markup)
    assert set(re.findall(r"[A-Za-z]{3,}", plain)) - {"Tipward"} == set()


def test_no_text_waits_unused():
    everything = "\n".join(TEMPLATES.values()) + CODE
    built = {prefix for text in TEMPLATES.values() for prefix in BUILT.findall(text)} | {"case.next_", "case.head_"}
    asked = set(re.findall(r"""["']([a-z_]+(?:\.[a-z_0-9-]+)+)["']""", everything))
    unused = [
        key
        for key in ENGLISH
        if key not in asked
        and key.removesuffix("_one") not in asked
        and key != "language"
        and not any(key.startswith(prefix) for prefix in built)
        and not key.startswith(("path.", "option.", "field.", "unit.", "problem."))
    ]
    assert unused == []


@pytest.mark.parametrize("file", sorted(words.FOLDER.glob("*.toml")), ids=lambda file: file.stem)
def test_each_language_keeps_to_the_names_and_places_of_english(file):
    flat = dict(words._flattened(tomllib.loads(file.read_text("utf-8")), ""))
    assert set(flat) - set(ENGLISH) == set()
    for name, text in flat.items():
        assert places(text) == places(ENGLISH[name]), name


def places(text):
    return {field for _, field, _, _ in string.Formatter().parse(text) if field}


def test_an_unknown_language_is_shown_in_english():
    assert words.Words("xx")("base.cases") == "Cases"
    assert words.Words("en")("cases.entries", n=1) == "1 entry"
    assert words.Words("en").maybe("option.nothing", "as given") == "as given"
