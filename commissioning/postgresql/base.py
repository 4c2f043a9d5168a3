"""Django's PostgreSQL backend, where every transaction waits for its turn.

A chain has one next place, and a daily head covers all chains: two writers at once would both take it, and one of
them fail. SQLite's IMMEDIATE gives the write lock when a transaction begins; here an advisory lock does the same, so
that what is read inside a transaction still holds when it writes. Reading outside a transaction waits for nobody.
"""

from typing import Any

from django.db.backends.postgresql import base

WRITERS_TURN = int.from_bytes(b"logbook", "big")  # a number that nothing else in this database locks


class DatabaseWrapper(base.DatabaseWrapper):
    """A connection that takes its turn when a transaction begins."""

    def set_autocommit(self, autocommit: bool, force_begin_transaction_with_broken_autocommit: bool = False) -> None:
        super().set_autocommit(autocommit, force_begin_transaction_with_broken_autocommit)
        if not autocommit:
            self._take_turn()

    def _take_turn(self) -> None:
        try:
            with self.cursor() as cursor:
                cursor.execute("SELECT pg_advisory_xact_lock(%s)", [WRITERS_TURN])
        except BaseException:
            connection: Any = self.connection
            connection.rollback()  # the connection stays fit for use
            super().set_autocommit(True)
            raise
