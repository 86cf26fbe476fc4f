"""Data that the charts are checked against: one column of a file in tests/reference/data."""

import csv
from pathlib import Path

_FOLDER = Path(__file__).parent / "data"


def column(file: str, name: str = "y") -> list[float]:
    """The numbers under `name`; the lines with # above the header name the file's source."""
    lines = (_FOLDER / file).read_text(encoding="utf-8").splitlines()
    rows = csv.DictReader(line for line in lines if not line.startswith("#"))
    return [float(row[name]) for row in rows]
