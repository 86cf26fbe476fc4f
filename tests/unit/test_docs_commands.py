"""Every command stands in the docs, none that is gone does, and options keep one meaning."""

from __future__ import annotations

import re
from pathlib import Path

import click
import pytest

from benchmate.cli.group import COMMANDS, GROUPS, cli

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs" / "commands.md").read_text(encoding="utf-8")
PAGES = [ROOT / "README.md", ROOT / "procedures" / "README.md", *(ROOT / "docs").glob("*.md")]


def _verbs(name: str) -> list[str]:
    command = cli.get_command(click.Context(cli), name)
    assert command is not None
    words = (
        command.list_commands(click.Context(command)) if isinstance(command, click.Group) else []
    )
    return [f"{name} {word}" for word in words]


@pytest.mark.parametrize("name", list(COMMANDS))
def test_the_page_has_every_command_and_its_words(name: str) -> None:
    assert f"`benchmate {name}" in PAGE
    missing = [words for words in _verbs(name) if f"`{words}" not in PAGE]
    assert not missing


@pytest.mark.parametrize("page", PAGES, ids=lambda p: p.name)
def test_no_page_names_a_command_that_is_gone(page: Path) -> None:
    text = page.read_text(encoding="utf-8")
    named = set(re.findall(r"(?:^|`|\$ )benchmate ([a-z]+)\b", text, re.MULTILINE))
    assert named - {"counts"} <= COMMANDS.keys()  # "benchmate counts, compares and reminds"


def test_there_are_at_most_25_in_groups_of_what_a_maker_does() -> None:
    assert len(COMMANDS) <= 25
    assert list(GROUPS) == ["At the bench", "Jobs", "The shop", "Record and set-up"]


def test_an_option_has_one_meaning() -> None:
    words = ("stands", "anyway", "yes", "tin", "family", "event", "take", "takeback")
    gone = {f"--{word}" for word in words}
    found = {
        (path, option)
        for name in COMMANDS
        for path, command in _leaves(name)
        for param in command.params
        for option in param.opts
        if option in gone
    }
    assert not found


def _leaves(name: str) -> list[tuple[str, click.Command]]:
    command = cli.get_command(click.Context(cli), name)
    assert command is not None
    found = [(name, command)]
    if isinstance(command, click.Group):
        context = click.Context(command)
        for word in command.list_commands(context):
            one = command.get_command(context, word)
            assert one is not None
            found.append((f"{name} {word}", one))
    return found
