"""`journal.head`: how many events were committed, and the hash of the last, kept beside them.

A damaged write-ahead log loses the newest events without a word: SQLite drops every frame after
the first bad one, and what is left passes each check it has. Only a second place that remembers
the end can tell. This is that place.

The file is four lines of 128 bytes in one disk sector, each a count, a hash and a checksum. The
newest valid line is the head. A write goes over the *oldest* line, so that one torn by a power
cut costs at most the newest commit's line and never the file.

Why one durable weighing costs one disk sync and not two:

- A line is written only after SQLite has committed and synced its own log. So the head never
  claims an event that isn't safe, whenever the power goes.
- The line is in the operating system's cache before `append` returns. A killed program, then,
  loses at most the line of the commit in flight, and the next writer fills it in.
- Only a power cut or a crashed system can lose a line that was written but not yet synced. For
  that a background thread syncs the head 20 ms after the first unsynced line, and `close` syncs
  it too. The events themselves are synced by then; for one to be lost *unnoticed*, the power must
  fail inside those 20 ms *and* the log's last frames, already synced, must be damaged as well. A
  second sync inside the commit would close that gap, at half as much again for every weighing.
"""

from __future__ import annotations

import os
import threading
import zlib
from pathlib import Path
from queue import Empty, SimpleQueue
from typing import NamedTuple

from benchmate.clock import steady_s
from benchmate.journal.chain import GENESIS
from benchmate.journal.errors import JournalUnwritable
from benchmate.journal.files import BINARY, lock, sync_folder, unlock, write_durably

HEAD = "journal.head"
LINE_BYTES = 128
LINES = 4
SYNC_DELAY_S = 0.02
_sync_data = getattr(os, "fdatasync", os.fsync)


class Head(NamedTuple):
    """So many events are committed, and the chain stands at `hash`."""

    events: int
    hash: bytes


def read(path: Path) -> Head | None:
    """The head that a file remembers; `None` when it is missing or no line of it is valid.

    Raises `JournalUnwritable` where it stands there and may not be read: that is a matter of
    rights, and no damage.
    """
    try:
        content = path.read_bytes()
    except PermissionError as error:
        raise JournalUnwritable(
            f"{path} may not be read ({error.strerror}). Nothing is damaged: give yourself the "
            "right to read the files in this folder."
        ) from error
    except OSError:
        return None
    return newest(content)


def newest(content: bytes) -> Head | None:
    """The head with the highest count among the valid lines."""
    return max(filter(None, map(_parse, _split(content))), default=None)


def write_fresh(path: Path, head: Head) -> None:
    """Make a head file anew, durably, over whatever was there (a restore, a new journal).

    Raises `OSError`.
    """
    write_durably(path, _whole(head))


_NOTHING = Head(0, GENESIS)
_NOTED, _CLOSING = True, False


class HeadFile:
    """The head while a journal is open for writing; made if it isn't there. Any thread may use it.

    Failing to write it never undoes a commit: the sentence is kept in `trouble`, and the next
    note tries again. Making one raises `OSError`.
    """

    def __init__(self, path: Path) -> None:
        self._descriptor = os.open(path, os.O_RDWR | os.O_CREAT | BINARY, 0o600)
        try:
            self._fill(path)
        except OSError:
            os.close(self._descriptor)
            raise
        self._mutex = threading.Lock()
        self._news: SimpleQueue[bool] = SimpleQueue()
        self._syncer: threading.Thread | None = None
        self._counts: dict[bytes, int] = {}
        self.trouble: str | None = None

    def note(self, head: Head) -> None:
        """Remember a committed head, unless a newer one stands there already."""
        try:
            with self._mutex:
                lock(self._descriptor)
                try:
                    written = self._put(head)
                finally:
                    unlock(self._descriptor)
            self.trouble = None
        except OSError as error:
            self.trouble = f"journal.head can't be written ({error.strerror})."
            return
        if written:
            self._sync_soon()

    def close(self) -> None:
        """Sync what isn't yet, and let go of the file."""
        if self._syncer is not None:
            self._news.put(_CLOSING)
            self._syncer.join()
        os.close(self._descriptor)

    def _fill(self, path: Path) -> None:
        """Give a new file all its bytes now: a full disk can then never refuse it a later line."""
        lock(self._descriptor)
        try:
            if os.fstat(self._descriptor).st_size >= LINES * LINE_BYTES:
                return
            os.lseek(self._descriptor, 0, os.SEEK_SET)
            os.write(self._descriptor, _whole(_NOTHING))
            os.fsync(self._descriptor)
        finally:
            unlock(self._descriptor)
        sync_folder(path.parent)

    def _put(self, head: Head) -> bool:
        os.lseek(self._descriptor, 0, os.SEEK_SET)
        lines = _split(os.read(self._descriptor, LINES * LINE_BYTES))
        counts = [self._counts[x] if x in self._counts else _count_of(x) for x in lines]
        if max(counts) >= head.events:
            return False
        oldest, new = counts.index(min(counts)), _line(head)
        os.lseek(self._descriptor, oldest * LINE_BYTES, os.SEEK_SET)
        os.write(self._descriptor, new)
        # Alone on the bench, the next note finds what this one left and needs to parse nothing.
        lines[oldest], counts[oldest] = new, head.events
        self._counts = dict(zip(lines, counts, strict=True))
        return True

    def _sync_soon(self) -> None:
        if self._syncer is None:
            self._syncer = threading.Thread(target=self._sync_when_noted, daemon=True)
            self._syncer.start()
        self._news.put(_NOTED)

    def _sync_when_noted(self) -> None:
        noted = _NOTED
        while noted:
            noted = self._news.get() and self._wait_for_more()
            self._sync()

    def _wait_for_more(self) -> bool:
        """Take in what is noted within the delay, so that one sync serves it all."""
        end = steady_s() + SYNC_DELAY_S
        try:
            while self._news.get(timeout=max(0.0, end - steady_s())):
                pass
        except Empty:
            return _NOTED
        return _CLOSING

    def _sync(self) -> None:
        try:
            _sync_data(self._descriptor)
        except OSError as error:
            self.trouble = f"journal.head can't be synced ({error.strerror})."


def _whole(head: Head) -> bytes:
    return _line(head).ljust(LINES * LINE_BYTES, b"\n")


def _line(head: Head) -> bytes:
    body = f"{head.events:>12} {head.hash.hex()}"
    return f"{body} {zlib.crc32(body.encode()):08x}".ljust(LINE_BYTES - 1).encode() + b"\n"


def _split(content: bytes) -> list[bytes]:
    content = content.ljust(LINES * LINE_BYTES, b"\n")
    return [content[at : at + LINE_BYTES] for at in range(0, LINES * LINE_BYTES, LINE_BYTES)]


def _count_of(line: bytes) -> int:
    head = _parse(line)
    return -1 if head is None else head.events


def _parse(line: bytes) -> Head | None:
    try:
        count, digest, check = line.decode("ascii").split()
        head = Head(int(count), bytes.fromhex(digest))
    except ValueError:
        return None
    # Written again and compared: a damaged line that still parses is no line.
    return head if _line(head) == line and len(check) == 8 else None
