"""Whatever is wrong with the folder: one sentence that names it and says what to do, at every
front door, and nothing changed."""

from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path
from random import Random

import click
import pytest
from click.testing import CliRunner, Result

if os.name != "posix":
    pytest.skip("terminals and owners of this kind are for Unix", allow_module_level=True)

from benchmate.bench import Bench
from benchmate.cli.exits import Exit
from benchmate.cli.group import cli
from benchmate.cli.next import quick
from benchmate.job.deciding import commands as cmd
from benchmate.journal import verify
from benchmate.journal.keeping.verify import verify_copy
from benchmate.settings import Settings, find_folders
from tests.faults.campaign import ROOT
from tests.faults.minding_processes import wait_for
from tests.faults.mounts import read_only_view, tiny_disk
from tests.faults.terminals import Terminal
from tests.unit.shop_of_tests import plan

NOTES = 40
DOORS = [["next"], ["next", "--json"], ["weigh", "12 g"], ["logbook", "verify"]]
"""Reading in two ways, writing, checking."""
SALVAGE = "`benchmate logbook salvage`"


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """A job with many notes, closed."""
    fill(tmp_path / "home")
    return tmp_path / "home"


def fill(home: Path) -> None:
    with closing(Bench.open(find_folders(home), Settings())) as bench:
        bench.do("t", cmd.StartJob(job="t", title="Pair", plan=plan()))
        for number in range(NOTES):
            bench.do("t", cmd.Note(text=f"{number} " + "x" * 200))


def run(home: Path, *words: str) -> Result:
    """A command's output, talk and code; `next` goes the short way that a shell prompt takes."""
    if words == ("next",):
        return CliRunner(env={"BENCHMATE_HOME": str(home)}).invoke(prompt)
    return CliRunner().invoke(cli, ["--home", str(home), *words])


@click.command()
def prompt() -> None:
    """What a shell prompt calls."""
    sys.exit(quick())


def bytes_of(folder: Path) -> dict[str, bytes]:
    return {p.name: p.read_bytes() for p in folder.iterdir() if p.is_file()}


