"""`benchmate remind`: what is due, OK'd or said again later; reminding without the bench."""

from __future__ import annotations

from pathlib import Path

import click

from benchmate.bench.reminding.reminding import hush, standing
from benchmate.cli.opening import the_bench
from benchmate.cli.saying import put
from benchmate.cli.verbs import Verbs
from benchmate.quantities import parse_duration_s, show_duration


@click.group(cls=Verbs, invoke_without_command=True)
@click.pass_context
def remind(ctx: click.Context) -> None:
    """Reminders: give them, OK them, put them off. Without a word it lists what is waiting."""
    if ctx.invoked_subcommand is None:
        ctx.invoke(list_reminders)


@remind.command("run")
@click.option("--for", "span", type=float, default=None, help="Stop after so many seconds.")
@click.pass_obj
def run(home: Path | None, span: float | None) -> None:
    """Give reminders without opening the bench, until Ctrl+C.

    It follows the air's file too, and ends on SIGTERM as well. One process gives the reminders of
    a shop; another stands by and takes over when it ends.
    """
    from benchmate.cli.shop.minding import mind

    mind(home, span)


@remind.command("ok")
@click.pass_obj
def ok(home: Path | None) -> None:
    """OK every reminder that is waiting: quiet on every screen within a second.

    The clocks run on; the next stage of the same clock reminds again.
    """
    with the_bench(home) as bench:
        _said(hush(bench, "command", None), "OK'd.")


@remind.command("later")
@click.argument("time")
@click.pass_obj
def later(home: Path | None, time: str) -> None:
    """Remind again in so much TIME: benchmate remind later 10min."""
    with the_bench(home) as bench:
        later_s = parse_duration_s(time, "min")
        _said(hush(bench, "command", later_s), f"will come again in {show_duration(later_s)}.")


@remind.command("list")
@click.pass_obj
def list_reminders(home: Path | None) -> None:
    """List what is waiting, and what went to whom in the last day, and whether it was heard."""
    from benchmate.bench.reminding.told import DAY_S, silent_phones, told_lines

    with the_bench(home) as bench:
        waiting = list(standing(bench))
        for reminder in waiting:
            put(reminder.text)
        if not waiting:
            put("No reminders waiting.")
        told = told_lines(bench, bench.now_s() - DAY_S)
        for line in ("", "In the last day:", *told) if told else ():
            put(line)
        for line in silent_phones(bench):
            put(line)


def _said(count: int, what: str) -> None:
    many = "1 reminder" if count == 1 else f"{count} reminders"
    put(f"{many} {what}" if count else "No reminders waiting.")
