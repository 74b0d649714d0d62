"""Who may come in and what is refused: attacks on the doorway, the forms, the sign-in and the roles."""

import re

import pytest
from starlette.testclient import TestClient
from web_visits import HERE, PASSWORD, SETUP, Visit, hashed_password, open_case

from tipward import tasks
from tipward.foundation import InputError
from tipward.web import create_app
from tipward.web.accounts import MOST_BY_NAME

EVIL = "http://evil.example"
SCRIPT = "<script>alert(1)</script>\"'><img src=x onerror=alert(1)>"


def test_lan_without_an_account_refuses_and_says_what_to_do(shop):
    with pytest.raises(InputError, match="make the first one with: tipward serve --add-account NAME"):
        create_app(shop, lan=True)


def test_lan_needs_an_owner_who_may_still_sign_in(accounts):
    tasks.add_account(accounts, "second", hashed_password(), "owner")
    tasks.change_account(accounts, "owner", revoked=True)
    create_app(accounts, lan=True)
    with pytest.raises(InputError, match="last owner"):
        tasks.change_account(accounts, "second", revoked=True)


@pytest.mark.parametrize("url", ["/", "/static/tipward.css", "/alive", "/nowhere", "/api/cases", "/api/nowhere"])
def test_every_answer_carries_the_security_headers(visit, url):
    headers = visit.get(url).headers
    policy = headers["content-security-policy"]
    assert "default-src 'none'" in policy and "unsafe" not in policy and "frame-ancestors 'none'" in policy
    assert headers["x-content-type-options"] == "nosniff" and headers["x-frame-options"] == "DENY"


def test_no_page_has_inline_script_or_style(visit, case):
    for url in ("/", "/cases/new", f"/cases/{case.id}", f"/cases/{case.id}/proof", "/rigs", "/rigs/new", "/learned"):
        page = visit.get(url).text
        assert not re.search(r"<script(?![^>]* src=)|<style| style=| on[a-z]+=|javascript:", page), url


def test_pages_are_not_kept_by_caches_and_the_cookie_is_shut_to_scripts_and_other_sites(visit):
    answer = visit.get("/")
    assert answer.headers["cache-control"] == "no-store"
    cookie = answer.headers["set-cookie"]
    assert "HttpOnly" in cookie and "SameSite=Strict" in cookie


@pytest.mark.parametrize("host", ["evil.example", "localhost.evil.example", "192.168.1.5", "", "[::2]"])
def test_another_host_name_is_refused_against_rebinding(visit, host):
    assert visit.client.get("/", headers={"host": host}).status_code == 400


@pytest.mark.parametrize("host", ["localhost:8077", "127.0.0.1", "[::1]:80", "LOCALHOST"])
def test_own_host_names_are_served(visit, host):
    assert visit.client.get("/", headers={"host": host}).status_code == 200


def test_on_the_lan_an_address_is_ours_and_a_foreign_name_is_not(lan):
    client = lan().client
    assert client.get("/sign-in", headers={"host": "192.168.1.5:8077"}).status_code == 200
    assert client.get("/sign-in", headers={"host": "evil.example"}).status_code == 400


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": EVIL},
        {"origin": "null"},
        {"origin": HERE + ":81"},
        {"origin": "https://localhost"},
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
        {},
    ],
)
def test_a_form_from_elsewhere_writes_nothing(visit, shop, headers):
    visit.get("/cases/new")
    answer = visit.post("/cases", {"words": "burns back"}, headers=headers)
    assert answer.status_code == 403 and tasks.list_cases(shop) == ()


@pytest.mark.parametrize("token", ["", "guess", "0" * 64])
def test_a_form_without_our_token_writes_nothing_but_can_be_sent_again(visit, shop, token):
    visit.get("/cases/new")
    answer = visit.post("/cases", {"words": "burns back", "token": token})
    assert answer.status_code == 403 and tasks.list_cases(shop) == ()
    visit.page = answer.text
    assert visit.hidden("words") == "burns back"
    assert visit.post("/cases", {"words": visit.hidden("words")}).status_code == 200
    assert len(tasks.list_cases(shop)) == 1


