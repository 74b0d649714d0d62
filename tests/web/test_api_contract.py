"""The whole API against its own description: no 5xx, no answer that is not documented."""

import json

import jsonschema_rs
import pytest
import schemathesis
from hypothesis import HealthCheck, given, settings
from schemathesis.specs.openapi.checks import positive_data_acceptance, response_schema_conformance
from starlette.testclient import TestClient
from web_visits import HERE, SETUP

from tipward import tasks
from tipward.model import parse_setup
from tipward.web import create_app

NAMES = ("testserver",)
# A set-up, an outcome or a unit is judged by its meaning, so the right form alone may still be refused with 422.
# Answers are held against their schema here: schemathesis 4.32 trips over prefixItems, which pairs are described by.
NOT_ASKED = [positive_data_acceptance, response_schema_conformance]


@pytest.fixture(scope="module")
def app(tmp_path_factory):
    shop = tasks.open_shop(tmp_path_factory.mktemp("contract") / "book.db")
    return create_app(shop, names=NAMES)


def test_no_call_brings_a_5xx_or_an_answer_that_is_not_documented(app):
    contract = schemathesis.openapi.from_asgi("/api/openapi.json", app)
    seen = [try_operation(found.ok(), app.openapi()) for found in contract.get_all_operations()]
    assert len(seen) == sum(map(len, app.openapi()["paths"].values()))


def try_operation(operation, described):
    @settings(max_examples=8, deadline=None, derandomize=True, database=None, suppress_health_check=list(HealthCheck))
    @given(case=operation.as_strategy())
    def anything(case):
        answer = case.call_and_validate(excluded_checks=NOT_ASKED)
        keeps_to(described, operation.path, operation.method.lower(), answer.status_code, answer.content)

    anything()
    return operation.label


def keeps_to(described, path, method, status, text):
    content = described["paths"][path][method]["responses"][str(status)].get("content", {})
    if "application/json" in content:
        schema = content["application/json"]["schema"]
        jsonschema_rs.validate({**schema, "components": described["components"]}, json.loads(text))


def api(app):
    return TestClient(app, base_url=HERE)


def test_every_command_of_the_command_line_has_its_way_in_the_api(app):
    paths = set(app.openapi()["paths"])
    wanted = {
        "learn",
        "lessons",
        "catalogue",
        "route",
        "serves",
        "fit",
        "force",
        "recommend",
        "cases",
        "rigs",
        "learned",
        "people",
        "gains",
        "what-if",
        "change-wire",
    }
    assert {f"/api/{name}" for name in wanted} <= paths
    entries = {"findings", "cannot", "taken-back", "repairs", "moves", "proof", "close", "checks", "card.pdf", "line"}
    assert {f"/api/cases/{{case_id}}/{name}" for name in entries} <= paths


def test_every_operation_documents_every_refusal_and_types_its_request(app):
    for path, operations in app.openapi()["paths"].items():
        for method, operation in operations.items():
            assert {"401", "403", "404", "409", "422", "429", "503"} <= set(operation["responses"]), (path, method)
            if method in {"post", "put", "patch"}:
                body = operation["requestBody"]["content"]
                assert set(body) == {"application/json"} and "$ref" in body["application/json"]["schema"], path


def test_answers_of_a_real_case_keep_to_their_description(app):
    client, described = api(app), app.openapi()
    place = {"tools": list(tasks.choices(app.state.shop).tools)}
    setup = {"wire": {"wire_class": "er70s-6", "diameter": "0.9 mm"}, "torch_lead": {"length": "4 m", "turns": 1}}
    made = client.post("/api/cases", json={"words": "slips and burns back", "setup": setup, "place": place})
    case = made.json()["id"]
    step = client.get(f"/api/cases/{case}").json()["next_step"]["check"]
    found = {"check": step["check"], "outcome": step["outcomes"][0]["outcome"], "key": "tap"}
    client.post(f"/api/cases/{case}/findings", json=found)
    stuck = {"check": "pull-torch-straight", "readings": ["stuck"]}
    assert client.post(f"/api/cases/{case}/findings", json=stuck).status_code == 200
    for path in (f"/cases/{case}", f"/cases/{case}/line", f"/cases/{case}/pages", "/cases", "/choices", "/learned"):
        answer = client.get(f"/api{path}")
        keeps_to(described, f"/api{path.replace(case, '{case_id}')}", "get", answer.status_code, answer.text)


