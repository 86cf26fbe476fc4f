"""Telling a CSV text from JSON, and cutting it into rows."""

from __future__ import annotations

import csv


def read_csv(text: str) -> list[list[str]] | None:
    """The rows of a CSV text (comma, semicolon or tab); None where the text is no table."""
    lines = [line for line in text.splitlines() if line.strip()]
    if len(lines) < 2 or text.lstrip()[:1] in ("[", "{"):
        return None
    mark = next((m for m in "\t;," if all(m in line for line in lines[:2])), None)
    if mark is None:
        return None
    rows = csv.reader(lines, delimiter=mark, skipinitialspace=True)
    return [[cell.strip() for cell in row] for row in rows]
