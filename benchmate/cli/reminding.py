"""`benchmate quiet`: acknowledge reminders, or have them come again."""

from __future__ import annotations

from pathlib import Path

import click

from benchmate.bench.reminding import hush, standing
from benchmate.cli.opening import the_bench
from benchmate.quantities import parse_duration_s


@click.command()
@click.option("--again-in", metavar="TIME", help='Call me again in, for instance "10 min".')
@click.option("--list", "only_list", is_flag=True, help="Only say what stands.")
@click.pass_obj
def quiet(home: Path | None, again_in: str | None, only_list: bool) -> None:
    """Acknowledge every reminder that stands: quiet in every bench."""
    with the_bench(home) as bench:
        if only_list:
            for reminder in standing(bench):
                click.echo(reminder.text)
            return
        seconds = parse_duration_s(again_in, "min") if again_in else None
        count = hush(bench, "command", seconds)
        what = "acknowledged" if seconds is None else f"will come again in {again_in}"
        click.echo(f"{count} reminder{'' if count == 1 else 's'} {what}.")
