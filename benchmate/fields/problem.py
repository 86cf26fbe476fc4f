"""What is wrong with a file, said so that its writer can put it right."""

from __future__ import annotations

from collections.abc import Iterable

import msgspec

Where = tuple[str | int, ...]
"""A place in the file: keys and positions, ("steps", 2, "hands")."""
NO_SUCH_KEY = "there is no such key"
MISSING = "is missing"


class Problem(msgspec.Struct, frozen=True, order=True):
    """One thing that is wrong, and what to write instead."""

    file: str
    line: int
    field: str
    wrong: str
    instead: str = ""
    sure: str = ""
    """Of a doubt: the word with which its writer says that it is meant so."""

    @property
    def is_doubt(self) -> bool:
        """Whether real work may want it: not wrong in itself."""
        return bool(self.sure)

    def __str__(self) -> str:
        where = f"{self.file}:{self.line}: " + (f"{self.field}: " if self.field else "")
        meant = f'if you know it is right, write sure = "{self.sure}"' if self.sure else ""
        return where + "; ".join(text for text in (self.wrong, self.instead, meant) if text)


class ProcedureError(ValueError):
    """A procedure that can't be used. `problems` holds everything that is wrong with it."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(sorted(problems))
        super().__init__("\n".join(str(p) for p in self.problems))


class Fault(msgspec.Struct, frozen=True):
    """A problem before its line is known."""

    where: Where
    wrong: str
    instead: str = ""
    sure: str = ""

    @classmethod
    def said(cls, where: Where, refusal: object, sure: str = "") -> Fault:
        """From a refusal's sentence: what is wrong, and behind the semicolon what to write."""
        wrong, _, instead = str(refusal).partition("; ")
        return cls(where, wrong, instead, sure)

    @property
    def sentence(self) -> str:
        """What is wrong and what to write, for whoever shows it beside its field."""
        return f"{self.wrong}; {self.instead}" if self.instead else self.wrong


def show_where(where: Where) -> str:
    """A place as a writer counts: ("steps", 2, "hands") is "steps[3].hands"."""
    text = ""
    for key in where:
        text += f"[{key + 1}]" if isinstance(key, int) else f"{'.' if text else ''}{key}"
    return text
