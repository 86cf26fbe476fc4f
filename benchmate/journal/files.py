"""Private files and folders, made so that a power cut leaves the old one or the new one."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

JOURNAL = "journal.db"
READY = f"{JOURNAL}.ready"
"""A whole journal that is being put in the place of another."""
BINARY = getattr(os, "O_BINARY", 0)
_FILE_MODE = 0o600
_FOLDER_MODE = 0o700


def make_folder(folder: Path) -> None:
    """Make a folder that only its owner may enter; one that exists keeps the mode it was given.

    Raises `OSError`.
    """
    folder.mkdir(mode=_FOLDER_MODE, parents=True, exist_ok=True)


def create_private(path: Path) -> None:
    """Make an empty file only its owner may read, or raise `FileExistsError`."""
    os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY | BINARY, _FILE_MODE))


def write_durably(path: Path, content: bytes) -> None:
    """Replace a file's content as one act: temporary file, sync, rename, sync of the folder.

    Raises `OSError`, and then the old file is as it was.
    """
    part = path.with_name(f"{path.name}.{os.getpid()}.part")
    descriptor = os.open(part, os.O_CREAT | os.O_WRONLY | os.O_TRUNC | BINARY, _FILE_MODE)
    try:
        with os.fdopen(descriptor, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        part.replace(path)
    except OSError:
        with suppress(OSError):
            part.unlink()
        raise
    sync_folder(path.parent)


def sync_file(path: Path) -> None:
    """Have a file's content reach the disk. Raises `OSError`."""
    descriptor = os.open(path, os.O_RDWR | BINARY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


def sync_folder(folder: Path) -> None:
    """Have a folder's names reach the disk, where the system lets a folder be opened at all."""
    if not hasattr(os, "O_DIRECTORY"):
        return
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


@contextmanager
def locked(path: Path) -> Iterator[None]:
    """Keep to oneself what this file stands for, among threads and processes; waits for its turn.

    The file is made if it isn't there, and stays. Raises `OSError`.
    """
    descriptor = os.open(path, os.O_RDWR | os.O_CREAT | BINARY, _FILE_MODE)
    try:
        lock(descriptor)
        try:
            yield
        finally:
            unlock(descriptor)
    finally:
        os.close(descriptor)


# A lock on an open file keeps out whoever opens the file anew, and dies with its holder.
if sys.platform == "win32":
    import msvcrt

    # A byte far past the end is locked: Windows refuses even a read of a locked byte.
    _FAR = 1 << 20

    def lock(descriptor: int) -> None:
        """Wait for an open file to be one's own; about ten seconds, then `OSError`."""
        os.lseek(descriptor, _FAR, os.SEEK_SET)
        msvcrt.locking(descriptor, msvcrt.LK_LOCK, 1)

    def unlock(descriptor: int) -> None:
        """Let the next one have it."""
        os.lseek(descriptor, _FAR, os.SEEK_SET)
        msvcrt.locking(descriptor, msvcrt.LK_UNLCK, 1)

else:
    import fcntl

    def lock(descriptor: int) -> None:
        """Wait for an open file to be one's own."""
        fcntl.flock(descriptor, fcntl.LOCK_EX)

    def unlock(descriptor: int) -> None:
        """Let the next one have it."""
        fcntl.flock(descriptor, fcntl.LOCK_UN)