def test_the_token_of_another_visitor_is_worth_nothing(visit, shop):
    other = Visit(TestClient(visit.client.app, base_url=HERE))
    other.get("/cases/new")
    visit.get("/cases/new")
    answer = visit.post("/cases", {"words": "burns back", "token": other.hidden("token")})
    assert answer.status_code == 403 and tasks.list_cases(shop) == ()


def test_the_api_refuses_other_sites_and_forms(visit, shop):
    said = {"words": "burns back"}
    assert visit.client.post("/api/cases", json=said, headers={"origin": EVIL}).status_code == 403
    assert visit.client.post("/api/cases", data=said).status_code == 422
    assert visit.client.post("/api/cases", content='{"words": "x"}').status_code == 422
    plain = {"content-type": "text/plain"}
    assert visit.client.post("/api/cases", content='{"words": "x"}', headers=plain).status_code == 422
    assert tasks.list_cases(shop) == ()


def test_nobody_signed_in_is_led_to_the_sign_in_and_writes_nothing(lan, accounts):
    visit = lan()
    answer = visit.get("/rigs", follow_redirects=False)
    assert answer.status_code == 303 and answer.headers["location"] == "/sign-in?to=/rigs"
    visit.get("/sign-in")
    assert visit.post("/cases", {"words": "burns back"}).status_code == 401
    assert visit.client.get("/api/cases").status_code == 401
    assert tasks.list_cases(accounts) == ()


def test_sign_in_changes_the_cookie_and_sign_out_ends_the_session(lan):
    visit = lan()
    visit.get("/sign-in")
    before = visit.client.cookies["tipward"]
    visit.post("/sign-in", {"name": "Technician ", "password": PASSWORD})
    during = visit.client.cookies["tipward"]
    assert before != during
    visit.get("/cases/new")
    visit.post("/sign-out", {})
    stolen = {"cookie": f"tipward={during}"}
    visit.client.cookies.clear()
    assert visit.client.get("/rigs", headers=stolen, follow_redirects=False).status_code == 303


@pytest.mark.parametrize(
    "to", ["//evil.example", "https://evil.example", "/\\evil.example", "javascript:alert(1)", "/a\nb"]
)
def test_after_signing_in_nobody_is_sent_elsewhere(lan, to):
    visit = lan()
    visit.get("/sign-in")
    answer = visit.post("/sign-in", {"name": "reader", "password": PASSWORD, "to": to}, follow_redirects=False)
    assert answer.status_code == 303 and answer.headers["location"] == "/"


def test_guessing_is_slowed_and_a_wrong_name_reads_as_a_wrong_password(lan):
    visit = lan()
    visit.get("/sign-in")
    for name in ("nobody", "owner"):
        page = visit.post("/sign-in", {"name": name, "password": "guess"})
        assert page.status_code == 401 and "Name or password is wrong" in page.text
    for _ in range(MOST_BY_NAME - 1):
        visit.post("/sign-in", {"name": "owner", "password": "guess"})
    answer = visit.post("/sign-in", {"name": "owner", "password": PASSWORD})
    assert answer.status_code == 429 and int(answer.headers["retry-after"]) > 60
    said = {"name": "owner", "password": PASSWORD}
    assert visit.client.post("/api/sign-in", json=said).status_code == 429


