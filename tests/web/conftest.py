"""The pages and the API as a client sees them; the real server and a real browser where there is one."""

from collections.abc import Iterator

import pytest
from starlette.testclient import TestClient
from web_visits import CHROMIUM, HERE, PASSWORD, SETUP, Running, Visit, Watched, hashed_password, open_case

from tipward import tasks
from tipward.model import parse_setup
from tipward.web import create_app


@pytest.fixture
def shop(tmp_path):
    return tasks.open_shop(tmp_path / "book.db")


@pytest.fixture
def path():
    return parse_setup(SETUP.encode())


@pytest.fixture
def case(shop, path):
    return open_case(shop, path)


@pytest.fixture
def visit(shop):
    with TestClient(create_app(shop), base_url=HERE) as client:
        yield Visit(client)


@pytest.fixture
def accounts(shop):
    hashed = hashed_password()
    for role in ("owner", "technician", "reader"):
        tasks.add_account(shop, role, hashed, role)
    return shop


@pytest.fixture
def lan(accounts):
    """Somebody from the network, by role; None for nobody signed in."""
    app = create_app(accounts, lan=True)
    made = []

    def sign_in(role=None):
        client = TestClient(app, base_url=HERE)
        made.append(client)
        visit = Visit(client)
        visit.get("/sign-in")
        if role:
            answer = visit.post("/sign-in", {"name": role, "password": PASSWORD})
            assert answer.status_code == 200, answer.text
            visit.get("/cases/new" if role != "reader" else "/")
        return visit

    yield sign_in
    for client in made:
        client.close()


@pytest.fixture
def running(shop) -> Iterator[Running]:
    server = Running(shop).start()
    yield server
    server.stop()


@pytest.fixture(scope="session")
def browser():
    if CHROMIUM is None:
        pytest.skip("no chromium: the pages were NOT tested in a browser (apt-get install chromium)")
    sync = pytest.importorskip("playwright.sync_api", reason="no playwright: the pages were NOT tested in a browser")
    with sync.sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        yield opened
        opened.close()


@pytest.fixture
def phone(browser, running):
    made = []

    def open_phone(**more):
        watched = Watched(browser, running.url, **more)
        made.append(watched)
        return watched

    yield open_phone
    for watched in made:
        watched.close()
