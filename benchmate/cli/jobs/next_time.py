"""Notes for next time by command: listed, written into the procedure's file, forgotten."""

from __future__ import annotations

import sys
from collections.abc import Sequence

import click

from benchmate.bench import Bench
from benchmate.bench.history.lessons import name_of
from benchmate.bench.history.wishes import Wish, drop, take_into_file, taking, wishes_of
from benchmate.cli.opening import fail
from benchmate.cli.saying import put
from benchmate.refusal import Refused


def say_wishes(name: str, kept: Sequence[Wish]) -> None:
    """The wishes as a list with numbers, and how one is taken into the file."""
    if not kept:
        return
    put("Next time:")
    for number, wish in enumerate(kept, 1):
        put(f"  {number}  at “{wish.file_step or 'the start'}”: {wish.text}")
    put(f"`benchmate procedure lessons {name} --into-file 1` writes one into the procedure's file.")


def wishes_said(bench: Bench, job: str) -> list[str]:
    """What earlier jobs said to do differently, for a job that has just been started."""
    state = bench.job(job)
    kept = state.plan.next_time if state is not None and state.plan is not None else {}
    return [
        f"Next time, you said, at “{step or 'the start'}”: {text}"
        for step, texts in kept.items()
        for text in texts
    ]


def settle_wish(
    bench: Bench, procedure: str, written: int | None, forget: int | None, *, keep: bool
) -> None:
    """Take a wish into the file, once its change has been seen; or forget one."""
    name = name_of(bench, procedure)
    wish = _picked(wishes_of(bench, name), written if written is not None else forget, name)
    if written is None:
        drop(bench, wish)
        put(f"Forgotten: {wish.text}")
        return
    try:
        found = taking(bench, wish, "" if procedure == name else procedure)
        for text in found.said:
            put(text)
        if not keep and not _agreed():
            put("Nothing is written. Add --keep to write it.", err=True)
            return
        put(take_into_file(bench, found))
    except Refused as error:
        fail(str(error))


def _agreed() -> bool:
    return sys.stdin.isatty() and click.confirm("Write it?", default=True)


def _picked(kept: Sequence[Wish], number: int | None, name: str) -> Wish:
    if number is None or not 1 <= number <= len(kept):
        known = f"there are {len(kept)}" if kept else "nothing is kept"
        fail(
            f"{name} has no “next time” note {number}: {known}. "
            f"`benchmate procedure lessons {name}` lists them."
        )
    return kept[number - 1]
