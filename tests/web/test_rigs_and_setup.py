"""Rigs by form and by text, healthy baselines, what does not match, gains, what-if, change of wire, what we learned."""

import pytest
from web_visits import SETUP, open_case

from tipward import tasks
from tipward.model import Repair, build_path, path_to_data

FORM = {
    "name": "Bay 3",
    "customer": "Harbour Lane",
    "path:wire.wire_class": "er70s-6",
    "path:wire.diameter": "0.035 in",
    "path:torch_lead.length": "4 m",
    "path:torch_lead.turns": "1",
    "path:drive_rolls.groove": "v",
    "path:drive_rolls.idler_driven": "true",
    "path:gun.kind": "push",
}


@pytest.fixture
def rig(shop, path):
    return tasks.save_rig(shop, "Bay 3", path, "Harbour Lane")


def test_a_rig_by_form_with_units_as_people_write_them(visit, shop):
    visit.get("/rigs/new")
    page = visit.post("/rigs", FORM)
    assert page.status_code == 200 and str(page.url).endswith("/rigs/bay-3")
    kept = tasks.see_rig(shop, "bay-3").rig
    assert kept.customer == "Harbour Lane" and kept.path.wire.diameter_m == 0.000889
    assert kept.path.drive_rolls.idler_driven is True and kept.path.torch_lead.turns == 1


def test_a_new_rig_sent_twice_is_kept_once_and_a_taken_name_is_refused(visit, shop):
    visit.get("/rigs/new")
    assert [visit.post("/rigs", FORM).status_code for _ in range(2)] == [200, 200]
    refused = visit.post("/rigs", FORM | {"path:wire.diameter": "1 mm"})
    assert refused.status_code == 422 and len(tasks.list_rigs(shop)) == 1


def test_every_bad_field_is_named_at_its_place_and_what_was_typed_stays(visit, shop):
    visit.get("/rigs/new")
    page = visit.post("/rigs", FORM | {"path:wire.diameter": "0.9 kg", "path:drive_rolls.pairs": "77"})
    assert page.status_code == 422 and page.text.count('class="bad"') == 2
    assert 'value="0.9 kg"' in page.text and 'value="77"' in page.text and tasks.list_rigs(shop) == ()


def test_editing_keeps_what_was_not_touched_to_the_last_figure(visit, shop, path):
    data = path_to_data(path) | {"inlet_guide": {"turning_rad": 0.1234567890123}}
    data["torch_lead"] = {"length_m": 4.0, "route": [{"length_m": 1.0}, {"radius_m": 0.3, "turning_rad": 1.0}]}
    rig = tasks.save_rig(shop, "Bay 3", build_path(data))
    page = visit.get("/rigs/bay-3/edit").text
    assert page.count("<input") > 20
    texts = {f"path:{name}": text for name, text in tasks.path_texts(rig.path).items()}
    visit.post("/rigs/bay-3", texts | {"name": "Bay 3", "path:liner.bore": "1.8 mm"})
    kept = tasks.see_rig(shop, "bay-3").rig.path
    assert kept.inlet_guide == rig.path.inlet_guide and kept.torch_lead == rig.path.torch_lead
    assert kept.liner.bore_m == 0.0018


def test_emptying_a_field_makes_it_unknown(visit, shop, rig):
    visit.get("/rigs/bay-3/edit")
    visit.post("/rigs/bay-3", {"name": "Bay 3", "path:liner.bore": ""})
    assert tasks.see_rig(shop, "bay-3").rig.path.liner.bore_m is None


def test_a_rig_by_setup_text_and_its_errors(visit, shop):
    visit.get("/rigs/new")
    refused = visit.post("/rigs", {"how": "text", "name": "Bay 1", "setup": SETUP + "\n[wire]"})
    assert refused.status_code == 422 and "is not TOML" in refused.text
    visit.page = refused.text
    assert visit.post("/rigs", {"how": "text", "name": "Bay 1", "setup": SETUP}).status_code == 200
    assert tasks.see_rig(shop, "bay-1").rig.path.liner.material == "steel"