def flip_the_middle(data: Path) -> None:
    journal = data / "journal.db"
    content = bytearray(journal.read_bytes())
    for number in range(40):
        content[len(content) // 2 + 7 * number] ^= 0xFF
    journal.write_bytes(content)


def lose_the_log(data: Path) -> None:
    """What was committed since the last tidying up is gone, and the head remembers it."""
    with closing(Bench.open(find_folders(data.parent), Settings())) as bench:
        bench.do("t", cmd.Note(text="in the log"))
        kept = {name: (data / name).read_bytes() for name in ("journal.db", "journal.head")}
    for name, content in kept.items():
        (data / name).write_bytes(content)


def put_a_folder_in_its_place(data: Path) -> None:
    (data / "journal.db").unlink()
    (data / "journal.db").mkdir()


def garble_the_head(data: Path) -> None:
    (data / "journal.head").write_bytes(Random(1).randbytes(512))


def from_the_future(data: Path) -> None:
    with closing(sqlite3.connect(data / "journal.db", isolation_level=None)) as journal:
        journal.execute("INSERT INTO migrations (name) VALUES ('a layout of tomorrow')")
        journal.execute("PRAGMA user_version = 99")


def no_database(data: Path) -> None:
    (data / "journal.db").write_bytes(Random(2).randbytes(20_000))


def empty_the_file(data: Path) -> None:
    (data / "journal.db").write_bytes(b"")


def take_the_file_away(data: Path) -> None:
    (data / "journal.db").unlink()


def a_file_for_the_folder(data: Path) -> None:
    shutil.rmtree(data)
    data.write_text("not a folder")


DAMAGED = [
    (flip_the_middle, "can't be read as one", SALVAGE, Exit.DAMAGED),
    (
        lose_the_log,
        "The last entry of the logbook is missing",
        SALVAGE,
        Exit.DAMAGED,
    ),
    (garble_the_head, "journal.head is missing or unreadable", SALVAGE, Exit.DAMAGED),
    (no_database, "can't be read as one", SALVAGE, Exit.DAMAGED),
    (empty_the_file, "entries of the logbook are missing", SALVAGE, Exit.DAMAGED),
    (take_the_file_away, "journal.db is gone", SALVAGE, Exit.DAMAGED),
    (
        put_a_folder_in_its_place,
        "is a folder where the logbook's file should be",
        "Move it aside",
        Exit.UNWRITABLE,
    ),
    (a_file_for_the_folder, "is no folder", "Move the file aside", Exit.UNWRITABLE),
    (
        from_the_future,
        "was laid out by a newer benchmate",
        "Open it with that version",
        Exit.REFUSED,
    ),
]


@pytest.mark.parametrize(
    ("break_it", "wrong", "remedy", "code"), DAMAGED, ids=[row[0].__name__ for row in DAMAGED]
)
def test_damage_is_named_with_its_remedy_at_every_door_and_nothing_is_changed(
    home: Path, break_it: Callable[[Path], None], wrong: str, remedy: str, code: Exit
) -> None:
    data = home / "data"
    break_it(data)
    before = bytes_of(data) if data.is_dir() else {}
    for words in DOORS:
        done = run(home, *words)
        assert done.exit_code == code, words
        assert wrong in done.stderr, words
        assert remedy in done.stderr, words
        # Reading shows what is whole, and how much that is; nothing else says anything.
        shows = "Shown is what is whole of it: " in done.stderr
        assert shows == bool(done.stdout), words
        assert not shows or words[0] == "next"
        assert done.stderr.count("\n") == (2 if shows else 1), words
    with Terminal(home) as terminal:
        assert terminal.ended() == code
        assert wrong in terminal.text
        assert remedy in terminal.text
        assert "\x1b" not in terminal.text
    after = bytes_of(data) if data.is_dir() else {}
    assert {name: after[name] for name in before} == before


def test_salvage_keeps_what_can_be_read_and_the_bench_goes_on(home: Path) -> None:
    lose_the_log(home / "data")
    done = run(home, "logbook", "salvage")
    assert done.exit_code == 0
    assert "42 of 43 entries are back in their place; 1 entry is lost (number 43)" in done.stdout
    assert "What was there lies in" in done.stdout
    assert run(home, "note", "on we go").exit_code == 0
    assert verify(home / "data").ok
    assert "Nothing to salvage" in run(home, "logbook", "salvage").stdout


def test_restore_without_a_name_takes_the_last_good_backup(home: Path) -> None:
    refused = run(home, "logbook", "restore")
    assert refused.exit_code == Exit.REFUSED
    assert "There is no good backup in" in refused.stderr
    with closing(Bench.open(find_folders(home), Settings())) as bench:
        assert bench.backup_if_due() == ""
        events = bench.journal.end
    flip_the_middle(home / "data")
    said = run(home, "next").stderr
    assert "`benchmate logbook restore` puts back the last good backup, " in said
    assert f"({events} entries)" in said
    assert f"{events} entries are back in their place." in run(home, "logbook", "restore").stdout
    assert run(home, "next").exit_code == 0


@pytest.mark.parametrize("words", [(), ("remind", "run")], ids=["a bench", "a mind"])
def test_who_stays_open_makes_the_days_backup(home: Path, words: tuple[str, ...]) -> None:
    with Terminal(home, *words) as terminal:
        wait_for(lambda: terminal.read(wait_s=0.05) and backups(home))
        terminal.process.terminate()
        assert terminal.ended() == 0
    assert len(backups(home)) == 1
    assert verify_copy(backups(home)[0]).events >= NOTES


@pytest.mark.parametrize(
    ("words", "sign"),
    [((), "logbook file: trouble"), (("remind", "run"), SALVAGE)],
    ids=["a bench", "a mind"],
)
def test_who_stays_open_finds_damage_where_nobody_looks(
    home: Path, words: tuple[str, ...], sign: str
) -> None:
    """A job that has ended isn't read at the start."""
    with closing(Bench.open(find_folders(home), Settings())) as bench:
        bench.do("t", cmd.Stop(reason="the wood split"))
    with closing(sqlite3.connect(home / "data" / "journal.db", isolation_level=None)) as journal:
        journal.execute("UPDATE events SET data = data || 'x' WHERE seq = 9")
    with Terminal(home, *words) as terminal:
        terminal.until("is not what was recorded")
        terminal.until(sign)
        terminal.process.terminate()
        assert terminal.ended() == 0
    assert backups(home) == []


def backups(home: Path) -> list[Path]:
    return sorted((home / "data" / "backups").glob("*.journal.db"))


def test_a_journal_that_was_never_there_is_no_damage(tmp_path: Path) -> None:
    assert run(tmp_path, "next").stdout.startswith("No job is open.")
    assert run(tmp_path, "next", "--json").stdout == "null\n"
    assert run(tmp_path, "logbook", "verify").exit_code == Exit.MISSING
    assert not (tmp_path / "data").exists()


@pytest.mark.parametrize(
    ("content", "wrong"),
    [(b"\xff\xfe\x00garbage", "this isn't UTF-8 text"), (b"theme = [\n", "settings.toml:")],
    ids=["no text", "no settings"],
)
def test_settings_that_can_t_be_read_are_named_and_nothing_waits_for_them(
    home: Path, content: bytes, wrong: str
) -> None:
    (home / "settings.toml").write_bytes(content)
    said = run(home, "note", "goes on")
    assert said.exit_code == 0
    assert wrong in said.stderr
    assert "The default settings hold until it is mended." in said.stderr
    assert run(home, "next").exit_code == 0
    with Terminal(home, size=(200, 30)) as terminal:
        terminal.until(wrong)


def test_a_folder_that_may_only_be_read_is_read_and_refuses_the_rest(
    home: Path, tmp_path: Path
) -> None:
    with read_only_view(home, tmp_path / "view") as view:
        assert run(view, "next").stdout.startswith("Mix resin")
        assert run(view, "logbook", "verify").exit_code == 0
        for words in (["weigh", "12 g"], ["note", "no"]):
            done = run(view, *words)
            assert done.exit_code == Exit.UNWRITABLE
            assert "Make the folder writable" in done.stderr
        with Terminal(view) as terminal:
            terminal.until("nothing can be recorded")
            terminal.until("Mix resin")


def test_a_full_disk_is_read_and_refuses_the_rest(home: Path, tmp_path: Path) -> None:
    with tiny_disk(tmp_path / "disk", 600) as disk:
        shutil.copytree(home, disk, dirs_exist_ok=True)
        with (disk / "filler").open("wb", buffering=0) as filler:
            while filler_writes(filler.fileno()):
                pass
        assert run(disk, "next").stdout.startswith("Mix resin")
        assert run(disk, "logbook", "verify").exit_code == 0
        done = run(disk, "note", "no")
        assert done.exit_code == Exit.UNWRITABLE
        assert "is full. Nothing was recorded. Make some room on the disk" in done.stderr
        with Terminal(disk) as terminal:
            terminal.until("The disk that holds")
            assert "Mix resin" in terminal.text, "the clocks and steps are shown all the same"


def filler_writes(descriptor: int) -> bool:
    try:
        return os.write(descriptor, bytes(4096)) > 0
    except OSError:
        return False


UNREADABLE = """
import os, sys
from pathlib import Path
from benchmate.bench import Bench
from benchmate.journal import JournalError, verify
from benchmate.settings import Settings, find_folders
if os.geteuid() == 0:
    os.seteuid(65534)
folders = find_folders(Path(sys.argv[1]))
for act in (
    lambda: Bench.open(folders, Settings()),
    lambda: Bench.open(folders, Settings(), create=False, read_only=True),
    lambda: verify(folders.data),
):
    try:
        print("nothing was said", act())
    except JournalError as error:
        print(error)
"""


@pytest.fixture
def anybodys() -> Iterator[Path]:
    """A folder that who isn't its owner can get to."""
    with tempfile.TemporaryDirectory() as name:
        Path(name).chmod(0o755)
        yield Path(name)


@pytest.mark.parametrize("what", ["journal.db", "."], ids=["file", "folder"])
def test_what_may_not_be_opened_is_said_so(anybodys: Path, what: str) -> None:
    fill(anybodys)
    (anybodys / "data").chmod(0o755)
    (anybodys / "data" / "journal.head").chmod(0o644)
    (anybodys / "data" / what).chmod(0o000)
    try:
        done = subprocess.run(
            [sys.executable, "-c", UNREADABLE, str(anybodys)],
            cwd=ROOT,
            capture_output=True,
            text=True,
            check=True,
        )
    finally:
        (anybodys / "data" / what).chmod(0o700)
    said = done.stdout.splitlines()
    assert len(said) == 3
    for line in said:
        assert "Make the folder writable" in line or "Nothing is damaged" in line
