"""A PostgreSQL server of our own: in a temporary folder, on a unix socket only, gone when it is closed."""

import os
import shutil
import subprocess
import tempfile
from itertools import count
from pathlib import Path
from types import TracebackType
from typing import Self

import psycopg

PLACES = tuple(sorted(Path("/usr/lib/postgresql").glob("*/bin"), reverse=True))


def missing() -> str:
    """Why no server can be started here; "" where one can."""
    if not PLACES and not shutil.which("initdb"):
        return "no PostgreSQL server here (apt-get install postgresql): nothing of records was tried on PostgreSQL"
    return ""


class OwnServer:
    """Start a server; root hands it to the user postgres, since it refuses to run as root."""

    def __init__(self, *, durable: bool) -> None:
        self._folder = Path(tempfile.mkdtemp(prefix="tipward-pg-"))
        self._numbers = count(1)
        self._programs = PLACES[0] if PLACES else Path(str(shutil.which("initdb"))).parent
        self._as = {"user": "postgres", "group": "postgres"} if os.geteuid() == 0 else {}
        if self._as:
            shutil.chown(self._folder, "postgres", "postgres")
        self._run(
            "initdb", "--pgdata", self._data, "--username=tipward", "--auth=trust", "--encoding=UTF8", "--no-sync"
        )
        options = f"-c listen_addresses='' -c unix_socket_directories='{self._folder}'"
        if not durable:  # these tests kill clients, never the server, so the server need not wait for its disk
            options += " -c fsync=off -c full_page_writes=off"
        self._run("pg_ctl", "--pgdata", self._data, "--log", self._folder / "log", "-w", "-o", options, "start")

    @property
    def _data(self) -> Path:
        return self._folder / "data"

    def _run(self, program: str, *arguments: object) -> None:
        command = [str(self._programs / program), *map(str, arguments)]
        subprocess.run(command, check=True, cwd=self._folder, stdout=subprocess.DEVNULL, timeout=60, **self._as)

    def url(self, database: str) -> str:
        """The URL of one database."""
        return f"postgresql://tipward@/{database}?host={self._folder}"

    def new_database(self, template: str = "template1") -> str:
        """Make a database and return its name."""
        name = f"casebook_{next(self._numbers)}"
        self._order(f"CREATE DATABASE {name} TEMPLATE {template}")
        return name

    def drop(self, database: str) -> None:
        """Remove a database, whoever still looks at it."""
        self._order(f"DROP DATABASE {database} WITH (FORCE)")

    def _order(self, statement: str) -> None:
        with psycopg.connect(self.url("postgres"), autocommit=True) as connection:
            connection.execute(statement)

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, problem: BaseException | None, where: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Stop the server and remove its folder."""
        self._run("pg_ctl", "--pgdata", self._data, "-m", "immediate", "stop")
        shutil.rmtree(self._folder, ignore_errors=True)