def test_a_healthy_baseline_is_kept_as_the_mean_and_shown(visit, shop, rig):
    visit.get("/rigs/bay-3")
    page = visit.post("/rigs/bay-3/baseline", {"read:pull-torch-straight": "9 N; 10 N"})
    assert tasks.see_rig(shop, "bay-3").baselines[0].readings == {"pull-torch-straight": 9.5}
    assert "9.5 N" in page.text
    assert visit.post("/rigs/bay-3/baseline", {}).status_code == 422
    assert visit.post("/rigs/bay-3/baseline", {"read:pull-torch-straight": "much"}).status_code == 422


def test_a_new_baseline_changes_the_proof_that_is_shown(visit, shop, rig, path):
    case = open_case(shop, path, rig="bay-3")
    before = visit.get(f"/cases/{case.id}/proof").text
    tasks.save_baseline(shop, "bay-3", {"pull-torch-straight": [9.0]})
    assert "baseline" not in before and "healthy baseline" in visit.get(f"/cases/{case.id}/proof").text


def test_set_up_says_what_does_not_match_and_what_changes_are_worth(visit, shop, path):
    data = path_to_data(path)
    data["drive_rolls"]["groove_size_m"] = 0.0012
    tasks.save_rig(shop, "Bay 3", build_path(data))
    page = visit.get("/rigs/bay-3/set-up").text
    assert all(item.what in page for item in tasks.fit(build_path(data)).mismatches)
    best = tasks.gains(build_path(data))[0]
    assert best.text in page and page.count("saves ") >= 3


def test_what_if_answers_for_any_change_and_refuses_the_impossible(visit, rig):
    asked = {"lead": "3 m", "turns": "0", "liner": "ptfe", "bore": "2 mm", "gun": "push"}
    page = visit.get("/rigs/bay-3/set-up", params=asked)
    assert page.status_code == 200 and "Your change" in page.text
    for wrong in ({"lead": "3 kg"}, {"turns": "40", "radius": "1 m"}, {"lead": "1 mm"}, {"turns": "nan"}):
        refused = visit.get("/rigs/bay-3/set-up", params=wrong)
        assert refused.status_code == 422 and "Not saved yet" in refused.text, wrong


def test_a_wire_that_locks_up_says_so_in_words(visit, rig):
    page = visit.get("/rigs/bay-3/set-up", params={"lead": "20 m", "turns": "12", "radius": "0.2 m"})
    assert page.status_code == 200 and "inf" not in page.text.replace("inform", "") and "nan " not in page.text


def test_a_change_of_wire_walks_through_every_step_and_keeps_rig_and_baseline(visit, shop, rig):
    asked = {"wire_class": "er5356", "diameter": "1.2 mm"}
    page = visit.get("/rigs/bay-3/wire", params=asked).text
    walk = tasks.walk_wire(shop, rig.path, build_path({"wire": asked}))
    assert all(step.title in page for step in walk.steps) and page.count("has to change") >= 3
    measured = {step.id: step.measured for step in walk.steps if step.measured}
    good = {f"read:{name}": f"{item.expected.mid:.6g} {item.unit}".strip() for name, item in measured.items()}
    not_in = visit.post("/rigs/bay-3/wire", asked | good | {"undone": "thread"})
    assert not_in.status_code == 422 and "new wire is not in" in not_in.text
    odd = good | {f"read:{next(iter(measured))}": "400 N"}
    refused = visit.post("/rigs/bay-3/wire", asked | odd)
    assert refused.status_code == 422 and 'value="400 N"' in refused.text
    assert tasks.see_rig(shop, "bay-3").rig == rig
    done = visit.post("/rigs/bay-3/wire", asked | good)
    seen = tasks.see_rig(shop, "bay-3")
    assert done.status_code == 200 and seen.rig.path.wire.wire_class == "er5356"
    assert seen.rig.path.liner == walk.after.liner and set(seen.baselines[-1].readings) == set(measured)
    assert visit.get("/rigs/bay-3/wire", params={"wire_class": "er5356"}).status_code == 422


def test_what_we_learned_is_shown_as_the_task_tells_it(visit, shop, path):
    assert "No case has ended yet" in visit.get("/learned").text
    case = open_case(shop, path, "it burns back", tools="")
    tasks.add(shop, case.id, Repair(tasks.view(shop, case.id).fixes[0].action))
    tasks.close_case(shop, case.id, "taken away")
    learned, page = tasks.what_we_learned(shop), visit.get("/learned").text
    assert learned.endings == (("open end", 1),) and "Closed without proof: 1" in page
    assert all(item.name in page for item in learned.causes)
