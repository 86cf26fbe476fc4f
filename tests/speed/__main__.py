"""`python -m tests.speed [NAME ...] [--json PATH] [--list]`: measure all, or those named.

The exit code is 1 when a measure failed to run, never because one was slow.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from tests.speed.harness import names, run, save, table


def main() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.speed", description=__doc__)
    parser.add_argument("names", nargs="*", metavar="NAME", help=", ".join(names()))
    parser.add_argument("--json", type=Path, metavar="PATH", help="also write the measures here")
    parser.add_argument("--list", action="store_true", help="say what can be measured")
    chosen = parser.parse_args()
    if chosen.list:
        print("\n".join(names()))
        return 0
    unknown = sorted(set(chosen.names) - set(names()))
    if unknown:
        parser.error(f"nothing is called {', '.join(unknown)}; there are {', '.join(names())}")
    measures, failed = run(chosen.names or names())
    print(table(measures))
    for failure in failed:
        print(f"failed: {failure}")
    if chosen.json:
        save(chosen.json, measures, failed)
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
