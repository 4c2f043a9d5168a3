"""Rows that are written once: the model, its QuerySet, and the database's own triggers.

A mistake in evidence gets a new row that supersedes the old one; the old one stays as it was. The model and the
QuerySet refuse with words; the triggers refuse whatever goes around them. They guard against honest mistakes:
whoever owns the file can drop a trigger, and then `manage.py verify` finds what was changed.
"""

from typing import Any, NoReturn, TypeVar

from django.db import migrations, models
from django.db.backends.base.schema import BaseDatabaseSchemaEditor

Row = TypeVar("Row", bound=models.Model, covariant=True)

# One trigger an action, by database. `name` and `table` come from our own migrations, never from outside.
TRIGGER = {
    "sqlite": (
        "CREATE TRIGGER IF NOT EXISTS {name} BEFORE {action} ON {table} "
        "BEGIN SELECT RAISE(ABORT, '{table} is append-only'); END"
    ),
    "postgresql": (
        "CREATE OR REPLACE TRIGGER {name} BEFORE {action} ON {table} "
        "FOR EACH STATEMENT EXECUTE FUNCTION commissioning_append_only()"
    ),
}
ACTIONS = {"sqlite": ("UPDATE", "DELETE"), "postgresql": ("UPDATE", "DELETE", "TRUNCATE")}
# What PostgreSQL's triggers call. Class 23 of its error codes: the same exception as a broken constraint's.
REFUSAL = (
    "CREATE OR REPLACE FUNCTION commissioning_append_only() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN "
    "RAISE EXCEPTION USING MESSAGE = TG_TABLE_NAME || ' is append-only', ERRCODE = '23000'; END $$"
)


class AppendOnlyError(RuntimeError):
    """Somebody tried to change or delete a row that is kept as it was written."""


class AppendOnlyQuerySet(models.QuerySet[Row]):
    def update(self, **kwargs: Any) -> NoReturn:
        raise AppendOnlyError(f"{self.model.__name__} is append-only: add a row, do not change one")

    def bulk_update(self, *args: Any, **kwargs: Any) -> NoReturn:
        raise AppendOnlyError(f"{self.model.__name__} is append-only: add a row, do not change one")

    def delete(self) -> NoReturn:
        raise AppendOnlyError(f"{self.model.__name__} is append-only: nothing is deleted")


class AppendOnlyManager(models.Manager[Row]):
    def get_queryset(self) -> AppendOnlyQuerySet[Row]:
        return AppendOnlyQuerySet(self.model, using=self._db)


class AppendOnlyModel(models.Model):
    """A row that can be inserted, and that is all. Its migration also needs `forbid_edit(table)`."""

    objects = AppendOnlyManager()

    class Meta:
        abstract = True

    def save(self, **kwargs: Any) -> None:
        if not self._state.adding:
            raise AppendOnlyError(f"{type(self).__name__} is append-only: add a row, do not change one")
        super().save(**{**kwargs, "force_insert": True})

    def delete(self, *args: Any, **kwargs: Any) -> NoReturn:
        raise AppendOnlyError(f"{type(self).__name__} is append-only: nothing is deleted")


def forbid_edit(table: str) -> migrations.RunPython:
    """Return the operation that makes the database refuse UPDATE and DELETE on a table, PostgreSQL TRUNCATE too.

    On SQLite a later change of the table rebuilds it and drops its triggers without a word:
    that migration must end with this operation again.
    """

    def forbid(apps: Any, schema_editor: BaseDatabaseSchemaEditor) -> None:
        vendor = schema_editor.connection.vendor
        if vendor == "postgresql":
            schema_editor.execute(REFUSAL)
        for action in ACTIONS[vendor]:
            template = TRIGGER[vendor]
            schema_editor.execute(template.format(name=trigger_name(table, action), table=table, action=action))

    def allow(apps: Any, schema_editor: BaseDatabaseSchemaEditor) -> None:
        vendor = schema_editor.connection.vendor
        of_table = f" ON {table}" if vendor == "postgresql" else ""
        for action in ACTIONS[vendor]:
            schema_editor.execute(f"DROP TRIGGER IF EXISTS {trigger_name(table, action)}{of_table}")

    return migrations.RunPython(forbid, allow)


def trigger_name(table: str, action: str) -> str:
    return f"{table}_no_{action.lower()}"
