"""The group of all commands, each loaded when it is asked for."""

from __future__ import annotations

import re
import sys
from collections.abc import Callable
from contextlib import suppress
from importlib import import_module
from pathlib import Path
from typing import Any

import click

from benchmate import __version__
from benchmate.cli.exits import Exit
from benchmate.cli.saying import Unsaid, in_short, put
from benchmate.nearest import nearest

COMMANDS: dict[str, tuple[str, str]] = {
    "air": ("benchmate.cli.air", "Record the shop's temperature and humidity, or show its log."),
    "answer": ("benchmate.cli.acts", "Say what became of a missed window."),
    "begin": ("benchmate.cli.cup", "Say that hands are laid on a step."),
    "charts": ("benchmate.cli.charts", "Charts over your records or any column of numbers."),
    "check": ("benchmate.cli.acts", "Answer a step's check."),
    "checkup": ("benchmate.cli.checkup", "Try every channel, folder and clock; say what works."),
    "clock": ("benchmate.cli.clock", "Start a material's clock, with no job and no file."),
    "correct": ("benchmate.cli.weights", "Correct a recorded weight; the old one is kept."),
    "cup": ("benchmate.cli.cup", "Say what is left in a cup, or how much was mixed."),
    "days": ("benchmate.cli.days", "The day sheet: what to do when, and when each job is done."),
    "demo": ("benchmate.cli.demo", "Open the bench on a throw-away journal with 20 windows."),
    "did": ("benchmate.cli.clock", "Note an act without a material, in a job without a plan."),
    "finish": ("benchmate.cli.jobs", "End a job and say how it turned out."),
    "heading": ("benchmate.cli.heading", "Say where each piece's weight is heading."),
    "heat": ("benchmate.cli.heat", "How warm a mix gets in its cup and in the void."),
    "jobs": ("benchmate.cli.jobs", "List the jobs."),
    "lessons": ("benchmate.cli.lessons", "What earlier jobs of a procedure teach the next one."),
    "logbook": ("benchmate.cli.logbook", "List, verify, back up, restore or export the journal."),
    "mark": ("benchmate.cli.acts", "Mark a step done."),
    "mind": ("benchmate.cli.mind", "Remind without a screen."),
    "next": ("benchmate.cli.next", "Say in one line what is next, and when."),
    "note": ("benchmate.cli.acts", "Write a note or a photo's path into a job."),
    "papers": ("benchmate.cli.papers", "Lists to cut and to buy from, of a procedure or a job."),
    "pause": ("benchmate.cli.jobs", "Silence a job for weeks."),
    "procedures": ("benchmate.cli.procedures", "List the procedures, shipped and your own."),
    "proofread": ("benchmate.cli.proofread", "Proofread procedure files."),
    "quiet": ("benchmate.cli.reminding", "Acknowledge reminders, or have them come again later."),
    "reckon": ("benchmate.cli.reckon", "Ready reckoners for weights, voids, mixes and air."),
    "resume": ("benchmate.cli.jobs", "Bring a paused job back."),
    "scale": ("benchmate.cli.scale", "Describe a scale, or check it with a known weight."),
    "seen": ("benchmate.cli.acts", "List or tick off what there is to see."),
    "skip": ("benchmate.cli.acts", "Leave a step out, with the reason."),
    "spoil": ("benchmate.cli.acts", "A piece is scrap, or is to be made again."),
    "start": ("benchmate.cli.start", "Start a job from a procedure, or without one."),
    "starter": ("benchmate.cli.starter", "Write a commented procedure file to begin with."),
    "stop": ("benchmate.cli.jobs", "End a job before its last step."),
    "stores": ("benchmate.cli.stores", "The materials on the shelf."),
    "takeback": ("benchmate.cli.acts", "Take back the newest act of a job."),
    "weigh": ("benchmate.cli.weights", "Record a weight and hear how it compares."),
    "wish": ("benchmate.cli.acts", "Say what to do differently next time."),
}


_BELOW_ZERO = re.compile(r"-\s*[.,]?\d")


def _with_minus(command: click.Command) -> click.Command:
    """The command, taking "-5" for what was typed in an argument's place, not for an option."""
    if isinstance(command, click.Group) or hasattr(command, "_parse_options"):
        return command
    parse: Callable[[click.Context, list[str]], list[str]] = command.parse_args

    def parse_args(ctx: click.Context, args: list[str]) -> list[str]:
        if any(_BELOW_ZERO.match(word) for word in args):
            ctx.ignore_unknown_options = True
        return parse(ctx, args)

    command._parse_options = parse  # type: ignore[attr-defined]
    command.parse_args = parse_args  # type: ignore[method-assign]
    return command


class Commands(click.Group):
    """Commands by name; a mistyped one is answered with the nearest right one."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """All names."""
        return sorted(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Load one command's module."""
        if cmd_name not in COMMANDS:
            return None
        module = import_module(COMMANDS[cmd_name][0])
        found = getattr(module, cmd_name, None) or module.command
        assert isinstance(found, click.Command)
        return _with_minus(found)

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Find the command, or name the nearest right one."""
        name = args[0] if args else ""
        if name and not name.startswith("-") and name not in COMMANDS:
            near = nearest(name, COMMANDS)
            hint = f" Did you mean `{near}`?" if near else " `benchmate --help` lists them."
            ctx.fail(f"There is no command `{name[:40]}`.{hint}")
        return super().resolve_command(ctx, args)

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
        """List the commands from the table, without loading any."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, COMMANDS[name][1]) for name in self.list_commands(ctx)])


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
