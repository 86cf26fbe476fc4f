"""How long those campaigns run that are tests by themselves.

In the test suite they are short. `BENCHMATE_CAMPAIGN=full` runs them at full length.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
IS_FULL = os.environ.get("BENCHMATE_CAMPAIGN") == "full"


def scaled(short: int, full: int) -> int:
    """The short number in the suite, the full one in a full campaign."""
    return full if IS_FULL else short


def tell(line: str) -> None:
    """A line for whoever runs a campaign with `pytest -s`, and beside a failure."""
    sys.stderr.write(line + "\n")
