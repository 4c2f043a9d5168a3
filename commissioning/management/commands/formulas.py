"""Print every formula of the core with its arguments, units, ranges and source, as its docstring gives them."""

import importlib
import inspect
import pkgutil
from collections.abc import Callable, Iterator
from pathlib import Path
from types import ModuleType
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandParser

import sizing.formulas
from sizing.working import Described, describe

PAGE = Path("sizing") / "FORMULAS.md"
HEAD = """# Every formula of the core

Written by `python3 manage.py formulas --write` from the docstrings; a test holds it to them. All arguments and results
are plain numbers in SI, temperature in °C, pressure absolute unless called gauge; any other unit stands in the name.
Outside the range beside it, an argument raises `OutOfRangeError`, which names it. Equations and notes: in the code.
"""

Formula = Callable[..., Any]


class Command(BaseCommand):
    help = f"Print every formula with its arguments, units and source; --write renews {PAGE}."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--write", action="store_true", help=f"write {PAGE} instead of printing")

    def handle(self, *args: Any, **options: Any) -> None:
        if options["write"]:
            (settings.ROOT / PAGE).write_text(page(), "utf-8")
        else:
            self.stdout.write(page())


def page() -> str:
    """Return the whole page."""
    parts = [f"\n## {module.__name__}\n\n{_first_line(module)}\n{_table(found)}" for module, found in _modules()]
    return HEAD + "".join(parts)


def _modules() -> Iterator[tuple[ModuleType, list[Formula]]]:
    """Yield each module of formulas with those it defines, in the order of the file."""
    for name in sorted(one.name for one in pkgutil.iter_modules(sizing.formulas.__path__)):
        module = importlib.import_module(f"sizing.formulas.{name}")
        found = [f for key, f in vars(module).items() if inspect.isfunction(f) and not key.startswith("_")]
        own = [f for f in found if f.__module__ == module.__name__]
        if own:
            yield module, sorted(own, key=lambda f: f.__code__.co_firstlineno)


def _first_line(module: ModuleType) -> str:
    return (inspect.getdoc(module) or "").splitlines()[0]


def _table(formulas: list[Formula]) -> str:
    return "".join(_entry(f) for f in formulas)


def _entry(formula: Formula) -> str:
    said = describe(formula)
    given = "".join(f"  - `{one.name}`: {_words(one)}\n" for one in said.parameters)
    return f"\n- **`{formula.__name__}`** {said.title}\n{given}  - returns {_words(said.result)}\n  - {said.source}\n"


def _words(one: Described) -> str:
    limits = f", {one.range}" if one.range else ""
    return f"{one.symbol}, {one.words} [{one.unit}]{limits}"
