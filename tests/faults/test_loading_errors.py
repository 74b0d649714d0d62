"""Every breach in the data is reported with file, table id and key, and all of them at once."""

import pytest

from tipward.faults import build_catalogue
from tipward.foundation import CatalogueError

CAUTION = '[[caution]]\nid = "{}"\ntext = "Mind it."\nsource = "common practice"\n'
FAULT = """[[fault]]
id = "liner-dirty"
station = "liner"
name = "dirty"
why = "dust"
prior = 0.1
prior_reason = "often"
seen_by_proof = 0.9
prevention = "blow it out"
"""
CHECK = """[[check]]
id = "look-liner"
station = "liner"
name = "look"
instructions = "Look."
minutes = { low = 1, mode = 2, high = 3 }
who = "customer"
at = ["phone"]
outcomes = [{ id = "clean", text = "clean" }, { id = "dirty", text = "dirty" }]
"""
SHOWS = '[[check.shows]]\nfault = "liner-dirty"\noutcomes = { dirty = 0.8 }\nreason = "seen"\n'
ACTION = """[[action]]
id = "blow-out"
station = "liner"
name = "blow out"
kind = "clean"
instructions = "1. Blow."
minutes = { low = 1, mode = 2, high = 3 }
clears = [{ fault = "liner-dirty", success = 0.6 }]
"""


def sound(fault: str = FAULT, check: str = CHECK, shows: str = SHOWS, action: str = ACTION) -> list[tuple[str, str]]:
    return [("f.toml", fault), ("c.toml", check + shows), ("a.toml", action)]


def problems(files: list[tuple[str, str]], own: list[tuple[str, str]] | None = None) -> list[str]:
    with pytest.raises(CatalogueError) as refused:
        build_catalogue(files, own or [])
    return [f"{problem.where}: {problem.what}" for problem in refused.value.problems]


def test_the_sound_base_of_these_tests_loads() -> None:
    catalogue = build_catalogue(sound())
    assert catalogue.shown == {"look-liner": {"liner-dirty": {"dirty": 0.8}}}
    assert catalogue.places["check look-liner"] == "c.toml"


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (
            {"fault": FAULT + "complaints = { sings = 0.5 }\n"},
            "f.toml: fault liner-dirty: complaints: 'sings' is no complaint",
        ),
        (
            {"fault": FAULT + "shown_by = { sniff = { bad = 0.5 } }\n"},
            "f.toml: fault liner-dirty: shown_by: 'sniff' is no check",
        ),
        (
            {"fault": FAULT + "shown_by = { look-liner = { purple = 0.5 } }\n"},
            "f.toml: fault liner-dirty: shown_by.look-liner: 'purple' is no abnormal outcome of look-liner",
        ),
        (
            {"fault": FAULT + 'excludes = ["gone"]\n'},
            "f.toml: fault liner-dirty: excludes or leads_to: 'gone' is no other fault",
        ),
        (
            {"fault": FAULT + 'leads_to = [{ fault = "liner-dirty", probability = 0.1, reason = "r" }]\n'},
            "f.toml: fault liner-dirty: excludes or leads_to: 'liner-dirty' is no other fault",
        ),
        (
            {"fault": FAULT + 'changes = [{ field = "liner.colour", op = "*", low = 1, mode = 1, high = 2 }]\n'},
            "f.toml: fault liner-dirty: field: 'liner.colour' is no field of the feed path",
        ),
        (
            {"fault": FAULT + 'raised_by = [{ when = { field = "moon.phase" }, times = 2, reason = "r" }]\n'},
            "f.toml: fault liner-dirty: field: 'moon.phase' is no field of the feed path",
        ),
        (
            {"shows": SHOWS + '[[check.shows]]\nfault = "gone"\noutcomes = { dirty = 0.8 }\nreason = "r"\n'},
            "c.toml: check look-liner: shows: 'gone' is no fault",
        ),
        (
            {"shows": SHOWS.replace("dirty = 0.8", "clean = 0.8")},
            "c.toml: check look-liner: shows.liner-dirty: 'clean' is no abnormal outcome of look-liner",
        ),
        (
            {"check": CHECK + 'set_up = ["upside-down"]\n'},
            "c.toml: check look-liner: set_up: 'upside-down' is no set_up",
        ),
        (
            {"check": CHECK + 'impossible_after = [{ check = "gone", outcomes = ["x"], reason = "r" }]\n'},
            "c.toml: check look-liner: impossible_after: 'gone' is no check",
        ),
        (
            {"check": CHECK + 'only_if = [{ field = "moon.phase" }]\n'},
            "c.toml: check look-liner: only_if: 'moon.phase' is no field of the feed path",
        ),
        (
            {"action": ACTION + 'may_cause = [{ fault = "gone", probability = 0.1 }]\n'},
            "a.toml: action blow-out: clears or may_cause: 'gone' is no fault",
        ),
        ({"action": ACTION + 'cautions = ["ghosts"]\n'}, "a.toml: action blow-out: cautions: 'ghosts' is no caution"),
    ],
)
def test_an_unknown_id_is_named(change: dict[str, str], said: str) -> None:
    assert problems(sound(**change)) == [said]


