"""The entry file and the locks: what a fresh machine meets first."""

import hashlib
import importlib.util
import os
import re
import subprocess
import sys
import tomllib
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).resolve().parents[1]
LOCKS = sorted((ROOT / ".requirements").glob("*.txt"))


@pytest.fixture
def entry(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    """manage.py as a module, with an empty folder in place of the project's."""
    spec = importlib.util.spec_from_file_location("entry", ROOT / "manage.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    venv = tmp_path / ".venv"
    locks = {name: tmp_path / f"{name}.txt" for name in ("app", "dev")}
    for name, file in locks.items():
        file.write_text(f"{name}==1\n")
    replaced = {"ROOT": tmp_path, "VENV": venv, "PYTHON": venv / "bin/python", "MADE": venv / ".made", "LOCKS": locks}
    for name, value in replaced.items():
        monkeypatch.setattr(module, name, value)
    return module


def fake_environment(entry: ModuleType, *locks: str) -> None:
    entry.PYTHON.parent.mkdir(parents=True, exist_ok=True)
    entry.PYTHON.touch()
    entry.MADE.touch()
    for lock in locks:
        (entry.VENV / f".installed-{lock}").write_text(entry.stamp_of(lock))


@pytest.fixture
def done(entry: ModuleType, monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """What bootstrapping does, noted instead of done."""
    steps: list[str] = []

    def install(lock: str) -> None:
        steps.append(lock)
        (entry.VENV / f".installed-{lock}").write_text(entry.stamp_of(lock))

    def make() -> None:
        steps.append("make")
        fake_environment(entry)

    monkeypatch.setattr(entry, "install", install)
    monkeypatch.setattr(entry, "make_environment", make)
    return steps


def test_lock_names_no_host_and_no_option():
    assert LOCKS
    for lock in LOCKS:
        assert re.findall(r"://|index-url|find-links|^-|file:|@ ", lock.read_text(), re.MULTILINE) == [], lock.name


def pinned(lock: Path) -> dict[str, str]:
    return {line.split("==")[0]: line for line in lock.read_text().splitlines() if "==" in line}


@pytest.mark.parametrize("lock", LOCKS, ids=lambda lock: lock.name)
def test_every_package_of_a_lock_is_pinned_and_hashed(lock):
    requirements = re.split(r"\n(?=\S)", lock.read_text().strip())
    assert [one for one in requirements if "==" not in one or "--hash=sha256:" not in one] == []


def test_locks_cover_what_the_project_declares():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())
    declared = {"app": project["project"]["dependencies"], "dev": project["dependency-groups"]["dev"]}
    for name, requirements in declared.items():
        locked = pinned(ROOT / ".requirements" / f"{name}.txt")
        assert [r for r in requirements if re.split(r"[\[<>=]", r)[0] not in locked] == [], name


def test_locks_agree_where_they_overlap():
    app, dev = (pinned(ROOT / ".requirements" / f"{name}.txt") for name in ("app", "dev"))
    assert [name for name in app.keys() & dev.keys() if app[name].split()[0] != dev[name].split()[0]] == []


def test_heavy_numerical_packages_stay_out_of_what_the_app_runs_on():
    assert not pinned(ROOT / ".requirements/app.txt").keys() & {"numpy", "scipy", "pandas", "matplotlib", "pvlib"}


def test_entry_needs_nothing_but_the_standard_library():
    """-S leaves every installed package out, -I the environment's variables."""
    script = f"import runpy; runpy.run_path({str(ROOT / 'manage.py')!r})"
    result = subprocess.run([sys.executable, "-S", "-I", "-c", script], capture_output=True, text=True)
    assert result.returncode == 0, result.stderr


def test_first_command_makes_the_environment_then_installs(entry, done):
    entry.bootstrap(["app"])
    assert done == ["make", "app"]


def test_tests_add_their_tools_to_an_environment_that_is_there(entry, done):
    fake_environment(entry, "app")
    entry.bootstrap(entry.locks_for("test"))
    assert done == ["dev"]


def test_up_to_date_environment_is_left_alone(entry, done):
    fake_environment(entry, "app", "dev")
    entry.bootstrap(["app", "dev"])
    assert done == []


def test_changed_lock_makes_the_environment_anew(entry, done):
    fake_environment(entry, "app", "dev")
    entry.LOCKS["app"].write_text("app==2\n")
    entry.bootstrap(["app"])
    assert done == ["make", "app"]


def test_other_python_makes_the_environment_anew(entry, done, monkeypatch):
    fake_environment(entry, "app")
    monkeypatch.setattr(entry.sys, "version", "3.99.0 another build")
    entry.bootstrap(["app"])
    assert done == ["make", "app"]


def test_interrupted_making_is_made_anew(entry, done):
    fake_environment(entry)
    entry.MADE.unlink()
    entry.bootstrap(["app"])
    assert done == ["make", "app"]


def test_stamp_covers_lock_and_python(entry):
    expected = hashlib.sha256(sys.version.encode() + b"app==1\n").hexdigest()
    assert entry.stamp_of("app") == expected


def test_python_without_venv_gets_one_line_saying_what_to_type(entry, monkeypatch):
    monkeypatch.setattr(entry.importlib.util, "find_spec", lambda name: None)
    with pytest.raises(SystemExit, match="apt-get install python3-venv") as ended:
        entry.make_environment()
    assert "\n" not in str(ended.value)


def test_other_reason_is_handed_on_in_one_line(entry, monkeypatch):
    failed = subprocess.CompletedProcess([], 1, "", "Traceback\nOSError: no space left")
    monkeypatch.setattr(entry.subprocess, "run", lambda *a, **k: failed)
    with pytest.raises(SystemExit, match=r"could not be made: OSError: no space left$"):
        entry.make_environment()
    assert not entry.MADE.exists()


def test_older_python_gets_one_line(entry, monkeypatch):
    monkeypatch.setattr(entry.sys, "version_info", (3, 10, 4))
    with pytest.raises(SystemExit, match="or newer is needed"):
        entry.main()


def test_failed_installation_leaves_no_stamp(entry, monkeypatch):
    fake_environment(entry)
    monkeypatch.setattr(entry.subprocess, "run", lambda *a, **k: subprocess.CompletedProcess([], 1))
    with pytest.raises(SystemExit, match="could not be installed"):
        entry.install("app")
    assert not entry.is_installed("app")


def test_packages_are_checked_against_their_hashes_and_nothing_is_compiled(entry, monkeypatch):
    fake_environment(entry)
    ran: list[str] = []
    monkeypatch.setattr(
        entry.subprocess, "run", lambda command, **k: ran.extend(command) or subprocess.CompletedProcess([], 0)
    )
    entry.install("app")
    assert "--require-hashes" in ran
    assert ran[ran.index("--only-binary") + 1] == ":all:"
    assert entry.is_installed("app")


@pytest.fixture
def bare_system(entry, monkeypatch):
    """A machine with neither the PDF renderer's libraries nor a browser."""
    monkeypatch.setattr(entry, "has_library", lambda name, file: False)
    monkeypatch.setattr(entry.shutil, "which", lambda name: None)
    monkeypatch.delenv("REQUIRE_SYSTEM", raising=False)
    return entry


def test_missing_system_packages_are_said_in_one_line(bare_system, capsys):
    bare_system.check_system("test")
    said = capsys.readouterr().err
    assert said.count("\n") == 1
    packages = "libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0 chromium"
    assert said.strip().endswith(f"type: apt-get install {packages}")
    assert "browser tests are skipped" in said
    assert "print view" in said


def test_demo_asks_for_no_browser(bare_system):
    assert "chromium" not in bare_system.missing_system_packages("demo")


def test_missing_is_failure_where_the_variable_is_set(bare_system, monkeypatch):
    monkeypatch.setenv("REQUIRE_SYSTEM", "1")
    with pytest.raises(SystemExit, match="REQUIRE_SYSTEM=1"):
        bare_system.check_system("test")


def test_complete_system_is_passed_in_silence(entry, monkeypatch, capsys):
    monkeypatch.setattr(entry, "missing_system_packages", lambda command: [])
    entry.check_system("test")
    assert capsys.readouterr().err == ""


def test_libraries_are_those_the_pdf_renderer_loads(entry):
    """The names are those that WeasyPrint opens; where they are there, it can be imported."""
    if entry.missing_system_packages("demo"):
        pytest.skip("PDF text libraries are missing: apt-get install libpango-1.0-0 libpangoft2-1.0-0")
    import weasyprint

    assert weasyprint.HTML(string="<p>x").write_pdf().startswith(b"%PDF")


@pytest.mark.parametrize(
    ("arguments", "is_spread"),
    [([], True), (["--long"], True), (["-q"], True), (["tests/x.py"], False), (["-k", "x"], False), (["--pdb"], False)],
)
def test_whole_run_takes_every_core_and_a_picked_one_does_not(entry, monkeypatch, arguments, is_spread):
    started: list[list[str]] = []
    monkeypatch.setattr(entry.os, "execv", lambda file, command: started.append(command))
    monkeypatch.setattr(entry.os, "chdir", lambda folder: None)
    entry.run_tests(arguments)
    assert started[0][1:3] == ["-m", "pytest"]
    assert started[0][len(started[0]) - len(arguments) :] == arguments
    assert ("-n" in started[0]) is is_spread


def test_any_command_runs_in_the_environment_by_itself(tmp_path):
    """From the bare interpreter, without any variable: the entry starts over in `.venv`."""
    base = getattr(sys, "_base_executable", sys.executable)
    kept = {name: os.environ[name] for name in ("PATH", "HOME") if name in os.environ}
    kept["DATA_DIR"] = str(tmp_path)
    result = subprocess.run(
        [base, "manage.py", "shell", "-c", "import sys; print(sys.prefix)", "--no-imports"],
        cwd=ROOT,
        env=kept,
        capture_output=True,
        text=True,
        timeout=300,
    )
    assert result.stdout.strip().endswith(".venv"), result.stderr


def test_nothing_of_the_environment_or_the_state_is_tracked():
    for path in (".venv/x", ".venv.lock", ".data/logbook.sqlite3", "a/__pycache__/x.pyc"):
        ignored = subprocess.run(["git", "check-ignore", "-q", path], cwd=ROOT)
        assert ignored.returncode == 0, path


def test_everything_that_ci_runs_on_is_installed_by_its_script(entry):
    script = (ROOT / ".ci/run").read_text()
    wanted = {package for _, package in entry.PDF_LIBRARIES.values()} | {"chromium", "python3-venv"}
    assert {package for package in wanted if package not in script} == set()
    assert "REQUIRE_SYSTEM=1" in script
