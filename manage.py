#!/usr/bin/env python3
"""The one entry: `python3 manage.py demo`, `python3 manage.py test`, and every other command.

Only the standard library is used here until the environment in `.venv` is right; then the same
command line is run again inside it. Nothing is assumed to be installed beforehand but Python.
"""

import ctypes
import ctypes.util
import hashlib
import importlib.util
import os
import shutil
import subprocess
import sys
import time
from pathlib import Path
from typing import IO

ROOT = Path(__file__).resolve().parent
VENV = ROOT / ".venv"
PYTHON = VENV / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
MADE = VENV / ".made"  # an interrupted making leaves a Python without pip
LOCKS = {"app": ROOT / ".requirements" / "app.txt", "dev": ROOT / ".requirements" / "dev.txt"}
OLDEST_PYTHON = (3, 11)
# What the operating system must supply: library names as the PDF renderer asks for them.
PDF_LIBRARIES = {
    "pango-1.0": ("libpango-1.0.so.0", "libpango-1.0-0"),
    "pangoft2-1.0": ("libpangoft2-1.0.so.0", "libpangoft2-1.0-0"),
    "harfbuzz-subset": ("libharfbuzz-subset.so.0", "libharfbuzz-subset0"),
}
BROWSERS = ("chromium", "chromium-browser")
SYSTEM_COMMANDS = {"demo", "test"}


def say(text: str) -> None:
    print(f"[setup] {text}", file=sys.stderr, flush=True)


def locks_for(command: str) -> list[str]:
    """Return the locks that a command needs: the tests need the tools besides."""
    return ["app", "dev"] if command == "test" else ["app"]


def stamp_of(lock: str) -> str:
    """Return what an up-to-date environment is stamped with: this Python and this lock's content."""
    return hashlib.sha256(sys.version.encode() + LOCKS[lock].read_bytes()).hexdigest()


def is_installed(lock: str) -> bool:
    stamp = VENV / f".installed-{lock}"
    return PYTHON.exists() and stamp.exists() and stamp.read_text() == stamp_of(lock)


def is_stale(lock: str) -> bool:
    """Return whether a lock was installed once and is no longer what the file says."""
    return (VENV / f".installed-{lock}").exists() and not is_installed(lock)


def make_environment() -> None:
    say("making .venv")
    if importlib.util.find_spec("ensurepip") is None:
        sys.exit("Python cannot make a virtual environment. On Debian or Ubuntu type: apt-get install python3-venv")
    base = getattr(sys, "_base_executable", sys.executable)  # .venv cannot make itself anew
    made = subprocess.run([base, "-m", "venv", "--clear", str(VENV)], capture_output=True, text=True)
    if made.returncode:
        reason = (made.stderr or made.stdout).strip().splitlines()[-1:] or ["no reason given"]
        sys.exit(f"The virtual environment could not be made: {reason[0]}")
    MADE.touch()


def install(lock: str) -> None:
    """Install one lock file, every package checked against its hash, nothing compiled."""
    say(f"installing what {LOCKS[lock].relative_to(ROOT)} lists, hash-checked; the first time takes a minute")
    options = ["--no-input", "--disable-pip-version-check", "--require-hashes", "--only-binary", ":all:", "--no-deps"]
    command = [str(PYTHON), "-m", "pip", "install", "-qq", *options, "-r", str(LOCKS[lock])]
    environment = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    if subprocess.run(command, env=environment).returncode:
        sys.exit("The packages could not be installed; pip's reason is above. Can it reach its registry?")
    (VENV / f".installed-{lock}").write_text(stamp_of(lock))


def bootstrap(locks: list[str]) -> None:
    """Bring `.venv` up to the locks; of two commands started at once, one installs and one waits."""
    with (ROOT / ".venv.lock").open("w") as turn:
        lock_file(turn)
        if all(map(is_installed, locks)):
            return
        started = time.monotonic()
        if not MADE.exists() or any(map(is_stale, LOCKS)):  # no leftovers of an older lock
            make_environment()
        for lock in locks:
            if not is_installed(lock):
                install(lock)
        say(f"environment ready in {time.monotonic() - started:.0f} s")


def lock_file(turn: IO[str]) -> None:
    try:
        import fcntl
    except ImportError:  # Windows: two first starts at once are then up to the person
        return
    fcntl.flock(turn, fcntl.LOCK_EX)


def missing_system_packages(command: str) -> list[str]:
    """Return the Debian packages that a command wants and the operating system lacks."""
    lacking = [package for name, (file, package) in PDF_LIBRARIES.items() if not has_library(name, file)]
    if command == "test" and not any(map(shutil.which, BROWSERS)):
        lacking.append("chromium")
    return lacking


def has_library(name: str, file: str) -> bool:
    try:
        ctypes.CDLL(file)
    except OSError:
        return ctypes.util.find_library(name) is not None
    return True


def check_system(command: str) -> None:
    """Say in one line what the operating system lacks; refuse only where REQUIRE_SYSTEM=1 asks for it."""
    lacking = missing_system_packages(command)
    if not lacking:
        return
    cure = f"type: apt-get install {' '.join(lacking)}"
    if os.environ.get("REQUIRE_SYSTEM") == "1":
        sys.exit(f"REQUIRE_SYSTEM=1, and system packages are missing; {cure}")
    results = ["browser tests are skipped"] if "chromium" in lacking else []
    if lacking != ["chromium"]:
        results.append("PDF pages fall back to a print view")
    say(f"system packages are missing, so {' and '.join(results)}; to have it all, {cure}")


def run_tests(arguments: list[str]) -> None:
    """Hand over to pytest, whose closing line holds the count; a whole run takes every core."""
    is_whole_run = set(arguments) <= {"--long", "-q", "-v"}
    # A file's fixtures stay together; files are begun in the order of tests/conftest.py, the long ones first.
    spread = ["-n", "auto", "--dist", "loadfile", "--no-loadscope-reorder"] if is_whole_run else []
    os.chdir(ROOT)
    os.execv(sys.executable, [sys.executable, "-m", "pytest", *spread, *arguments])


def main() -> None:
    if sys.version_info < OLDEST_PYTHON:
        sys.exit(f"Python 3.11 or newer is needed; this is {sys.version.split()[0]}.")
    command = sys.argv[1] if len(sys.argv) > 1 else "help"
    if os.environ.get("NO_BOOTSTRAP") != "1":  # a container image brings its own environment
        enter_environment(command)
    if command == "test":
        run_tests(sys.argv[2:])
    if command == "demo":
        os.environ["DEMO"] = "1"
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "commissioning.settings")
    from django.core.management import execute_from_command_line

    execute_from_command_line(sys.argv)


def enter_environment(command: str) -> None:
    """Go on only inside an up-to-date `.venv`: make it, and start over in it, as needed."""
    if command in SYSTEM_COMMANDS and os.environ.get("SYSTEM_CHECKED") != "1":
        check_system(command)
        os.environ["SYSTEM_CHECKED"] = "1"
    locks = locks_for(command)
    is_ready = all(map(is_installed, locks))
    if not is_ready:
        bootstrap(locks)
    if not is_ready or Path(sys.prefix).resolve() != VENV.resolve():
        sys.stdout.flush()
        os.execv(PYTHON, [str(PYTHON), str(ROOT / "manage.py"), *sys.argv[1:]])


if __name__ == "__main__":
    main()