@pytest.mark.parametrize(
    ("change", "where"),
    [
        ({"fault": FAULT.replace("prior = 0.1", "prior = 1.5")}, "f.toml: fault liner-dirty: prior: "),
        ({"fault": FAULT.replace("prior = 0.1", "prior = 0")}, "f.toml: fault liner-dirty: prior: "),
        (
            {"fault": FAULT.replace("seen_by_proof = 0.9", "seen_by_proof = -0.1")},
            "f.toml: fault liner-dirty: seen_by_proof: ",
        ),
        ({"action": ACTION.replace("success = 0.6", "success = 60")}, "a.toml: action blow-out: clears.0.success: "),
    ],
)
def test_a_probability_outside_nought_to_one_is_named(change: dict[str, str], where: str) -> None:
    found = problems(sound(**change))
    assert found[0].startswith(where)
    assert "should be" in found[0]


def test_a_probability_of_an_outcome_above_one_is_named() -> None:
    found = problems(sound(shows=SHOWS.replace("dirty = 0.8", "dirty = 1.8")))
    assert found[0].startswith("c.toml: check look-liner: shows.0.outcomes.dirty: ")


def test_outcomes_that_add_to_more_than_one_are_named() -> None:
    check = CHECK.replace(
        '{ id = "dirty", text = "dirty" }', '{ id = "dirty", text = "d" }, { id = "foul", text = "f" }'
    )
    found = problems(sound(check=check, shows=SHOWS.replace("dirty = 0.8", "dirty = 0.8, foul = 0.8")))
    assert found == ["c.toml: check look-liner: shows.liner-dirty: adds to more than 1"]


def test_a_fault_that_no_check_can_see_is_named() -> None:
    unseen = FAULT.replace("liner-dirty", "liner-worn")
    action = ACTION.replace("success = 0.6 }", 'success = 0.6 }, { fault = "liner-worn", success = 0.9 }')
    assert problems(sound(fault=FAULT + unseen, action=action)) == ["f.toml: fault liner-worn: id: no check can see it"]


def test_a_fault_that_no_action_clears_is_named() -> None:
    worn = FAULT.replace("liner-dirty", "liner-worn") + "shown_by = { look-liner = { dirty = 0.3 } }\n"
    assert problems(sound(fault=FAULT + worn)) == ["f.toml: fault liner-worn: id: no action clears it"]


def test_a_check_that_no_fault_touches_is_named() -> None:
    idle = CHECK.replace("look-liner", "look-moon")
    files = [*sound(), ("idle.toml", idle)]
    assert problems(files) == ["idle.toml: check look-moon: shows: no fault touches it"]


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"check": CHECK + "runs_wire = true\n"}, "c.toml: check look-liner: cautions: lacks the caution jog-only"),
        (
            {"check": CHECK + "opens_machine = true\n"},
            "c.toml: check look-liner: cautions: lacks the caution power-off",
        ),
        ({"action": ACTION + "runs_wire = true\n"}, "a.toml: action blow-out: cautions: lacks the caution jog-only"),
        (
            {"action": ACTION + "opens_machine = true\n"},
            "a.toml: action blow-out: cautions: lacks the caution power-off",
        ),
    ],
)
def test_a_missing_caution_is_named(change: dict[str, str], said: str) -> None:
    assert problems(sound(**change)) == [said]


