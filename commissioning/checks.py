"""System checks: what must hold of the database before anything is written to it."""

import sqlite3
from collections.abc import Sequence
from typing import Any

from django.conf import settings
from django.core.checks import CheckMessage, Error, Tags, register
from django.db import connections

from commissioning.database import is_wal_safe

FULL = 2  # as `PRAGMA synchronous` reads back


@register(Tags.security)
def check_sqlite_settings(app_configs: Any, **kwargs: Any) -> list[CheckMessage]:
    """Refuse SQLite settings under which an acknowledged reading could be lost or a writer turned away."""
    messages: list[CheckMessage] = []
    for alias, database in settings.DATABASES.items():
        if database["ENGINE"].endswith("sqlite3"):
            messages += faults_of_settings(alias, database.get("OPTIONS", {}))
    return messages


def faults_of_settings(alias: str, options: dict[str, Any]) -> list[CheckMessage]:
    faults: list[CheckMessage] = []
    if options.get("transaction_mode") != "IMMEDIATE":
        faults.append(Error(f"{alias}: transaction_mode must be IMMEDIATE", id="commissioning.E001"))
    if options.get("timeout", 5) < 20:
        faults.append(Error(f"{alias}: timeout must be 20 seconds or more", id="commissioning.E002"))
    return faults


@register(Tags.database)
def check_sqlite_connection(
    app_configs: Any, databases: Sequence[str] | None = None, **kwargs: Any
) -> list[CheckMessage]:
    """Read back from a live connection what its settings ask for."""
    messages: list[CheckMessage] = []
    for alias in databases or ():
        if connections[alias].vendor == "sqlite":
            messages += faults_of_connection(alias)
    return messages


def faults_of_connection(alias: str) -> list[CheckMessage]:
    faults: list[CheckMessage] = []
    if pragma(alias, "synchronous") != FULL:
        faults.append(Error(f"{alias}: synchronous must be FULL", id="commissioning.E003"))
    switches = {"foreign_keys": 1, "trusted_schema": 0, "recursive_triggers": 1}
    wrong = [name for name, value in switches.items() if pragma(alias, name) != value]
    if wrong:
        faults.append(Error(f"{alias}: PRAGMA {', '.join(wrong)} is not as decided", id="commissioning.E004"))
    version = sqlite3.sqlite_version_info[:3]
    if pragma(alias, "journal_mode") == "wal" and not is_wal_safe(version):
        faults.append(
            Error(
                f"{alias}: SQLite {sqlite3.sqlite_version} can lose a commit in WAL mode",
                hint="Use journal_mode=DELETE, or SQLite 3.51.3 or later.",
                id="commissioning.E005",
            )
        )
    return faults


def pragma(alias: str, name: str) -> Any:
    with connections[alias].cursor() as cursor:
        cursor.execute(f"PRAGMA {name}")
        return cursor.fetchone()[0]


@register(Tags.database)
def check_postgresql_connection(
    app_configs: Any, databases: Sequence[str] | None = None, **kwargs: Any
) -> list[CheckMessage]:
    """Read back that PostgreSQL has each commit on the disk before it is acknowledged."""
    messages: list[CheckMessage] = []
    for alias in databases or ():
        if connections[alias].vendor == "postgresql":
            messages += faults_of_postgresql(alias)
    return messages


def faults_of_postgresql(alias: str) -> list[CheckMessage]:
    with connections[alias].cursor() as cursor:
        shown = {}
        for name in ("synchronous_commit", "fsync", "full_page_writes"):
            cursor.execute(f"SHOW {name}")
            shown[name] = cursor.fetchone()[0]
    wrong = [f"{name} = {value}" for name, value in shown.items() if value in ("off", "local")]
    if not wrong:
        return []
    return [Error(f"{alias}: {', '.join(wrong)}: an acknowledged reading could be lost", id="commissioning.E006")]
