"""Print, for each reckoner, how many outside values are checked and the largest deviation.

Run with `python -m tests.reference.table [name part]`; it runs the reference tests to get them.
"""

import sys
from contextlib import redirect_stdout
from io import StringIO
from pathlib import Path

import pytest

from tests.reference.outside import CHECKED


def rows() -> list[tuple[str, int, float, int]]:
    """Return (name, values checked, largest deviation, sources) sorted by name."""
    found = []
    for name in sorted({one.name for one in CHECKED}):
        mine = [one for one in CHECKED if one.name == name]
        sources = len({one.source for one in mine})
        found.append((name, len(mine), max(one.deviation for one in mine), sources))
    return found


def main(part: str = "") -> int:
    """Run the reference tests, print the table, return pytest's exit code."""
    folder = Path(__file__).parent
    files = sorted(str(path) for path in folder.glob(f"test_*{part}*.py".replace("**", "*")))
    said = StringIO()
    with redirect_stdout(said):
        code = pytest.main(["-q", "-p", "no:cacheprovider", *files])
    if code:
        sys.stdout.write(said.getvalue())
    lines = [f"{'what':<34} {'values':>6} {'sources':>7}  largest deviation"]
    for name, count, deviation, sources in rows():
        lines.append(f"{name:<34} {count:>6} {sources:>7}  {deviation:.2g}")
    sys.stdout.write("\n".join(lines) + "\n")
    return int(code)


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:2]))
