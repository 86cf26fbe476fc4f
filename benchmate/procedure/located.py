"""Faults with their lines."""

from __future__ import annotations

from collections.abc import Iterable

from benchmate.procedure.problem import Fault, Problem, show_where


def located(faults: Iterable[Fault], text: str, file: str) -> list[Problem]:
    """The faults as problems: with file and line, in the order of the file, each once."""
    faults = list(faults)
    if not faults:
        return []
    from benchmate.procedure.positions import line_of, lines_of

    lines = lines_of(text)
    found = {
        Problem(file, line_of(f.where, lines), show_where(f.where), f.wrong, f.instead)
        for f in faults
    }
    return sorted(found)
