"""Faults with their lines."""

from __future__ import annotations

from collections.abc import Iterable

from benchmate.fields.problem import Fault, Problem, show_where

LONGEST = 400


def located(faults: Iterable[Fault], text: str, file: str) -> list[Problem]:
    """The faults as problems: with file and line, in the order of the file, each once."""
    faults = list(faults)
    if not faults:
        return []
    from benchmate.fields.positions import line_of, lines_of

    lines = lines_of(text)
    found = {
        Problem(
            file,
            line_of(f.where, lines),
            safe(show_where(f.where)),
            safe(f.wrong),
            safe(f.instead),
            f.sure,
        )
        for f in faults
    }
    return sorted(found)


def safe(text: str) -> str:
    """The text on one line: what a file holds must not reach a terminal as control sequences."""
    plain = text if text.isprintable() else "".join(c if c.isprintable() else "?" for c in text)
    return plain if len(plain) <= LONGEST else plain[: LONGEST - 1] + "…"
