"""Whatever is typed behind any command: an answer or a sentence and a code, never a traceback.

All commands and their parameters are found by asking for them: a new one is swept as well.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import click
import pytest
from click.testing import CliRunner, Result

from benchmate.bench import Bench
from benchmate.bench.planning import planning
from benchmate.cli import opening
from benchmate.cli.exits import Exit
from benchmate.cli.group import COMMANDS, cli
from benchmate.cli.shop.heat import heat
from benchmate.settings import Settings, find_folders
from tests.planning_help import asked_here
from tests.unit.airing_help import Glueing

NOT_SWEPT = {
    "remind run": "it reminds until it is ended",
    "demo": "it opens a screen",
    "page": "it serves until it is ended",
    "checkup": "it tries the channels of this very machine",
}
PAGE = "Sand to 240.\n\x1b[2J" + "and so on " * 900
TYPED = ("abc", "-3", "1e999", "nan", "", PAGE)
LONGEST_WORD = 2_000
"""A pasted page is not said back to whoever pasted it."""
Leaf = tuple[tuple[str, ...], click.Command]


def leaves(path: tuple[str, ...], command: click.Command) -> Iterator[Leaf]:
    """A command, or the commands of a group, by their words."""
    if not isinstance(command, click.Group):
        yield path, command
        return
    context = click.Context(command)
    for name in command.list_commands(context):
        found = command.get_command(context, name)
        assert found is not None
        yield from leaves((*path, name), found)


def every() -> list[Leaf]:
    context = click.Context(cli)
    found = ((name, cli.get_command(context, name)) for name in sorted(COMMANDS))
    some = [leaf for name, it in found if it is not None for leaf in leaves((name,), it)]
    some.append((("calc", "heat"), heat))
    return [leaf for leaf in some if " ".join(leaf[0]) not in NOT_SWEPT]


def tries(command: click.Command) -> Iterator[list[str]]:
    """For each parameter with a value: the command's words with each strange text in its place."""
    arguments = [p for p in command.params if isinstance(p, click.Argument)]
    options = [p for p in command.params if isinstance(p, click.Option) and not p.is_flag]
    plain = ["1" for p in arguments if p.required]
    for typed in TYPED:
        for n in range(len(arguments)):
            words = list(plain) + ["1"] * (n + 1 - len(plain))
            words[n] = typed
            yield words
        for option in options:
            yield [*plain, option.opts[0], typed]


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Glueing:
    """One joint is being glued; commands work in a folder of their own."""
    made = Glueing(tmp_path / "home")
    made.joint("glue")
    made.bench.close()
    monkeypatch.setattr(opening, "make_clock", lambda: made.clock)
    monkeypatch.setattr(planning, "asked", asked_here)
    monkeypatch.chdir(tmp_path)
    return made


def run(home: Path, *words: str) -> Result:
    return CliRunner().invoke(cli, ["--home", str(home), *words])


def fault_of(result: Result) -> str:
    """What is wrong with how a command ended; empty where nothing is."""
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        return f"raised {result.exception!r}"
    if result.exit_code not in set(Exit):
        return f"ended with {result.exit_code}"
    if result.exit_code and not result.stderr.strip():
        return "failed without a word"
    if "Traceback" in result.stderr or "\x1b" in result.output:
        return "showed its insides"
    if len(result.stderr) > LONGEST_WORD:
        return f"said {len(result.stderr)} characters"
    return ""


@pytest.mark.parametrize(
    ("path", "command"), every(), ids=lambda v: " ".join(v) if isinstance(v, tuple) else ""
)
def test_strange_words_are_answered_in_a_sentence(
    path: tuple[str, ...], command: click.Command, shop: Glueing
) -> None:
    faults = []
    for words in tries(command):
        fault = fault_of(run(shop.home, *path, *words))
        if fault:
            faults.append(f"{' '.join(path)} {[w[:20] for w in words]}: {fault}")
    assert not faults, "\n".join(faults)
    with closing(Bench.open(find_folders(shop.home), Settings(), clock=shop.clock)) as bench:
        assert bench.verify_sentence() == ""


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("weigh", "-5"), "“-5”"),
        (("weigh", "-5.2 g", "block"), "“-5.2 g”"),
        (("weigh", "-5", "--correct", "3"), "“-5”"),
    ],
)
def test_a_minus_is_part_of_a_number_and_no_option(
    shop: Glueing, words: tuple[str, ...], said: str
) -> None:
    result = run(shop.home, *words)
    assert result.exit_code == Exit.REFUSED
    assert "--" not in result.stderr
    assert "option" not in result.stderr


def test_air_below_zero_is_recorded(shop: Glueing) -> None:
    assert run(shop.home, "air", "-5C").stdout.startswith("Recorded: shop -5 °C.")


def test_a_mistyped_option_is_still_named_as_one(shop: Glueing) -> None:
    assert "No such option" in run(shop.home, "air", "--plcae", "box").stderr