TECHNICIAN_ONLY = [
    ("/cases", {"words": "burns back"}),
    ("/cases/{case}/finding", {"check": "look-tip", "outcome": "x"}),
    ("/cases/{case}/cannot", {"what": "look-tip"}),
    ("/cases/{case}/back", {"sequence": "2"}),
    ("/cases/{case}/repair", {"action": "new-tip"}),
    ("/cases/{case}/move", {"at": "phone"}),
    ("/cases/{case}/proof", {"read:x": "1"}),
    ("/cases/{case}/close", {}),
    ("/rigs", {"name": "Bay 9"}),
    ("/rigs/bay-9", {"name": "Bay 9"}),
    ("/rigs/bay-9/baseline", {"read:x": "1"}),
    ("/rigs/bay-9/wire", {"wire_class": "er5356", "diameter": "1.2 mm"}),
]


def test_the_list_above_holds_every_page_that_writes(shop):
    app = create_app(shop)
    from starlette.routing import Match

    def known(path, method):
        scope = {"type": "http", "path": path, "method": method, "headers": [], "query_string": b"", "root_path": ""}
        return any(route.matches(dict(scope))[0] is Match.FULL for route in app.routes)

    assert all(known(url.format(case="aaaa-bbbb"), "POST") for url, _ in TECHNICIAN_ONLY)


@pytest.mark.parametrize(("url", "data"), TECHNICIAN_ONLY)
def test_a_reader_writes_nothing_by_url(lan, accounts, path, url, data):
    case = open_case(accounts, path)
    visit = lan("reader")
    answer = visit.post(url.format(case=case.id), data)
    assert answer.status_code == 403
    assert tasks.read_case(accounts, case.id) == case and len(tasks.list_cases(accounts)) == 1


def test_a_reader_sees_no_form_that_writes(lan, accounts, path):
    case = open_case(accounts, path)
    visit = lan("reader")
    for url in ("/", f"/cases/{case.id}", f"/cases/{case.id}/proof", "/rigs"):
        actions = set(re.findall(r'method="post" action="([^"]*)"', visit.get(url).text))
        assert actions == {"/preferences", "/sign-out"}, url


@pytest.mark.parametrize("role", ["reader", "technician"])
def test_people_are_for_the_owner(lan, accounts, role):
    visit = lan(role)
    assert visit.get("/people").status_code == 403
    visit.get("/")
    new = {"name": "mallory", "password": PASSWORD, "role": "owner"}
    assert visit.post("/people", new).status_code == 403
    assert visit.post(f"/people/{role}", {"role": "owner"}).status_code == 403
    assert tasks.find_account(accounts, "mallory") is None
    assert tasks.find_account(accounts, role).role == role


def test_a_role_and_a_revocation_hold_at_once(lan, accounts):
    visit = lan("technician")
    tasks.change_account(accounts, "technician", role="reader")
    assert visit.post("/cases", {"words": "burns back"}).status_code == 403
    tasks.change_account(accounts, "technician", revoked=True)
    assert visit.get("/", follow_redirects=False).status_code == 303


def test_the_owner_makes_and_changes_people_but_never_the_last_owner(lan, accounts):
    visit = lan("owner")
    visit.get("/people")
    assert visit.post("/people", {"name": "Sam", "password": "short", "role": "reader"}).status_code == 422
    assert visit.post("/people", {"name": "Sam", "password": PASSWORD, "role": "reader"}).status_code == 200
    assert visit.post("/people", {"name": "sam", "password": PASSWORD, "role": "reader"}).status_code == 409
    assert visit.post("/people", {"name": "Eve", "password": PASSWORD, "role": "king"}).status_code == 422
    assert visit.post("/people/sam", {"role": "technician"}).status_code == 200
    assert visit.post("/people/owner", {"role": "reader"}).status_code == 422
    assert tasks.find_account(accounts, "sam").role == "technician"
    assert "argon2" not in visit.get("/people").text


