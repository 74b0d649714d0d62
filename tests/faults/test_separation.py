"""What tells faults apart, on catalogues small enough to work out by hand, and on the shipped one."""

import pytest

from tipward.faults import Catalogue, Reading, build_catalogue, load_catalogue
from tipward.faults.separation import outcome_probabilities, separation

FAULT = """
[[fault]]
id = "{id}"
station = "liner"
name = "{id}"
why = "why"
prior = 0.1
prior_reason = "reason"
seen_by_proof = 0.9
prevention = "prevention"
changes = [{changes}]
[[action]]
id = "mend-{id}"
station = "liner"
name = "mend"
kind = "clean"
instructions = "mend it"
minutes = {{ low = 1, mode = 1, high = 1 }}
clears = [{{ fault = "{id}", success = 0.9 }}]
"""
LOOK = """
[[check]]
id = "{id}"
station = "liner"
name = "look"
instructions = "look"
minutes = {{ low = {minutes}, mode = {minutes}, high = {minutes} }}
who = "customer"
at = ["phone"]
outcomes = [{{ id = "fine", text = "fine" }}, {{ id = "poor", text = "poor" }}, {{ id = "bad", text = "bad" }}]
false = {{ poor = 0.1, bad = 0.2 }}
shows = [{shows}]
"""
PULL = """
[[check]]
id = "pull-{tip}"
station = "liner"
name = "pull"
instructions = "pull"
minutes = { low = 1, mode = 1, high = 1 }
who = "technician"
at = ["machine"]
reading = { name = "pull", unit = "N", context = { tip = "{tip}" } }
"""


def fields_of(reading: Reading) -> list[str]:
    return ["liner.friction_1"] + ["contact_tip.friction_1"] * (reading.context["tip"] == "on")


def nothing(reading: Reading) -> list[str]:
    return []


def fault(name: str, *fields: str) -> str:
    changes = ", ".join(f'{{ field = "{field}", op = "*", low = 1, mode = 2, high = 3 }}' for field in fields)
    return FAULT.format(id=name, changes=changes)


def look(name: str, minutes: float, **chances: float) -> str:
    rows = (f'{{ fault = "{key}", outcomes = {{ bad = {value} }}, reason = "seen" }}' for key, value in chances.items())
    return LOOK.format(id=name, minutes=minutes, shows=", ".join(rows))


def built(*texts: str) -> Catalogue:
    return build_catalogue([("small.toml", "".join(texts))])


def pull(tip: str) -> str:
    return PULL.replace("{tip}", tip)


def test_single_fault_outcomes_by_hand() -> None:
    """No fault: .7, .1, .2. With bad = .5: bad 1 − .8 × .5 = .6, fine .7 × .5 = .35, poor the rest."""
    catalogue = built(fault("a"), fault("b"), look("one", 1, a=0.5), look("two", 1, b=1.0))
    rows = outcome_probabilities(catalogue, catalogue.check("one"))
    assert rows[0] == pytest.approx([0.35, 0.05, 0.6])
    assert rows[1] == pytest.approx([0.7, 0.1, 0.2])


def test_the_difference_must_reach_half() -> None:
    """With bad = p against none, "bad" differs by .8 p: .64 reaches .5 at p = .8 and .48 does not at p = .6."""
    near = separation(built(fault("a"), fault("b"), look("one", 1, a=0.6), look("two", 1, b=0.6)), nothing)
    far = separation(built(fault("a"), fault("b"), look("one", 1, a=0.8), look("two", 1, b=0.6)), nothing)
    assert near.inseparable == (("a", "b"),)
    assert far.inseparable == ()
    assert far.checks == {"a": ("one",), "b": ("one",)}


def test_the_cheaper_check_is_taken() -> None:
    found = separation(built(fault("a"), fault("b"), look("dear", 5, a=0.9), look("cheap", 2, b=0.9)), nothing)
    assert found.checks["a"] == ("cheap",)
    assert found.minutes["a"] == pytest.approx(2.0)


def test_a_set_up_that_stands_already_is_not_paid_twice() -> None:
    """Fault a needs both looks, 2 min each under one set-up of 3 min: 3 + 2 + 2."""
    set_up = '\n[[set_up]]\nid = "open"\nname = "open"\nminutes = 3\n'
    looks = look("one", 2, a=0.1, b=0.9) + look("two", 2, c=0.9)
    looks = looks.replace('at = ["phone"]', 'at = ["phone"]\nset_up = ["open"]')
    found = separation(built(fault("a"), fault("b"), fault("c"), looks, set_up), nothing)
    assert sorted(found.checks["a"]) == ["one", "two"]
    assert found.minutes["a"] == pytest.approx(7.0)


def test_measured_checks_tell_apart_what_moves_them_from_what_does_not() -> None:
    texts = [
        fault("liner-a", "liner.friction_1"),
        fault("tip-b", "contact_tip.friction_1"),
        fault("idle-c", "use.idle_days"),
    ]
    on, off = separation(built(*texts, pull("on")), fields_of), separation(built(*texts, pull("off")), fields_of)
    assert on.by_size == (("liner-a", "tip-b"),)
    assert on.inseparable == ()
    assert off.by_size == ()
    assert off.inseparable == (("tip-b", "idle-c"),)
    assert separation(built(*texts, pull("off"), pull("on")), fields_of).checks["tip-b"] == ("pull-off", "pull-on")


def test_same_field_is_never_told_apart_by_a_reading() -> None:
    catalogue = built(fault("a", "liner.friction_1"), fault("b", "liner.friction_1"), pull("on"))
    assert separation(catalogue, fields_of).inseparable == (("a", "b"),)


@pytest.fixture(scope="module")
def shipped() -> Catalogue:
    return load_catalogue()


def test_outcomes_of_every_shipped_check_add_to_one(shipped: Catalogue) -> None:
    for check in shipped.checks.values():
        if check.outcomes:
            rows = outcome_probabilities(shipped, check)
            assert rows.sum(1) == pytest.approx(1.0), check.id
            assert rows.min() >= 0, check.id


def test_the_chosen_checks_do_tell_the_fault_from_all_others(shipped: Catalogue) -> None:
    """Checked anew, pair by pair, without the table that chose them; looks alone."""
    found = separation(shipped, nothing)
    names = list(shipped.faults)
    apart = set(found.inseparable) | {(other, one) for one, other in found.inseparable}
    for row, name in enumerate(names):
        tables = [outcome_probabilities(shipped, shipped.check(key)) for key in found.checks[name]]
        for other, its_name in enumerate(names):
            told = any(max(abs(table[row] - table[other])) >= 0.5 for table in tables)
            assert told or other == row or (name, its_name) in apart, (name, its_name)
