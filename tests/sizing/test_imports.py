"""The core imports the standard library and itself, nothing else."""

import ast
import sys
from pathlib import Path

import pytest

import sizing

ROOT = Path(sizing.__file__).parent
FILES = sorted(ROOT.rglob("*.py"))
ALLOWED = sys.stdlib_module_names | {"sizing"}


def imported(source: str) -> set[str]:
    """Return the top-level names that a source imports, wherever the import stands."""
    names: set[str] = set()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            names |= {alias.name.split(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            names.add("sizing" if node.level else (node.module or "").split(".")[0])
    return names


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.relative_to(ROOT).as_posix())
def test_core_imports_only_the_standard_library_and_itself(path):
    assert imported(path.read_text()) <= ALLOWED


def test_formulas_know_nothing_of_checks_and_systems():
    for path in (ROOT / "formulas").glob("*.py"):
        inside = {
            node.module
            for node in ast.walk(ast.parse(path.read_text()))
            if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("sizing")
        }
        assert all(m.startswith("sizing.formulas") or m in {"sizing.errors", "sizing.guards"} for m in inside), path


def test_an_import_inside_a_function_is_seen():
    assert imported("def f():\n    import numpy.linalg\n") == {"numpy"}
    assert imported("from django.db import models") == {"django"}
