"""The office's seal: make it, take the root's key to a stick, renew the leaf."""

from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from commissioning.handover import seal_keys


class Command(BaseCommand):
    help = (
        "Make the office's seal if there is none, and say its fingerprint. "
        "SEAL_PASSWORD in the environment closes the leaf that seals day by day."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        one = parser.add_mutually_exclusive_group()
        one.add_argument("--root-to", type=Path, metavar="FOLDER", help="move the root's key to a stick")
        one.add_argument(
            "--renew", type=Path, metavar="KEY", nargs="?", const=Path(),
            help="make a new leaf with the root's key: from this file, or where it lies here",
        )  # fmt: skip

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            seal_keys.ensure()
            if options["root_to"] is not None:
                self.stdout.write(f"The root's key is now in {seal_keys.take_root_out(options['root_to'])} alone.")
                self.stdout.write("Keep two copies, apart. It is needed to renew the leaf every three years.")
            elif options["renew"] is not None:
                here = seal_keys.folder() / seal_keys.ROOT_KEY
                seal_keys.renew(here if options["renew"] == Path() else options["renew"])
                self.stdout.write("A new leaf is in place. Sheets sealed before stay valid.")
            seal = seal_keys.load()
        except (seal_keys.SealError, OSError) as problem:
            raise CommandError(str(problem)) from problem
        self.stdout.write(f"root, SHA-256: {seal_keys.fingerprint(seal.root)}")
        self.stdout.write(f"root holds until {seal.root.not_valid_after_utc:%Y-%m-%d}, ", ending="")
        self.stdout.write(f"leaf until {seal.leaf.not_valid_after_utc:%Y-%m-%d}")
        if (seal_keys.folder() / seal_keys.ROOT_KEY).exists():
            self.stdout.write("The root's key lies on this machine: take it out with --root-to FOLDER.")
