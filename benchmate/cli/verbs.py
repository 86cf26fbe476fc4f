"""Groups of commands: a mistyped word is answered with the nearest right one."""

from __future__ import annotations

import re
from collections.abc import Callable
from importlib import import_module
from typing import Any

import click

from benchmate.nearest import nearest

_BELOW_ZERO = re.compile(r"-\s*[.,]?\d")


def with_minus(command: click.Command) -> click.Command:
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


class Verbs(click.Group):
    """A group in the order in which it was written down; `later` words are loaded when called.

    `later` holds a word's module, whose attribute of that name it is, and its line in the help.
    """

    def __init__(self, *args: Any, later: dict[str, tuple[str, str]] | None = None, **more: Any):
        super().__init__(*args, **more)
        self.later = later or {}

    def list_commands(self, ctx: click.Context) -> list[str]:
        """All words, in the order of the help."""
        return [*self.commands, *self.later]

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command of a word; its module is loaded now."""
        if cmd_name not in self.later:
            known = super().get_command(ctx, cmd_name)
            return None if known is None else with_minus(known)
        command = getattr(import_module(self.later[cmd_name][0]), cmd_name)
        assert isinstance(command, click.Command)
        return with_minus(command)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """List the words without loading any."""
        rows = [(name, command.get_short_help_str(80)) for name, command in self.commands.items()]
        rows += [(name, about) for name, (_, about) in self.later.items()]
        with formatter.section("Commands"):
            formatter.write_dl(rows)

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Find the command, or name the nearest right one."""
        name, known = args[0] if args else "", self.list_commands(ctx)
        if name and not name.startswith("-") and name not in known:
            near, path = nearest(name, known), ctx.command_path
            hint = f" Did you mean `{near}`?" if near else f" `{path} --help` lists them."
            ctx.fail(f"There is no command `{name[:40]}`.{hint}")
        return super().resolve_command(ctx, args)