def test_a_caution_that_is_there_is_accepted() -> None:
    files = [
        *sound(action=ACTION + 'opens_machine = true\ncautions = ["power-off"]\n'),
        ("k.toml", CAUTION.format("power-off")),
    ]
    assert build_catalogue(files).actions["blow-out"].cautions == ("power-off",)


def test_a_duplicate_in_one_file_or_two_is_named() -> None:
    assert problems(sound(fault=FAULT + FAULT)) == ["f.toml: fault liner-dirty: id: is a duplicate"]
    assert problems([*sound(), ("g.toml", FAULT)]) == ["g.toml: fault liner-dirty: id: is a duplicate"]


def test_an_own_table_replaces_but_may_not_stand_twice() -> None:
    own = FAULT.replace("prior = 0.1", "prior = 0.2")
    assert build_catalogue(sound(), [("own.toml", own)]).faults["liner-dirty"].prior == 0.2
    assert problems(sound(), [("own.toml", own + own)]) == ["own.toml: fault liner-dirty: id: is a duplicate"]


@pytest.mark.parametrize(
    ("fault", "where"),
    [
        (FAULT + "colour = 3\n", "f.toml: fault liner-dirty: colour: "),
        (FAULT.replace('station = "liner"', 'station = "hose"'), "f.toml: fault liner-dirty: station: "),
        (FAULT.replace('why = "dust"\n', ""), "f.toml: fault liner-dirty: why: "),
        (FAULT.replace('id = "liner-dirty"', 'id = "Liner dirty"'), "f.toml: fault Liner dirty: id: "),
        (FAULT + 'prior_grade = "hearsay"\n', "f.toml: fault liner-dirty: prior_grade: "),
        (
            FAULT + 'changes = [{ field = "liner.friction_1", op = "*", low = 3, mode = 2, high = 1 }]\n',
            "f.toml: fault liner-dirty: changes.0: value error, low <= mode <= high does not hold",
        ),
    ],
)
def test_a_wrong_key_or_value_is_named_with_its_key(fault: str, where: str) -> None:
    assert problems(sound(fault=fault))[0].startswith(where)


def test_a_check_needs_outcomes_or_a_reading() -> None:
    bare = CHECK.split("outcomes = ")[0]
    found = problems(sound(check=bare, shows=""))
    assert "c.toml: check look-liner: outcomes: needs either a reading or two to four outcomes" in found


def test_text_that_is_not_toml_and_unknown_tables_are_named() -> None:
    found = problems([*sound(), ("bad.toml", "[[fault]\n"), ("odd.toml", "[[wish]]\nid = 'a'\n")])
    assert found[0].startswith("bad.toml: is not TOML: ")
    assert found[1:] == ["odd.toml: wish: is no table of the catalogue"]


def test_all_breaches_are_reported_at_once() -> None:
    fault = FAULT.replace("prior = 0.1", "prior = 7") + FAULT.replace("liner-dirty", "liner-worn")
    idle = CHECK.replace("look-liner", "look-moon")
    action = ACTION.replace("liner-dirty", "liner-worn") + "runs_wire = true\n"
    files = [("f.toml", fault), ("c.toml", CHECK + SHOWS + idle), ("a.toml", action), ("d.toml", action)]
    found = problems(files)
    expected = [
        "f.toml: fault liner-dirty: prior: ",
        "d.toml: action blow-out: id: is a duplicate",
        "c.toml: check look-liner: shows: 'liner-dirty' is no fault",
        "f.toml: fault liner-worn: id: no check can see it",
        "c.toml: check look-moon: shows: no fault touches it",
        "d.toml: action blow-out: cautions: lacks the caution jog-only",
    ]
    for start in expected:
        assert any(line.startswith(start) for line in found), (start, found)
    assert len(found) == len(expected)
