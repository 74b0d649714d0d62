"""Transactions on one database: reading sees one moment, writing is durable before it returns."""

import threading
from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager, nullcontext

from sqlalchemy import Connection, Engine

from tipward.records.refusals import refused_plainly

# SQLite: a transaction that means to write takes the write lock at its start; taking it later can fail at once.
WRITES = "tipward_writes"


class Store:
    """One database with a name for messages."""

    def __init__(self, engine: Engine, name: str) -> None:
        self.name = name
        self._reader = engine
        self._writer = engine.execution_options(**{WRITES: True})
        # Threads of one process take turns here: SQLite polls for its lock and gives up, however short each turn is.
        self._turn: AbstractContextManager[object] = (
            threading.Lock() if engine.dialect.name == "sqlite" else nullcontext()
        )

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """One transaction that only reads."""
        with refused_plainly(self.name), self._reader.begin() as connection:
            yield connection

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """One transaction that writes: committed when the block ends, undone when it raises."""
        with self._turn, refused_plainly(self.name), self._writer.begin() as connection:
            yield connection

    def close(self) -> None:
        """Let go of all connections."""
        self._reader.dispose()
