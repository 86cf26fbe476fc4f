"""Broken files, each with what its writer is told. `broken/messages.txt` holds every line."""

from pathlib import Path

import pytest

from benchmate.fields.problem import ProcedureError
from benchmate.procedure.file.reading import decode
from benchmate.procedure.finding import library
from benchmate.procedure.proofread import proofread_text
from benchmate.stores import FAMILIES

FOLDER = Path(__file__).parent / "broken"
FILES = sorted(FOLDER.glob("*.toml"))
MESSAGES = (FOLDER / "messages.txt").read_text(encoding="utf-8").splitlines()


def said_of(path: Path) -> list[str]:
    found = proofread_text(
        path.read_text(encoding="utf-8"), path.name, library(), tins={}, families=FAMILIES
    )
    return [str(problem) for problem in found]


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_a_broken_file_is_told_exactly_this(path: Path) -> None:
    expected = [line for line in MESSAGES if line.startswith(f"{path.name}:")]
    assert expected, "every broken file has its message"
    assert said_of(path) == expected


def test_there_are_forty_of_them_and_more() -> None:
    assert len(FILES) >= 40


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
