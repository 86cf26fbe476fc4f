"""Broken files, each with what its writer is told. `broken/messages.txt` holds every line."""

import re
from pathlib import Path

import pytest

from benchmate.fields.problem import ProcedureError
from benchmate.procedure.file.reading import decode
from benchmate.procedure.finding import library
from benchmate.procedure.proofread import proofread_text
from benchmate.procedure.trade.proof import DOUBTS
from benchmate.shelf import FAMILIES

SURE = re.compile(r'write sure = ("[^"]+")$')
FOLDER = Path(__file__).parent / "broken"
FILES = sorted(FOLDER.glob("*.toml"))
MESSAGES = (FOLDER / "messages.txt").read_text(encoding="utf-8").splitlines()


def said_of(path: Path) -> list[str]:
    found = proofread_text(
        path.read_text(encoding="utf-8"), path.name, library(), materials={}, families=FAMILIES
    )
    return [str(problem) for problem in found]


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_a_broken_file_is_told_exactly_this(path: Path) -> None:
    expected = [line for line in MESSAGES if line.startswith(f"{path.name}:")]
    assert expected, "every broken file has its message"
    assert said_of(path) == expected


def test_there_are_a_hundred_and_fifty_of_them_and_more() -> None:
    assert len(FILES) >= 150


DOUBTFUL = [p for p in FILES if any(f"{p.name}:" in m and SURE.search(m) for m in MESSAGES)]


@pytest.mark.parametrize("path", DOUBTFUL, ids=lambda p: p.stem)
def test_a_doubt_is_still_when_the_file_says_that_it_is_meant(path: Path) -> None:
    """The message itself says which word to write; it is written where the message points."""
    (message,) = [m for m in MESSAGES if m.startswith(f"{path.name}:")]
    found = SURE.search(message)
    assert found is not None
    lines = path.read_text(encoding="utf-8").split("\n")
    place = int(message.split(":")[1])
    while place and not lines[place - 1].startswith("["):
        place -= 1
    text = "\n".join([*lines[:place], f"sure = {found[1]}", *lines[place:]])
    assert proofread_text(text, path.name, library(), materials={}, families=FAMILIES) == []


def test_there_are_doubts_of_every_kind() -> None:
    words = {found[1].strip('"') for m in MESSAGES if (found := SURE.search(m))}
    assert words == set(DOUBTS)


def test_messages_say_what_to_write_instead() -> None:
    for line in MESSAGES:
        assert "; " in line, line


def test_a_file_that_is_too_large_is_refused_before_it_is_read() -> None:
    with pytest.raises(ProcedureError, match=r"big.toml:1: the file is larger than 1 MiB"):
        decode(b"a" * ((1 << 20) + 1), "big.toml")


def test_a_file_that_is_not_utf_8_names_the_line() -> None:
    with pytest.raises(ProcedureError, match=r"odd.toml:3: the file is not UTF-8 text"):
        decode('name = "Tray"\n\nabout = "für"\n'.encode("latin-1"), "odd.toml")


def test_a_byte_order_mark_and_windows_line_ends_are_read() -> None:
    assert decode("\ufeffname = 1\r\n".encode(), "x.toml") == "name = 1\n"
