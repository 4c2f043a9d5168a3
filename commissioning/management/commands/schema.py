"""The JSON Schema of the as-built file or of an exported site's record."""

import json
from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand

from commissioning.open_record import AS_BUILT_SCHEMA, SITE_RECORD_SCHEMA

SCHEMAS = {"as-built": AS_BUILT_SCHEMA, "site-record": SITE_RECORD_SCHEMA}


class Command(BaseCommand):
    help = "Print the JSON Schema of one of the open formats."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("format", choices=sorted(SCHEMAS))

    def handle(self, *args: Any, **options: Any) -> None:
        self.stdout.write(json.dumps(SCHEMAS[options["format"]], ensure_ascii=False, indent=1))