def test_the_same_key_writes_once_and_a_stale_page_conflicts_with_what_came(app):
    client = api(app)
    case = client.post("/api/cases", json={"words": "burns back", "key": "open-1"}).json()
    assert client.post("/api/cases", json={"words": "burns back", "key": "open-1"}).json()["id"] == case["id"]
    url, last = f"/api/cases/{case['id']}/cannot", len(case["pages"])
    for _ in range(2):
        assert client.post(url, json={"what": "look-hub", "key": "k", "after": last}).status_code == 200
    refused = client.post(url, json={"what": "look-tip-bore", "key": "k2", "after": last})
    assert refused.status_code in {409, 422}
    known = next(key for key, _ in tasks.checks_now(app.state.shop, case["id"]))
    refused = client.post(url, json={"what": known, "key": "k3", "after": last})
    assert refused.status_code == 409 and refused.json()["since"][0]["entry"]["what"] == "look-hub"


def test_force_and_fit_say_the_same_as_the_tasks(app):
    client, path = api(app), parse_setup(SETUP.encode())
    setup = {"wire": {"wire_class": "er70s-6", "diameter": "0.9 mm"}}
    said = client.post("/api/force", json={"setup": setup, "draws": 64, "seed": 3}).json()
    assert said["push_n"]["mid"] == pytest.approx(
        tasks.force(parse_setup(b'[wire]\nwire_class = "er70s-6"\ndiameter = "0.9 mm"'), 64, 3).push_n.mid
    )
    assert client.post("/api/fit", json={"setup": {}}).json() == json.loads(
        json.dumps({"mismatches": [], **{k: list(v) for k, v in _fit().items()}})
    )
    assert path.name == "bay 3"


def _fit():
    from tipward.model import FeedPath

    fit = tasks.fit(FeedPath())
    return {"fitting": fit.fitting, "not_judged": fit.not_judged, "sources": fit.sources}


def test_all_bad_fields_of_a_setup_are_named_at_once(app):
    setup = {"wire": {"diameter": "0.9 kg"}, "liner": {"bore": "-1 mm"}, "nonsense": 1}
    refused = api(app).post("/api/force", json={"setup": setup})
    assert refused.status_code == 422
    where = {problem["where"] for problem in refused.json()["problems"]}
    assert {"wire.diameter", "nonsense"} <= where and any(item.startswith("liner.bore") for item in where)


def test_rigs_and_baselines_by_program(app):
    client = api(app)
    assert client.post("/api/rigs", json={"name": "Bay 3", "setup": {}}).status_code == 201
    assert client.post("/api/rigs", json={"name": "Bay 3", "setup": {}}).status_code == 422
    read = {"readings": {"pull-torch-straight": ["9 N", 11.0]}}
    view = client.post("/api/rigs/bay-3/baselines", json=read).json()
    assert view["baselines"][0]["readings"] == {"pull-torch-straight": 10.0}
    case = client.post("/api/cases", json={"rig": "bay-3", "words": "burns back"}).json()
    assert client.get("/api/rigs/bay-3").json()["cases"][0]["id"] == case["id"]
    assert client.put("/api/rigs/none", json={"name": "x"}).status_code == 404


def test_counts_of_another_shop_come_in_by_the_api_and_go_back_again(app):
    shared = {"format": "tipward counts 1", "cases": 3, "tallies": [], "catalogues": []}
    shared["tallies"] = [{"kind": "odds", "key": "liner-dirty", "found": 2.0, "expected": 1.0, "of": 3.0}]
    client = api(app)
    taken = client.post("/api/lessons", json={"counts": shared})
    assert taken.status_code == 201 and taken.json()["payload"]["cases"] == 3
    assert client.post("/api/lessons", json={"counts": shared}).status_code == 409
    assert client.post(f"/api/lessons/{taken.json()['id']}/reversed", json={}).status_code == 200
    refused = client.post("/api/lessons", json={"counts": {**shared, "cases": 0}})
    assert refused.status_code == 422 and "cases" in {wrong["where"] for wrong in refused.json()["problems"]}
    assert client.get("/api/learn/counts").json()["format"] == shared["format"]
    assert client.post("/api/lessons", json={}).status_code == 422


def test_moving_on_by_program_keeps_the_rates_that_it_leaves_out(app):
    client = api(app)
    said = {"words": "burns back", "place": {"work_per_hour": 75, "standstill_per_hour": 30}}
    case = client.post("/api/cases", json=said).json()
    assert case["pages"][0]["entry"]["place"]["standstill_per_hour"] == 30
    moved = client.post(f"/api/cases/{case['id']}/moves", json={"place": {"at": "counter", "standstill_per_hour": 0}})
    place = moved.json()["pages"][-1]["entry"]["place"]
    assert (place["at"], place["work_per_hour"], place["standstill_per_hour"]) == ("counter", 75, 0)
    for rates in ({"work_per_hour": 0}, {"standstill_per_hour": -1}, {"work_per_hour": 1e9}):
        assert client.post("/api/cases", json={"words": "burns back", "place": rates}).status_code == 422
