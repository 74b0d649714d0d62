"""A fresh casebook for each test, once on SQLite and once on a real PostgreSQL."""

import warnings
from collections.abc import Iterator
from pathlib import Path

import own_server
import pytest

from tipward.records import Casebook, open_casebook


@pytest.fixture(scope="session")
def server() -> Iterator[own_server.OwnServer]:
    why = own_server.missing()
    if why:
        warnings.warn(why, stacklevel=1)
        pytest.skip(why)
    with own_server.OwnServer(durable=False) as running:
        yield running


@pytest.fixture(scope="session")
def template(server: own_server.OwnServer) -> str:
    """A database of the newest schema, to be copied for each test."""
    name = server.new_database()
    open_casebook(server.url(name)).close()
    return name


@pytest.fixture(params=["sqlite", "postgresql"])
def blank(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """Where a casebook may be made: nothing is there yet."""
    if request.param == "sqlite":
        yield str(tmp_path / "casebook.sqlite")
        return
    running = request.getfixturevalue("server")
    name = running.new_database()
    yield running.url(name)
    running.drop(name)


@pytest.fixture(params=["sqlite", "postgresql"])
def place(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """Where an empty casebook of the newest schema is."""
    if request.param == "sqlite":
        file = str(tmp_path / "casebook.sqlite")
        open_casebook(file).close()
        yield file
        return
    running = request.getfixturevalue("server")
    name = running.new_database(request.getfixturevalue("template"))
    yield running.url(name)
    running.drop(name)


@pytest.fixture
def casebook(place: str) -> Iterator[Casebook]:
    with open_casebook(place) as opened:
        yield opened
