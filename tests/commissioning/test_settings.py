"""Settings come from the environment; a value that cannot be right stops the start, naming the variable."""

import json
import os
import stat
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
KEPT = {name: os.environ[name] for name in ("PATH", "HOME", "LANG") if name in os.environ}
SHOW = (
    "import django, json; django.setup(); from django.conf import settings as s;"
    "print(json.dumps({n: str(getattr(s, n)) for n in dir(s) if n.isupper()}))"
)


def run(data: Path, *arguments: str, **environment: str) -> subprocess.CompletedProcess[str]:
    """Run a command in a fresh interpreter with nothing in the environment but what is given."""
    given = {**KEPT, "DJANGO_SETTINGS_MODULE": "commissioning.settings", "DATA_DIR": str(data), **environment}
    return subprocess.run([sys.executable, *arguments], env=given, cwd=ROOT, capture_output=True, text=True, timeout=60)


def settings(data: Path, **environment: str) -> dict[str, str]:
    done = run(data, "-c", SHOW, **environment)
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("DEBUG", "yes"),
        ("HTTPS", "true"),
        ("DEMO", ""),
        ("BEHIND_PROXY", "2"),
        ("SECRET_KEY", "short"),
        ("CSRF_TRUSTED_ORIGINS", "logbook.example"),
        ("DATABASE_URL", "mysql://somewhere/else"),
        ("EMAIL_PORT", "smtp"),
        ("EMAIL_PORT", "0"),
        ("EMAIL_PORT", "٢٥"),
        ("DATA_DIR", "/dev/null/x"),
    ],
)
def test_bad_value_stops_the_start_by_name(tmp_path, name, value):
    done = run(tmp_path, "-c", "import commissioning.settings", **{name: value})
    assert done.returncode == 1
    assert f"ImproperlyConfigured: {name}" in done.stderr.splitlines()[-1]


def test_nothing_given_is_a_closed_production_set_up(tmp_path):
    found = settings(tmp_path)
    assert found["DEBUG"] == found["DEMO"] == "False"
    assert found["SECURE_SSL_REDIRECT"] == found["SESSION_COOKIE_SECURE"] == found["CSRF_COOKIE_SECURE"] == "True"
    assert found["SESSION_COOKIE_NAME"].startswith("__Host-")
    assert f"{tmp_path}/logbook.sqlite3" in found["DATABASES"]
    assert "Argon2" in found["PASSWORD_HASHERS"].split(",")[0]
    assert "SECURE_PROXY_SSL_HEADER" not in found or found["SECURE_PROXY_SSL_HEADER"] == "None"


def test_demo_has_a_database_of_its_own_and_no_debugging(tmp_path):
    found = settings(tmp_path, DEMO="1")
    assert f"{tmp_path}/demo.sqlite3" in found["DATABASES"]
    assert found["MEDIA_ROOT"] == f"{tmp_path}/demo-media"
    assert found["DEBUG"] == "False"


def test_mail_goes_to_the_console_until_a_server_is_named(tmp_path):
    assert "console" in settings(tmp_path)["EMAIL_BACKEND"]
    assert "smtp" in settings(tmp_path, EMAIL_HOST="mail.example")["EMAIL_BACKEND"]


def test_lists_are_read_without_their_empty_places(tmp_path):
    assert settings(tmp_path, ALLOWED_HOSTS=" a.example, ,b.example,")["ALLOWED_HOSTS"] == "['a.example', 'b.example']"


def test_secret_is_made_once_and_closed_to_others(tmp_path):
    first, second = settings(tmp_path), settings(tmp_path)
    assert first["SECRET_KEY"] == second["SECRET_KEY"]
    assert len(first["SECRET_KEY"]) >= 50
    assert stat.S_IMODE((tmp_path / "secret_key").stat().st_mode) == 0o600
    assert list(tmp_path.glob("secret_key.*")) == []


def test_secret_differs_from_one_installation_to_the_next(tmp_path):
    assert settings(tmp_path / "a")["SECRET_KEY"] != settings(tmp_path / "b")["SECRET_KEY"]


def test_deployment_check_is_clean_with_production_settings(tmp_path):
    arguments = ("manage.py", "check", "--deploy", "--fail-level", "INFO")
    done = run(tmp_path, *arguments, NO_BOOTSTRAP="1", ALLOWED_HOSTS="logbook.example")
    assert done.returncode == 0, done.stderr
    assert "no issues" in done.stdout


def test_deployment_check_finds_a_careless_set_up(tmp_path):
    """The check above can fail: plain HTTP and debugging are named."""
    done = run(
        tmp_path, "manage.py", "check", "--deploy", "--fail-level", "WARNING", NO_BOOTSTRAP="1", HTTPS="0", DEBUG="1"
    )
    assert done.returncode == 1
    assert {"security.W004", "security.W008", "security.W012", "security.W016", "security.W018"} <= {
        word.strip("():") for word in done.stderr.split()
    }


def test_no_model_lacks_its_migration(tmp_path):
    done = run(tmp_path, "manage.py", "makemigrations", "--check", "--dry-run", NO_BOOTSTRAP="1")
    assert done.returncode == 0, done.stdout


def test_static_files_get_names_by_content_in_production(tmp_path):
    done = run(tmp_path, "manage.py", "collectstatic", "--no-input", NO_BOOTSTRAP="1")
    assert done.returncode == 0, done.stderr
    manifest = json.loads((tmp_path / "static/staticfiles.json").read_text())["paths"]
    assert (tmp_path / "static" / manifest["look.css"]).exists()
    assert manifest["look.css"] != "look.css"
    module = (tmp_path / "static" / manifest["phone/running.js"]).read_text()
    for name in ("store.js", "overlay.js"):  # else an old page would load a new module
        assert f'"./{manifest[f"phone/{name}"].removeprefix("phone/")}"' in module
        assert f'"./{name}"' not in module
