"""Run the fault campaigns, and lay their figures down in docs/trust.md.

python -m tests.faults [NAME …] [--count N] [--seed N] [--short] [--jobs N]
"""

from __future__ import annotations

import argparse
import json
import sys
import tempfile
import time
from concurrent.futures import ThreadPoolExecutor
from importlib import import_module
from pathlib import Path
from subprocess import PIPE, Popen

from tests.faults.page import Row, lay_down
from tests.faults.work import Campaign, Work

NAMES = (
    "death",
    "damage",
    "rights",
    "times",
    "keys",
    "input",
    "four",
    "long",
    "moving",
    "years",
    "ways",
    "elsewhere",
    "scale",
)
ROOT = Path(__file__).resolve().parents[2]


def campaign(name: str) -> Campaign:
    """One campaign by its name; only its own module is loaded."""
    found: Campaign = import_module(f"tests.faults.campaigns.{name}").CAMPAIGN
    return found


def run_one(name: str, count: int, seed: int, *, short: bool) -> Row:
    """Run a campaign in this process."""
    it = campaign(name)
    count = count or (it.short if short else it.long)
    with tempfile.TemporaryDirectory(prefix=f"faults-{name}-") as folder:
        work = Work(name, count, seed, Path(folder), short=short)
        began_s = time.monotonic()
        it.run(work)
        return Row(
            name,
            work.told,
            work.defects,
            dict(work.skipped),
            work.measured,
            round(time.monotonic() - began_s),
            full=count >= it.long,
        )


def run_apart(name: str, words: list[str]) -> Row:
    """Run it in a process of its own: it forks, and changes zones, limits and users."""
    command = [sys.executable, "-m", "tests.faults", name, "--one", *words]
    with Popen(command, cwd=ROOT, stdout=PIPE, text=True) as process:
        told, _ = process.communicate()
    if process.returncode or not told.strip():
        return Row(name, "broke off", [f"ended with {process.returncode}"], {}, [], 0, full=False)
    return Row(**json.loads(told.strip().splitlines()[-1]))


def main() -> int:
    ask = argparse.ArgumentParser(prog="python -m tests.faults")
    ask.add_argument("names", nargs="*", choices=[*NAMES, []], metavar="NAME")
    ask.add_argument("--count", type=int, default=0)
    ask.add_argument("--seed", type=int, default=20)
    ask.add_argument("--short", action="store_true")
    ask.add_argument("--one", action="store_true", help="in this process, its row as JSON")
    ask.add_argument("--jobs", type=int, default=2)
    ask.add_argument("--page", action="store_true", help="only write docs/trust.md anew")
    it = ask.parse_args()
    names = it.names or list(NAMES)
    if it.page:
        lay_down([], [campaign(name) for name in NAMES])
        return 0
    if it.one:
        print(json.dumps(run_one(names[0], it.count, it.seed, short=it.short)._asdict()))
        return 0
    words = ["--count", str(it.count), "--seed", str(it.seed), *(["--short"] * it.short)]
    rows = []
    with ThreadPoolExecutor(it.jobs) as pool:
        for row in pool.map(lambda name: run_apart(name, words), names):
            rows.append(row)
            print(row.line, flush=True)
            if row.full and not it.short:
                lay_down([row], [campaign(name) for name in NAMES])
    return int(any(row.defects for row in rows))


if __name__ == "__main__":
    sys.exit(main())
