"""`benchmate quiet`: acknowledge reminders, or have them come again."""

from __future__ import annotations

from pathlib import Path

import click

from benchmate.bench.reminding.reminding import hush, standing
from benchmate.cli.opening import the_bench
from benchmate.cli.saying import put
from benchmate.quantities import parse_duration_s, show_duration


@click.command()
@click.option("--again-in", metavar="TIME", help='Call me again in, for instance "10 min".')
@click.option("--list", "only_list", is_flag=True, help="Only say what stands.")
@click.pass_obj
def quiet(home: Path | None, again_in: str | None, only_list: bool) -> None:
    """Acknowledge every reminder that stands: quiet in every bench within a second.

    The windows run on; a later stage of the same window speaks again.
    """
    with the_bench(home) as bench:
        if only_list:
            for reminder in standing(bench):
                put(reminder.text)
            return
        again_in_s = parse_duration_s(again_in, "min") if again_in else None
        count = hush(bench, "command", again_in_s)
        what = "1 reminder" if count == 1 else f"{count} reminders"
        if count == 0:
            put("No reminder stands.")
        elif again_in_s is None:
            put(f"{what} acknowledged.")
        else:
            put(f"{what} will come again in {show_duration(again_in_s)}.")
