"""docs/trust.md, written from the campaigns and their last full runs."""

from __future__ import annotations

import json
import os
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from tests.faults.work import Campaign

DOCS = Path(__file__).resolve().parents[2] / "docs"
PAGE, FIGURES = DOCS / "trust.md", DOCS / "trust.json"
HEAD = """\
# Trust, measured

What benchmate promises, how each promise was attacked, and what came of it. `make faults` runs
all of it again with fixed seeds, `make faults ONLY=death COUNT=200` one campaign, shorter; `make
test` runs each in a short form. This page is written by the runner (`tests/faults/page.py`), and
only by a run at full length.

| campaign | promise | how it was attacked | counts | defects | time | command |
|---|---|---|---|---|---|---|
"""


class Row(NamedTuple):
    """What came of one run."""

    name: str
    counts: str
    defects: list[str]
    skipped: dict[str, int]
    measured: list[str]
    seconds: int
    full: bool
    cores: int = os.cpu_count() or 1

    @property
    def line(self) -> str:
        """The one line that a run prints."""
        lacks = "".join(f"; skipped {n}: {what}" for what, n in self.skipped.items())
        return f"{self.name}: {self.counts}; {len(self.defects)} defects; {self.seconds} s{lacks}"


def figures() -> dict[str, Row]:
    """The last full run of each campaign."""
    if not FIGURES.exists():
        return {}
    return {n: Row(**row) for n, row in json.loads(FIGURES.read_text(encoding="utf-8")).items()}


def lay_down(rows: Sequence[Row], campaigns: Sequence[Campaign]) -> None:
    """Take in what came of some runs, and write the page."""
    known = figures() | {row.name: row for row in rows}
    data = {name: row._asdict() for name, row in sorted(known.items())}
    FIGURES.write_text(json.dumps(data, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
    PAGE.write_text(page_of(known, campaigns), encoding="utf-8")


def page_of(known: dict[str, Row], campaigns: Sequence[Campaign]) -> str:
    """The page."""
    out = [HEAD]
    for it in campaigns:
        row = known.get(it.name)
        came = (row.counts, str(len(row.defects)), f"{row.seconds} s") if row else ("–", "–", "–")
        cells = (it.name, it.promise, it.attack, *came, f"`make faults ONLY={it.name}`")
        out.append(f"| {' | '.join(cells)} |\n")
    seconds = sum(row.seconds for row in known.values())
    cores = ", ".join(sorted({str(row.cores) for row in known.values()})) or "–"
    out.append(f"\nOn {cores} cores, two campaigns at a time: {seconds // 60} min of work.\n")
    out += _listed("Found and mended", [f"{it.name}: {m}" for it in campaigns for m in it.mended])
    open_ones = [f"{it.name}: {left}" for it in campaigns for left in it.left]
    open_ones += [f"{r.name}: {d.splitlines()[0]}" for r in known.values() for d in r.defects]
    out += _listed("Known and left", open_ones)
    lacks = [f"{r.name}, {what} ({n})" for r in known.values() for what, n in r.skipped.items()]
    out += _listed("Skipped, as the machine of this run forbids it", lacks)
    for row in known.values():
        if row.measured:
            out.append(f"\n## {row.name.capitalize()}: figures\n\n```\n")
            out += [f"{line}\n" for line in row.measured]
            out.append("```\n")
    return "".join(out)


def _listed(head: str, lines: list[str]) -> list[str]:
    return [f"\n## {head}\n\n", *(f"- {line}\n" for line in lines or ["nothing"])]