def test_the_api_asks_for_a_token_and_keeps_to_roles(lan):
    client = lan().client
    tokens = {
        role: client.post("/api/sign-in", json={"name": role, "password": PASSWORD}).json()["token"]
        for role in ("owner", "technician", "reader")
    }
    client.cookies.clear()
    bearer = {role: {"authorization": f"Bearer {token}"} for role, token in tokens.items()}
    assert client.get("/api/cases", headers=bearer["reader"]).status_code == 200
    assert client.post("/api/fit", json={"setup": {}}, headers=bearer["reader"]).status_code == 200
    assert client.post("/api/cases", json={"words": "x"}, headers=bearer["reader"]).status_code == 403
    made = client.post("/api/cases", json={"words": "burns back"}, headers=bearer["technician"])
    assert made.status_code == 201 and made.json()["pages"][0]["author"] == "technician"
    assert client.get("/api/people", headers=bearer["technician"]).status_code == 403
    people = client.get("/api/people", headers=bearer["owner"])
    assert people.status_code == 200 and "argon2" not in people.text
    assert client.get("/api/cases", headers={"authorization": "Bearer guess"}).status_code == 401
    assert client.get("/api/cases", headers={"cookie": f"tipward={tokens['reader']}"}).status_code == 401


def test_script_in_every_text_field_is_shown_as_text(visit, shop):
    visit.get("/rigs/new")
    setup = SETUP.replace('"bay 3"', '"<script>alert(1)</script>"')
    visit.post("/rigs", {"how": "text", "name": SCRIPT, "customer": SCRIPT, "setup": setup})
    rig = tasks.list_rigs(shop)[0].id
    visit.get("/cases/new")
    answer = visit.post("/cases", {"words": SCRIPT + " burns back", "customer": SCRIPT, "rig": rig, "at": "machine"})
    case = tasks.list_cases(shop)[0].id
    visit.page = answer.text
    visit.post(f"/cases/{case}/cannot", {"what": "look-hub", "why": SCRIPT})
    for url in ("/", f"/cases/{case}", f"/cases/{case}/proof", "/rigs", f"/rigs/{rig}", f"/rigs/{rig}/edit"):
        page = visit.get(url).text
        assert "<script>alert" not in page and "<img src=x" not in page, url
    assert visit.get(f"/cases/{case}/card.pdf").content[:5] == b"%PDF-"


def test_too_large_and_broken_bodies_are_refused_plainly(visit):
    visit.get("/cases/new")
    assert visit.post("/cases", {"words": "x" * 2_000_000}).status_code == 413
    assert visit.post("/cases", {"words": "x" * 2000}).status_code == 422
    fields = {f"field-{number}": "x" for number in range(900)}
    assert visit.post("/cases", fields).status_code == 400
    broken = {"origin": HERE, "content-type": "multipart/form-data; boundary=x"}
    assert visit.client.post("/cases", content=b"--y\r\nrubbish", headers=broken).status_code in {400, 403}
    assert visit.client.post("/api/fit", json={"setup": {"name": "x" * 2_000_000}}).status_code == 413
    lone = {"content-type": "application/json"}
    answer = visit.client.post("/api/fit", content=b'{"setup": {"\\ud800": "\\ud800"}}', headers=lone)
    assert answer.status_code == 422


@pytest.mark.parametrize(
    "url", ["/static/../app.py", "/static/%2e%2e/app.py", "/static/..%2fapp.py", "/static//etc/passwd"]
)
def test_static_files_stay_in_their_folder(visit, url):
    assert visit.client.get(url).status_code == 404


def test_a_page_that_is_sent_after_signing_out_keeps_what_was_written(lan):
    visit = lan("technician")
    old = visit.page
    visit.post("/sign-out", {})
    visit.get("/sign-in")
    visit.post("/sign-in", {"name": "technician", "password": PASSWORD})
    visit.page = old
    answer = visit.post("/cases", {"words": "the wire burns back"})
    assert answer.status_code == 403 and 'value="the wire burns back"' in answer.text


def test_passwords_are_kept_as_argon2(accounts):
    assert all(one.password_hash.startswith("$argon2id$") for one in tasks.list_accounts(accounts))
