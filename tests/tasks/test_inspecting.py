"""Inspection without a complaint: which looks, in which order, and what comes of them."""

from dataclasses import replace
from itertools import pairwise, permutations
from pathlib import Path

import pytest

from tipward import tasks
from tipward.foundation import InputError
from tipward.model import STATIONS, Cannot, Finding, Gun, read_setup
from tipward.tasks.round_order import in_order

STEEL = read_setup(Path(__file__).parents[2] / "examples" / "rig-steel-0.9.toml")


@pytest.fixture
def shop(tmp_path):
    return tasks.open_shop(tmp_path / "book.db")


def opened(shop, at="machine", tools="all", path=STEEL, qualified=False):
    return tasks.open_case(shop, path, place=tasks.place(shop, at, tools, "", qualified))


def names(left):
    return [look.check for group in left.groups for look in group.looks]


def test_every_look_that_applies_is_asked_or_left_out_with_a_reason(shop):
    left = tasks.looks_left(shop, opened(shop))
    looks = [check for check in shop.catalogue.checks.values() if check.id.startswith("look-")]
    told = set(names(left)) | {check.id for check in looks if check.name in dict(left.left_out)}
    missing = {check.id for check in looks} - told
    assert missing == {check.id for check in looks if check.only_if and check.id in missing}
    assert len(names(left)) == len(set(names(left))) > 60
    assert set(dict(left.left_out).values()) == {"for a qualified person"}


def test_looks_for_a_push_pull_gun_come_with_the_gun(shop):
    assert "look-gun-rolls" not in names(tasks.looks_left(shop, opened(shop)))
    path = replace(STEEL, gun=Gun("push-pull"))
    assert "look-gun-rolls" in names(tasks.looks_left(shop, opened(shop, path=path)))


def test_each_set_up_is_made_once_and_the_arc_comes_last(shop):
    groups = tasks.looks_left(shop, opened(shop)).groups
    made = [name for group in groups for name in group.first]
    for name in ("Door of the wire compartment open", "Pressure arms of the drive rolls swung open"):
        assert made.count(name) == 1
    assert made.count("Torch taken off the machine") == made.count("Contact tip taken off the neck") == 1
    state: set[str] = set()
    for group in groups:
        state = (state - set(group.put_back)) | set(group.first)
        assert state == set(group.set_up)
    live = ["live-wire" in group.cautions for group in groups]
    assert live == sorted(live) and live[-1]


def test_within_a_group_the_looks_go_from_spool_to_arc(shop):
    place = {station: number for number, station in enumerate(STATIONS)}
    for group in tasks.looks_left(shop, opened(shop)).groups:
        order = [place[look.station] for look in group.looks]
        assert order == sorted(order)


def minutes(catalogue, sets):
    cost = {name: item.minutes for name, item in catalogue.set_ups.items()}
    walked = [frozenset(), *sets, frozenset()]
    return sum(cost[name] for one, two in pairwise(walked) for name in one ^ two)


def test_no_other_order_of_the_groups_takes_fewer_minutes(shop):
    catalogue = shop.catalogue
    chosen = [
        "look-hub",
        "look-groove",
        "look-tip",
        "look-liner-gap",
        "look-neck",
        "look-liner-length",
        "look-liner-seat",
    ]
    order = [key[1] for key, _ in in_order(catalogue, [catalogue.check(name) for name in chosen])]
    best = min(minutes(catalogue, one) for one in permutations(order))
    assert len(order) == 7 and minutes(catalogue, order) == pytest.approx(best)


def test_at_the_phone_only_what_a_customer_can_see_is_asked(shop):
    left = tasks.looks_left(shop, opened(shop, at="phone", tools=""))
    checks = [shop.catalogue.check(name) for name in names(left)]
    assert checks and all(check.who == "customer" and not check.tools for check in checks)
    assert "not at the phone" in dict(left.left_out).values()


