"""The list of mutants: one a formula, each a text of the code and what breaks it."""

import tomllib
from dataclasses import dataclass
from pathlib import Path

HERE = Path(__file__).resolve().parent
ROOT = HERE.parent.parent


@dataclass(frozen=True)
class Mutant:
    """One change that makes a formula wrong, and the tests that must then fail."""

    list_name: str
    file: str
    find: str
    replace: str
    tests: str

    def applied_to(self, text: str) -> str:
        """Return the broken text; raises ValueError unless `find` stands in it exactly once."""
        if text.count(self.find) != 1:
            raise ValueError(f"{self.file}: {self.find!r} stands there {text.count(self.find)} times")
        return text.replace(self.find, self.replace)


def all_mutants() -> list[Mutant]:
    """Return every mutant of every list, in order."""
    return [
        Mutant(file.stem, one["file"], one["find"], one["replace"], one["tests"])
        for file in sorted(HERE.glob("*.toml"))
        for one in tomllib.loads(file.read_text(encoding="utf-8"))["mutant"]
    ]
