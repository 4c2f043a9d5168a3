"""Breaks each listed formula once, in a copy of the tree, and sees whether a test fails.

    .venv/bin/python -m tests.mutations [MODULE…]

Prints a line a mutant; exit status 1 if one survives. Judged by the tests' exit status alone.
"""

import shutil
import subprocess
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from tests.mutations.listed import ROOT, Mutant, all_mutants

COPIED = ("sizing", "commissioning", "templates", "static", "tests", "manage.py", "pyproject.toml", "README.md")
WORKERS = 2
TESTS_FAILED = 1  # pytest's exit status; 2 to 5 mean that it could not run them


def main(modules: list[str]) -> int:
    mutants = [m for m in all_mutants() if not modules or m.list_name in modules]
    with tempfile.TemporaryDirectory(prefix="mutants-") as scratch, ThreadPoolExecutor(WORKERS) as pool:
        trees = [copy_of_tree(Path(scratch) / str(n)) for n in range(WORKERS)]
        results = list(pool.map(lambda n: run_share(trees[n], mutants[n::WORKERS]), range(WORKERS)))
    lived = [m for share in results for m, is_caught in share if not is_caught]
    print(f"mutants={len(mutants)} caught={len(mutants) - len(lived)} lived={len(lived)}")
    return 1 if lived else 0


def copy_of_tree(target: Path) -> Path:
    target.mkdir()
    for name in COPIED:
        source = ROOT / name
        if source.is_dir():
            shutil.copytree(source, target / name, ignore=shutil.ignore_patterns("__pycache__"))
        elif source.exists():
            shutil.copy2(source, target / name)
    return target


def run_share(tree: Path, mutants: list[Mutant]) -> list[tuple[Mutant, bool]]:
    return [(mutant, is_caught_in(tree, mutant)) for mutant in mutants]


def is_caught_in(tree: Path, mutant: Mutant) -> bool:
    """Break the file, run the tests, mend the file."""
    file = tree / mutant.file
    text = file.read_text(encoding="utf-8")
    file.write_text(mutant.applied_to(text), encoding="utf-8")
    try:
        status = subprocess.run(
            [sys.executable, "-B", "-m", "pytest", "-q", "-x", "-p", "no:cacheprovider", "-n0", *mutant.tests.split()],
            cwd=tree,
            capture_output=True,
            check=False,
        ).returncode
    finally:
        file.write_text(text, encoding="utf-8")
    is_caught = status == TESTS_FAILED
    print(f"{'caught' if is_caught else f'LIVED ({status})'}  {mutant.file}  {mutant.find[:60]!r}", flush=True)
    return is_caught


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
