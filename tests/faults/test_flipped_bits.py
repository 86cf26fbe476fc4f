"""One bit flipped anywhere: every event reads back equal, or the damage is named."""

from __future__ import annotations

import shutil
import sqlite3
from collections import Counter
from collections.abc import Callable
from pathlib import Path

import pytest

from benchmate.journal import Journal, JournalError, NewRow, StoredRow, StreamInfo

from .campaign import scaled, seeded, tell

FLIPS = scaled(60, 500)
FILES = ("journal.db", "journal.db-wal", "journal.head")
Content = tuple[list[StoredRow], list[StreamInfo]]


def all_events_in_the_database(folder: Path) -> tuple[dict[str, bytes], Content]:
    """The files of the same journal, closed: there is no log any more."""
    _, content = events_half_in_the_log(folder)
    return {name: (folder / name).read_bytes() for name in ("journal.db", "journal.head")}, content


def events_half_in_the_log(folder: Path) -> tuple[dict[str, bytes], Content]:
    """The files of a journal that is open for writing, half its events in the log only."""
    with Journal.open(folder) as journal:
        for number in range(160):
            stream = f"job:{number % 8}"
            text = (
                f'{{"kind": "weighed", "number": {number}, "note": "{"x" * (number * 7 % 400)}"}}'
            )
            journal.append(
                [NewRow(stream, text.encode())],
                {stream: number // 8},
                open_streams={stream: number % 3 > 0},
            )
            if number == 80:
                move_log_into_database(folder)
        content = journal.read_since(0), journal.streams()
        return {name: (folder / name).read_bytes() for name in FILES}, content


def move_log_into_database(folder: Path) -> None:
    other = sqlite3.connect(folder / "journal.db")
    other.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()
    other.close()


def outcome(folder: Path, content: Content, *, read_only: bool) -> str:
    """How the damage showed, if it did; a `JournalError` that is a sentence names it."""
    stage = "open"
    try:
        with Journal.open(folder, read_only=read_only) as journal:
            stage = "read"
            equal = (journal.read_since(0), journal.streams()) == content
            stage = "verify"
            verdict = journal.verify()
    except JournalError as error:
        return f"named by {stage}" if len(str(error)) > 20 else "UNNOTICED"
    if not verdict.ok:
        return "named by verify"
    return "all events equal" if equal else "UNNOTICED"


@pytest.mark.timeout(600)
@pytest.mark.parametrize("make", [events_half_in_the_log, all_events_in_the_database])
def test_no_flipped_bit_goes_unnoticed(
    tmp_path: Path, make: Callable[[Path], tuple[dict[str, bytes], Content]]
) -> None:
    chance = seeded("flipped bits")
    files, content = make(tmp_path / "live")
    outcomes: Counter[tuple[str, str]] = Counter()
    for flip in range(FLIPS):
        name = FILES[(0, 1, 0, 1, 2)[flip % 5]]
        name = name if name in files else "journal.db"
        bit = chance.randrange(len(files[name]) * 8)
        folder = tmp_path / "copy"
        folder.mkdir()
        for other, whole in files.items():
            (folder / other).write_bytes(flipped(whole, bit) if other == name else whole)
        found = outcome(folder, content, read_only=chance.random() < 0.5)
        assert found != "UNNOTICED", f"bit {bit} of {name}"
        outcomes[name, found] += 1
        shutil.rmtree(folder)
    tell(f"{FLIPS} flips, {make.__name__.replace('_', ' ')}:")
    for (name, found), times in sorted(outcomes.items()):
        tell(f"  {name}: {found}: {times}")
    assert any(found.startswith("named") for _, found in outcomes)


def test_the_copies_are_whole_before_a_bit_is_flipped(tmp_path: Path) -> None:
    """Else every flip would be "named" for the wrong reason. And the log does matter."""
    files, content = events_half_in_the_log(tmp_path / "live")
    for read_only in (True, False):
        folder = tmp_path / f"copy {read_only}"
        folder.mkdir()
        for name, whole in files.items():
            (folder / name).write_bytes(whole)
        assert outcome(folder, content, read_only=read_only) == "all events equal"
    (folder / "journal.db-wal").unlink(missing_ok=True)
    (folder / "journal.db").write_bytes(files["journal.db"])
    with pytest.raises(JournalError, match="last 79 entries of the logbook are missing"):
        Journal.open(folder)


def flipped(content: bytes, bit: int) -> bytes:
    changed = bytearray(content)
    changed[bit // 8] ^= 1 << bit % 8
    return bytes(changed)
