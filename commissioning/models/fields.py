"""Columns of our own."""

from typing import Any

from django.db import models
from django.db.backends.base.base import BaseDatabaseWrapper


class PlainJSONField(models.JSONField):
    """A JSON column without the database's own check of its text.

    SQLite before 3.44 counts JSON_VALID as unsafe in a schema that is not trusted, and ours is not
    (`trusted_schema=OFF`). Django writes the text itself, so it is JSON.
    """

    def db_check(self, connection: BaseDatabaseWrapper) -> Any:
        return None
