"""The list of mutants stays true to the code: each can still be applied, and every formula has one."""

import ast
from collections.abc import Callable

import pytest

from tests.mutations.__main__ import copy_of_tree, is_caught_in
from tests.mutations.listed import ROOT, Mutant, all_mutants

FORMULAS = sorted((ROOT / "sizing/formulas").glob("*.py"))


@pytest.mark.parametrize("mutant", all_mutants(), ids=[f"{m.list_name}-{n}" for n, m in enumerate(all_mutants())])
def test_a_mutant_applies_to_the_code(mutant: Mutant) -> None:
    text = (ROOT / mutant.file).read_text(encoding="utf-8")
    assert mutant.applied_to(text) != text
    for test in mutant.tests.split():
        assert (ROOT / test.partition("::")[0]).exists()


def formulas_without_mutant(file: str, text: str, mutants: list[Mutant]) -> list[str]:
    """Return the public functions of a module that no mutant breaks, in their own lines or in what they use."""
    body = ast.parse(text).body
    spans = [(node, node.lineno, node.end_lineno or node.lineno) for node in body]
    broken_lines = [text[: text.index(m.find)].count("\n") + 1 for m in mutants if m.file == file]
    broken = {
        name for node, first, last in spans if any(first <= n <= last for n in broken_lines) for name in named_by(node)
    }
    functions = {node.name: node for node in body if isinstance(node, ast.FunctionDef)}
    return [f"{file}: {name}" for name in functions if not name.startswith("_") and not uses(name, functions) & broken]


def named_by(node: ast.stmt) -> set[str]:
    if isinstance(node, ast.FunctionDef | ast.ClassDef):
        return {node.name}
    return {n.id for n in ast.walk(node) if isinstance(n, ast.Name) and isinstance(n.ctx, ast.Store)}


def uses(name: str, functions: dict[str, ast.FunctionDef]) -> set[str]:
    """Return the function itself, the constants it reads and the functions of its module that it calls, in turn."""
    seen, todo = {name}, [name]
    while todo:
        for node in ast.walk(functions[todo.pop()]):
            if isinstance(node, ast.Name) and node.id not in seen:
                seen.add(node.id)
                todo += [node.id] if node.id in functions else []
    return seen


def test_every_formula_has_a_mutant() -> None:
    mutants = all_mutants()
    without = [
        found
        for file in FORMULAS
        for found in formulas_without_mutant(f"sizing/formulas/{file.name}", file.read_text(encoding="utf-8"), mutants)
    ]
    assert not without


@pytest.mark.long
def test_every_mutant_is_caught(tmp_path_factory: pytest.TempPathFactory, keep_record: Callable[..., None]) -> None:
    tree = copy_of_tree(tmp_path_factory.mktemp("mutants") / "tree")
    mutants = all_mutants()
    lived = [m.find for m in mutants if not is_caught_in(tree, m)]
    keep_record("mutations", mutants=len(mutants), caught=len(mutants) - len(lived), lived=len(lived))
    assert lived == []