def test_an_answer_and_a_refusal_are_not_asked_again_and_the_order_stays(shop):
    case = opened(shop)
    before = names(tasks.looks_left(shop, case))
    case = tasks.add(shop, case.id, Finding(before[0], shop.catalogue.check(before[0]).outcomes[0].id))
    case = tasks.add(shop, case.id, Cannot(before[5]))
    left = tasks.looks_left(shop, case)
    assert names(left) == [name for name in before if name not in {before[0], before[5]}]
    assert (shop.catalogue.check(before[5]).name, "could not be done") in left.left_out


def test_a_new_spool_asks_for_wire_spool_and_inlet_guide_only(shop):
    groups = tasks.looks_left(shop, opened(shop), "new-spool").groups
    assert {look.station for group in groups for look in group.looks} == {"wire", "spool", "inlet-guide"}
    with pytest.raises(InputError, match="hire-return"):
        tasks.looks_left(shop, opened(shop), "birthday")


def looked_over(shop, case, said):
    while (left := tasks.looks_left(shop, case)).groups:
        look = left.groups[0].looks[0]
        case = tasks.add(shop, case.id, Finding(look.check, said.get(look.check, look.outcomes[0][0])))
    return case


def test_a_sound_machine_ends_with_nothing_found_and_is_closed(shop):
    case = looked_over(shop, opened(shop), {})
    result = tasks.inspected(shop, case)
    assert result.found == () == result.mend and result.looked > 60
    closed = tasks.end_inspection(shop, case, result)
    assert closed.closed().how == "open end" and "nothing found" in closed.closed().note
    assert tasks.end_inspection(shop, closed, result) == closed


def test_what_was_found_is_mended_and_the_case_stays_open(shop):
    said = {"look-tip": "worn-oval", "look-hub": "nut-loose"}
    case = looked_over(shop, opened(shop), said)
    result = tasks.inspected(shop, case)
    assert {item.check for item in result.found} == set(said)
    assert [fix.action for fix in result.mend] == ["fit-new-tip", "tighten-spool-nut"]
    assert "Look at hub, peg and nut" in result.mend[1].why and "look again" in result.mend[1].why
    assert tasks.end_inspection(shop, case, result).closed() is None
    assert result.view.judgement.probability("tip-worn") > 0.5 > result.view.judgement.probability("spool-nut-loose")


@pytest.mark.parametrize(
    ("look", "outcome", "action"),
    [
        ("look-polarity", "wrong", "set-polarity"),
        ("look-liner-seat", "off", "seat-liner"),
        ("look-clamp-bite", "covered", "move-work-clamp"),
        ("look-lead-lie", "tight", "straighten-lead"),
        ("look-brake-setting", "wound-in", "set-brake"),
        ("look-nozzle", "bridge", "clean-nozzle"),
    ],
)
def test_one_thing_seen_is_on_the_list_although_all_other_looks_are_usual(shop, look, outcome, action):
    result = tasks.inspected(shop, looked_over(shop, opened(shop), {look: outcome}))
    assert [item.check for item in result.found] == [look] and [fix.action for fix in result.mend] == [action]


def test_what_the_set_up_itself_declares_is_found(shop):
    path = replace(STEEL, drive_rolls=replace(STEEL.drive_rolls, groove="knurled"))
    result = tasks.inspected(shop, opened(shop, path=path))
    assert ("match:groove-form-wrong", "drive-rolls") in {(item.check, item.station) for item in result.found}


def test_the_card_tells_what_was_found_before_what_was_usual(shop):
    case = looked_over(shop, opened(shop), {"look-arc-start": "stubs"})
    card = tasks.card_text(shop, tasks.view(shop, case.id))
    assert "looked over without a complaint" in card
    found = card.split("WHAT WAS FOUND\n")[1].splitlines()[0]
    assert found.startswith(f"  {shop.catalogue.check('look-arc-start').name}")
