"""The group of all commands, each loaded when it is asked for."""

from __future__ import annotations

import sys
from contextlib import suppress
from importlib import import_module
from pathlib import Path
from typing import Any

import click

from benchmate import __version__
from benchmate.cli.exits import Exit
from benchmate.cli.saying import Unsaid, in_short, put
from benchmate.cli.verbs import Verbs, with_minus

GROUPS: dict[str, dict[str, tuple[str, str]]] = {
    "At the bench": {
        "next": ("next", "What is next, and when, in one line."),
        "done": ("at_bench.done", "A step is done or started; its checks; an extra step."),
        "weigh": ("at_bench.weigh", "Record a weight; compare it with the plan."),
        "clock": ("at_bench.clock", "Time a glue-up, a cup or a coat without a plan."),
        "missed": ("at_bench.telling", "Say what happened when a clock ran out."),
        "skip": ("at_bench.telling", "Leave out a step, with the reason."),
        "note": ("at_bench.telling", "Write a note or a photo's path; for now or for next time."),
        "undo": ("at_bench.telling", "Undo the last entry of a job."),
    },
    "Jobs": {
        "start": ("jobs.start", "Start a job from a procedure, or without one."),
        "job": ("jobs.job", "Open jobs; pause, resume, finish, stop, scrap a piece."),
        "days": ("jobs.days", "The day sheet: what to do when, and when each job is done."),
        "papers": ("jobs.papers", "Card, labels, templates, lists, report: on paper."),
        "weights": ("jobs.weights", "What each piece will weigh, and what would land it."),
        "flags": ("jobs.flags", "List or OK what is off plan."),
        "procedure": ("jobs.procedure", "Procedures: list, write, check, learn from jobs."),
    },
    "The shop": {
        "shelf": ("shop.shelf", "What is on your shelf, and what its labels say."),
        "air": ("shop.air", "Record the shop's temperature and humidity; what if."),
        "scale": ("shop.scale", "Describe a scale, or check it with a known weight."),
        "remind": ("shop.remind", "Reminders: give, OK or put off."),
        "page": ("shop.page", "The clocks on a phone or tablet in the local network."),
        "calc": ("shop.calc", "Calculators: weights, voids, mixes, walls, moisture."),
    },
    "Record and set-up": {
        "logbook": ("record.logbook", "What was recorded: list, chart, check, back up, export."),
        "checkup": ("record.checkup", "Try every channel, folder and clock; say what works."),
        "demo": ("record.demo", "Open the bench on a throw-away shop."),
    },
}
"""What a maker does, and the commands for it: each with its module in this room and its line."""
COMMANDS = {name: it for group in GROUPS.values() for name, it in group.items()}


class Commands(Verbs):
    """Commands by name; a mistyped one is answered with the nearest right one."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """All names."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Load one command's module."""
        if cmd_name not in COMMANDS:
            return None
        module = import_module(f"benchmate.cli.{COMMANDS[cmd_name][0]}")
        found = getattr(module, cmd_name, None) or module.command
        assert isinstance(found, click.Command)
        return with_minus(found)

    def invoke(self, ctx: click.Context) -> Any:
        """Run a command. What the parser refuses is said in short, and what a file's name or the
        disk refuses in a sentence."""
        try:
            return super().invoke(ctx)
        except click.UsageError as error:
            raise click.UsageError(in_short(error.format_message()), error.ctx) from error
        except Unsaid as error:
            _on_stderr(
                f"What there was to say can't be written out ({error}). What was recorded stands."
            )
            ctx.exit(Exit.UNSAID)
        except UnicodeEncodeError as error:
            put(
                f"Character {error.start + 1} of what was typed is no character. Nothing was "
                "recorded; type it again.",
                err=True,
            )
            ctx.exit(Exit.REFUSED)
        except OSError as error:
            if isinstance(error, BrokenPipeError):
                raise
            name = f": {str(error.filename)[:60]}" if error.filename else ""
            put(in_short(f"{error.strerror or error}{name}."), err=True)
            ctx.exit(Exit.UNWRITABLE)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """List the commands by what a maker does, without loading any."""
        wide = max(map(len, COMMANDS))
        for title, group in GROUPS.items():
            with formatter.section(title):
                formatter.write_dl([(f"{name:<{wide}}", it[1]) for name, it in group.items()])


def _on_stderr(text: str) -> None:
    """Say it on standard error, which may be as full as standard output."""
    with suppress(Unsaid, OSError):
        put(text, err=True)
    # Python would try once more at its end, and then end with a code of its own.
    with suppress(OSError):
        sys.stdout.close()


@click.group(cls=Commands, invoke_without_command=True)
@click.option(
    "--home",
    type=click.Path(path_type=Path, file_okay=False),
    help="Folder for data, settings and procedures (also BENCHMATE_HOME).",
)
@click.version_option(__version__, prog_name="benchmate")
@click.pass_context
def cli(ctx: click.Context, home: Path | None) -> None:
    """A bench assistant for weighted wooden pieces. Without a command it opens the bench."""
    ctx.obj = home
    if ctx.invoked_subcommand is None:
        from benchmate.cli.open_bench import open_bench

        ctx.exit(open_bench(home))
