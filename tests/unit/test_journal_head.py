"""The head remembers the end, goes forward only, and survives a torn line."""

from __future__ import annotations

import threading
from pathlib import Path

import pytest

from benchmate.journal.head import LINE_BYTES, LINES, Head, HeadFile, newest, read, write_fresh


def digest(number: int) -> bytes:
    return number.to_bytes(32, "big")


def noted(path: Path, *counts: int) -> bytes:
    """The file's bytes after these heads were noted in turn."""
    file = HeadFile(path)
    for count in counts:
        file.note(Head(count, digest(count)))
    file.close()
    return path.read_bytes()


@pytest.mark.parametrize(
    ("counts", "newest_count"),
    [
        pytest.param((), 0, id="new"),
        pytest.param((1,), 1, id="one"),
        pytest.param((1, 2, 3, 4, 5, 6), 6, id="more than there are lines"),
        pytest.param((3, 6, 9, 12, 15), 15, id="commits of three"),
        pytest.param((5, 4), 5, id="a slow writer comes late"),
        pytest.param((5, 5), 5, id="the same again"),
    ],
)
def test_the_newest_head_noted_is_the_one_read(
    tmp_path: Path, counts: tuple[int, ...], newest_count: int
) -> None:
    noted(tmp_path / "h", *counts)
    assert read(tmp_path / "h") == Head(newest_count, digest(newest_count))


def test_the_file_never_grows_so_a_full_disk_can_t_refuse_it(tmp_path: Path) -> None:
    assert len(noted(tmp_path / "h")) == LINES * LINE_BYTES
    assert len(noted(tmp_path / "h", *range(1, 30))) == LINES * LINE_BYTES


@pytest.mark.parametrize("torn_at", [0, 1, 40, 86])
def test_a_torn_line_costs_only_the_commit_it_was_for(tmp_path: Path, torn_at: int) -> None:
    before = noted(tmp_path / "h", 1, 2, 3, 4, 5)
    after = noted(tmp_path / "h", 6)
    start = next(
        number * LINE_BYTES
        for number in range(LINES)
        if before[number * LINE_BYTES :][:LINE_BYTES] != after[number * LINE_BYTES :][:LINE_BYTES]
    )
    cut = start + torn_at
    torn = after[:cut] + before[cut : start + LINE_BYTES] + after[start + LINE_BYTES :]
    found = newest(torn)
    assert found is not None
    assert found.events in (5, 6)
    assert found.hash == digest(found.events)


def test_no_flipped_bit_makes_a_head_that_was_never_noted(tmp_path: Path) -> None:
    content = noted(tmp_path / "h", 1, 2, 3, 4, 5)
    for bit in range(len(content) * 8):
        flipped = bytearray(content)
        flipped[bit // 8] ^= 1 << bit % 8
        found = newest(bytes(flipped))
        assert found in (Head(5, digest(5)), Head(4, digest(4)))


@pytest.mark.parametrize("content", [b"", b"\n" * 512, b"nonsense", bytes(512), b"\xff" * 512])
def test_a_file_with_no_good_line_remembers_nothing(tmp_path: Path, content: bytes) -> None:
    (tmp_path / "h").write_bytes(content)
    assert read(tmp_path / "h") is None
    assert read(tmp_path / "none") is None


def test_a_fresh_head_replaces_all_that_was_remembered(tmp_path: Path) -> None:
    noted(tmp_path / "h", 1, 2, 3, 4, 5)
    write_fresh(tmp_path / "h", Head(2, digest(2)))
    assert read(tmp_path / "h") == Head(2, digest(2))
    assert [path.name for path in tmp_path.iterdir()] == ["h"]


def test_heads_noted_from_many_threads_never_go_back(tmp_path: Path) -> None:
    files = [HeadFile(tmp_path / "h") for _ in range(4)]
    threads = [
        threading.Thread(
            target=lambda file=file, first=first: [
                file.note(Head(count, digest(count))) for count in range(first, 400, 4)
            ]
        )
        for first, file in enumerate(files, 1)
    ]
    for thread in threads:
        thread.start()
    seen = [0]
    while any(thread.is_alive() for thread in threads):
        head = read(tmp_path / "h")
        assert head is not None
        seen.append(head.events)
    for file in files:
        file.close()
    assert seen == sorted(seen)
    assert read(tmp_path / "h") == Head(399, digest(399))


def test_a_head_that_can_t_be_written_is_said_and_tried_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import os

    file = HeadFile(tmp_path / "h")

    def refuse(descriptor: int, content: bytes) -> int:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(os, "write", refuse)
        file.note(Head(1, digest(1)))
    assert file.trouble == "journal.head can't be written (No space left on device)."
    file.note(Head(2, digest(2)))
    assert file.trouble is None
    file.close()
    assert read(tmp_path / "h") == Head(2, digest(2))
