"""`benchmate air --if …`: today's windows beside what they would be."""

from __future__ import annotations

from typing import NamedTuple

from benchmate.bench import Bench
from benchmate.bench.air.what_if import beside_data, beside_text, what_if
from benchmate.cli.opening import say_json
from benchmate.cli.saying import put


class Supposing(NamedTuple):
    """What was typed behind the options; false where nothing was."""

    air: str = ""
    night_off: str = ""
    start: str = ""
    step: str = ""

    def __bool__(self) -> bool:
        """Whether anything is supposed at all."""
        return any(self)


def show_what_if(bench: Bench, supposing: Supposing, *, as_json: bool) -> None:
    """Say every edge as it is and as it would be. Raises Refused or QuantityError."""
    found = what_if(
        bench,
        air=supposing.air,
        night_off=supposing.night_off,
        start=supposing.start,
        step=supposing.step,
    )
    if as_json:
        say_json({"said": found.said, "edges": [beside_data(r, bench) for r in found.rows]})
        return
    put(found.said)
    for row in found.rows:
        put(f"  {beside_text(row, bench)}")
    if not found.rows:
        put("  No clock is running; --if-start looks at one still to come.")
