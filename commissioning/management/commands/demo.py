"""The logbook with a demo database of its own: made on the first start, kept on every later one."""

import importlib
import importlib.util
import secrets
import shutil
import socket
import sqlite3
from contextlib import closing, suppress
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import connection, transaction

from commissioning.models import Role, User
from commissioning.serving import serve

# Kept in the database file's own header, so that a copied or renamed file still says what it is.
DEMO_MARK = int.from_bytes(b"demo")  # PRAGMA application_id
SEEDED = 1  # PRAGMA user_version

OWNER_LINK = "demo_owner_link"
PEOPLE = (("technician", "T. Marsh", Role.TECHNICIAN), ("office", "M. Quill", Role.OFFICE))

LAN_NOTE = """
A phone on this network can open {address}
  It can: read every page, fill every form, take a photo through the file button.
  It cannot, because a browser allows these only over HTTPS that it trusts: work without signal (nothing is kept on
  the phone, stay in range), be put on the home screen as an app, open the camera inside the page, copy by button.
  Whoever shares the network can read along, passwords too. Use invented data.
  For all of it: a name of your own, a certificate for that name which the phone trusts, and a proxy that ends HTTPS
  before the logbook; then start the logbook itself with HTTPS=1 BEHIND_PROXY=1 ALLOWED_HOSTS=that.name.
"""


class Command(BaseCommand):
    help = "Make a demo database if there is none, and serve the logbook with it."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--port", type=int, default=8000)
        parser.add_argument("--lan", action="store_true", help="let phones on this network in; says what they can do")
        parser.add_argument("--fresh", action="store_true", help="throw the demo data away and start over")
        parser.add_argument("--no-serve", action="store_true", help="make the demo data and end")

    def handle(self, *args: Any, **options: Any) -> None:
        if not settings.DEMO:
            raise CommandError("Start the demo by `python3 manage.py demo`: it sets DEMO=1 for a database of its own.")
        host = "0.0.0.0" if options["lan"] else "127.0.0.1"  # noqa: S104  # only where --lan asks for it
        if not options["no_serve"]:
            refuse_taken_port(host, options["port"])
        file = Path(settings.DATABASES["default"]["NAME"])
        refuse_foreign_database(file)
        if options["fresh"]:
            self.say(f"throwing away {shown(file)} and its photos")
            throw_away(file)
        self.prepare(file)
        password = kept_password(settings.DATA_DIR / "demo_password")
        self.make_people(password)
        self.seed()
        self.say_how(host, options["port"], password)
        self.say_owner(options["port"])
        if not options["no_serve"]:
            serve(host, options["port"], ready=lambda: self.say("serving; Ctrl-C ends it"))

    def say(self, text: str) -> None:
        self.stdout.write(f"[demo] {text}")
        self.stdout.flush()

    def prepare(self, file: Path) -> None:
        """Bring the database up to date, check it as it is, and make the folders that serving expects."""
        self.say(f"{'opening' if file.exists() else 'making'} {shown(file)}")
        set_pragma("application_id", DEMO_MARK)
        call_command("migrate", verbosity=0, interactive=False)
        self.check(databases=["default"])
        settings.STATIC_ROOT.mkdir(exist_ok=True)

    def make_people(self, password: str) -> None:
        for username, name, role in PEOPLE:
            user, _ = User.objects.get_or_create(username=username, defaults={"display_name": name, "role": role})
            if not user.check_password(password):
                user.set_password(password)
                user.save(update_fields=["password"])

    def seed(self) -> None:
        """Fill a new database, all of it or nothing; what people entered later is never touched."""
        if pragma("user_version") >= SEEDED or importlib.util.find_spec("commissioning.demo") is None:
            return
        self.say("writing the demo sites")
        with transaction.atomic():
            token = importlib.import_module("commissioning.demo").seed()
            keep_closed(settings.DATA_DIR / OWNER_LINK, token)
            set_pragma("user_version", SEEDED)

    def say_owner(self, port: int) -> None:
        """Say where the owner of one site looks: the logbook itself keeps no more of the link than its hash."""
        file = settings.DATA_DIR / OWNER_LINK
        if file.exists():
            self.say(f"an owner's page, without signing in:  http://localhost:{port}/o/{file.read_text()}/")

    def say_how(self, host: str, port: int, password: str) -> None:
        self.say(f"open http://localhost:{port}/")
        for username, name, role in PEOPLE:
            self.say(f"sign in as  {username:<10}  password  {password}   ({name}, {role.label.lower()})")
        if host == "127.0.0.1":
            return
        address = lan_address()
        settings.ALLOWED_HOSTS = [*settings.ALLOWED_HOSTS, address]
        self.stdout.write(LAN_NOTE.format(address=f"http://{address}:{port}/"))


def refuse_taken_port(host: str, port: int) -> None:
    with closing(socket.socket()) as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((host, port))
        except (OSError, OverflowError) as error:
            raise CommandError(f"Port {port} cannot be had ({error}). Try --port {port % 60000 + 1}.") from error


def refuse_foreign_database(file: Path) -> None:
    """Stop at a database that no demo made: it may hold somebody's records."""
    if not file.exists() or not file.stat().st_size:
        return
    try:
        with closing(sqlite3.connect(f"{file.as_uri()}?mode=ro", uri=True)) as database:
            mark = database.execute("PRAGMA application_id").fetchone()[0]
    except sqlite3.DatabaseError as error:
        raise CommandError(f"{shown(file)} cannot be read as a database: {error}") from error
    if mark != DEMO_MARK:
        raise CommandError(f"{shown(file)} is not marked as a demo database. Nothing was touched.")


def throw_away(file: Path) -> None:
    connection.close()
    for suffix in ("", "-wal", "-shm", "-journal"):
        with suppress(FileNotFoundError):
            Path(f"{file}{suffix}").unlink()
    shutil.rmtree(settings.MEDIA_ROOT, ignore_errors=True)


def kept_password(file: Path) -> str:
    """Return the demo's password: digits, for a phone's keypad, and not the same on every machine."""
    if not file.exists():
        keep_closed(file, f"{secrets.randbelow(10**4):04}-{secrets.randbelow(10**4):04}")
    return file.read_text()


def keep_closed(file: Path, text: str) -> None:
    """Write a file that only its owner may read."""
    file.touch(mode=0o600)
    file.write_text(text)


def pragma(name: str) -> int:
    with connection.cursor() as cursor:
        cursor.execute(f"PRAGMA {name}")
        return int(cursor.fetchone()[0])


def set_pragma(name: str, value: int) -> None:
    with connection.cursor() as cursor:
        cursor.execute(f"PRAGMA {name} = {value}")


def lan_address() -> str:
    """Return the address by which this machine's network knows it; nothing is sent to find out."""
    with closing(socket.socket(socket.AF_INET, socket.SOCK_DGRAM)) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # RFC 5737: documentation only, nobody is there
        except OSError:
            return socket.gethostname()
        return str(probe.getsockname()[0])


def shown(file: Path) -> str:
    return str(file.relative_to(settings.ROOT)) if file.is_relative_to(settings.ROOT) else str(file)
