"""What `benchmate weigh` says of a cup, and of a weight that was wrong."""

from __future__ import annotations

from pathlib import Path

from benchmate.bench.shelf.cups import newest_cup, say_amounts
from benchmate.cli.opening import answer_back, fail, pick_job, the_bench
from benchmate.job.deciding import commands as cmd
from benchmate.job.weights.cups import cup_in_hand
from benchmate.quantities import parse_mass_g, show_mass


def say_of_cup(
    home: Path | None,
    first: str,
    second: str,
    left: str | None,
    mixed: str | None,
    used: tuple[str, ...],
    job: str | None,
) -> None:
    """Take down what is left in a cup, or how much was mixed or used; the last one by default."""
    if first and second:
        fail("With --left, --mixed or --used give no weight: only the step, if it isn't the last.")
    address = first or second
    parts = [f"mixed {mixed}"] if mixed else []
    parts += [*used] + ([f"left {left}"] if left else [])
    with the_bench(home) as bench:
        if address or job:
            state = pick_job(bench, job, address, also_clocks=True)
            where = address or cup_in_hand(state)
            if not where:
                fail(f"No cup has been mixed in {state.title} yet.")
        else:
            state, where = newest_cup(bench)
        answer_back(bench, say_amounts(bench, state, where, "; ".join(parts)))


def correct_weight(
    home: Path | None, entry: str, weight: str, reason: str, job: str | None
) -> None:
    """Put the weight of an entry right; the old one stays in the logbook."""
    if not entry.isdecimal():
        fail(f"--correct needs the entry's number in the logbook, not “{entry[:40]}”.")
    if not weight.strip():
        fail(f"Give the right weight: benchmate weigh 118.4g --correct {entry}")
    with the_bench(home) as bench:
        state = pick_job(bench, job)
        value = parse_mass_g(weight, "g")
        bench.do(
            state.job, cmd.Correct(version=int(entry[:9]), net_g=value, reason=reason, text=weight)
        )
        shown = show_mass(value, bench.settings.units)
        answer_back(bench, f"Corrected to {shown}; the old weight stays in the logbook.")
