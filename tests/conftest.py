"""What every test may ask for: people, a client that speaks htmx, and the long campaigns' switch."""

import os
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from django.db import connection
from django.test import Client

from tests.demo_world import DATABASE, copy_of, made_once
from tests.tampering import without_triggers

RECORDS = Path(__file__).parent / "records"


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(
        "--long", action="store_true", help="run the campaigns with big numbers; results go to tests/records/"
    )


LONG_FILES = ("e2e/test_whole_job.py", "e2e/", "handover/test_sheet_pdf.py", "sync/test_pack.py", "test_demo")
"""What takes longest, begun first: one long file at the end would keep one worker busy and the others idle."""


def _place(item: pytest.Item) -> int:
    path = item.path.as_posix()
    return next((place for place, part in enumerate(LONG_FILES) if part in path), len(LONG_FILES))


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    items.sort(key=_place)
    if config.getoption("--long"):
        return
    long = [item for item in items if item.get_closest_marker("long")]
    items[:] = [item for item in items if item not in long]
    config.hook.pytest_deselected(items=long)


@pytest.fixture(scope="session")
def is_long(pytestconfig: pytest.Config) -> bool:
    """Whether a campaign should run with its big numbers."""
    return bool(pytestconfig.getoption("--long"))


@pytest.fixture(scope="session")
def keep_record() -> Callable[..., None]:
    """Write the result line of a campaign to tests/records/NAME.txt: what was run, how often, what came out."""

    def keep(name: str, **figures: object) -> None:
        line = " ".join([name, *(f"{key}={value}" for key, value in figures.items())])
        RECORDS.mkdir(exist_ok=True)
        (RECORDS / f"{name}.txt").write_text(line + "\n", encoding="utf-8")
        print(line)

    return keep


@pytest.fixture(scope="session", autouse=True)
def flush_lets_evidence_go() -> Iterator[None]:
    """Let the emptying of the test database, between tests that commit, past the append-only triggers."""
    operations = type(connection.ops)
    execute = operations.execute_sql_flush

    def execute_without_triggers(self: Any, sql_list: list[str]) -> None:
        with without_triggers(self.connection):
            execute(self, sql_list)

    operations.execute_sql_flush = execute_without_triggers  # type: ignore[method-assign]
    yield
    operations.execute_sql_flush = execute  # type: ignore[method-assign]


@pytest.fixture(scope="session")
def demo_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of the demo, made once for all workers. Copy it before anything is written."""
    here = tmp_path_factory.getbasetemp()
    return made_once(here.parent if "PYTEST_XDIST_WORKER" in os.environ else here)


@pytest.fixture(scope="module")
def in_demo(
    demo_folder: Path, django_db_setup: None, django_db_blocker: Any, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Path]:
    """Let the tests of a file see a copy of the demo as their database, with its files; each undoes what it does."""
    if connection.vendor != "sqlite":
        pytest.skip("the demo is a database of its own, in SQLite")
    data, usual = copy_of(demo_folder, tmp_path_factory.mktemp("demo")), connection.settings_dict["NAME"]
    with pytest.MonkeyPatch.context() as patch, django_db_blocker.unblock():
        patch.setattr("django.conf.settings.DATA_DIR", data)
        patch.setattr("django.conf.settings.MEDIA_ROOT", data / "demo-media")
        connection.close()
        connection.settings_dict["NAME"] = str(data / DATABASE)
        yield data
        connection.close()
        connection.settings_dict["NAME"] = usual


@pytest.fixture
def make_user(db: None) -> Callable[..., Any]:
    from commissioning.models import User

    def make(username: str, **fields: Any) -> User:
        return User.objects.create_user(username, password="correct horse 7", **fields)

    return make


@pytest.fixture
def technician(make_user: Callable[..., Any]) -> Any:
    return make_user("marsh", display_name="T. Marsh")


@pytest.fixture
def office(make_user: Callable[..., Any]) -> Any:
    return make_user("quill", display_name="M. Quill", role="office")


@pytest.fixture
def as_technician(technician: Any) -> Client:
    client = Client()
    client.force_login(technician, backend="django.contrib.auth.backends.ModelBackend")
    return client


@pytest.fixture
def as_office(office: Any) -> Client:
    client = Client()
    client.force_login(office, backend="django.contrib.auth.backends.ModelBackend")
    return client
