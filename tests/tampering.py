"""Past the append-only triggers, as whoever owns the database could go: for tests that tamper, and for emptying."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from django.db import connection as the_connection


@contextmanager
def without_triggers(connection: Any = the_connection) -> Iterator[Any]:
    """Give a cursor whose statements no trigger refuses; afterwards the triggers are as they were."""
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute("SET session_replication_role = replica")
            yield cursor
            cursor.execute("SET session_replication_role = origin")
            return
        cursor.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'")
        triggers = cursor.fetchall()
        for name, _ in triggers:
            cursor.execute(f'DROP TRIGGER "{name}"')
        yield cursor
        for _, sql in triggers:
            cursor.execute(sql)


def guarded(cursor: Any, vendor: str) -> set[tuple[str, str]]:
    """Return (table, action) of every trigger there is."""
    if vendor == "postgresql":
        cursor.execute("SELECT event_object_table, event_manipulation FROM information_schema.triggers")
        return set(cursor.fetchall())
    cursor.execute("SELECT tbl_name, sql FROM sqlite_master WHERE type = 'trigger'")
    return {(table, action) for table, sql in cursor.fetchall() for action in ("UPDATE", "DELETE") if action in sql}
