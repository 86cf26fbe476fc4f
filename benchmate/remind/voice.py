"""One voice: of all processes, the one that holds this file's lock reminds.

The operating system holds the lock and frees it when the process dies, however it dies, so
there is no stale lock and no question of whose turn it is.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import IO

SIGNED_AT = 1
"""Where the holder signs: the first byte is the one that Windows locks, so that nobody reads it."""


class OneVoice:
    """The right to remind. Take it again and again; it is got as soon as the holder is gone."""

    def __init__(self, path: Path) -> None:
        """`path`: the lock's file, the same for all processes of one shop; made if missing."""
        self._path = path
        self._file: IO[bytes] | None = None
        self.trouble = ""
        """Why no lock can be had on this folder at all; empty when it can."""

    @property
    def held(self) -> bool:
        """Whether this process has it."""
        return self._file is not None

    def take(self) -> bool:
        """Take it or keep it; False while another process has it. Never waits.

        Where the file system knows no locks everyone speaks, and `trouble` says why: a piece
        spoiled in silence is worse than a reminder heard twice.
        """
        if self._file is not None and self._is_still_there(self._file):
            return True
        self.release()
        try:
            file = self._open()
        except OSError as error:
            self.trouble = f"{self._path} can't be opened ({error.strerror}): all benches remind."
            return True
        try:
            _lock(file)
        except (BlockingIOError, PermissionError):
            file.close()
            return False
        except OSError as error:
            file.close()
            self.trouble = f"{self._path} can't be locked ({error.strerror}): all benches remind."
            return True
        self.trouble = ""
        self._file = file
        self._sign(file)
        return True

    def release(self) -> None:
        """Leave it to others."""
        if self._file is not None:
            self._file.close()
            self._file = None

    def holder(self) -> int | None:
        """The process that signed last: it holds the lock, or died holding it. None: nobody yet."""
        try:
            with self._path.open("rb") as file:
                file.seek(SIGNED_AT)
                text = file.read(32).decode("ascii", "replace").strip()
        except OSError:
            return None
        return int(text) if text.isdigit() else None

    def _is_still_there(self, file: IO[bytes]) -> bool:
        """Whether the file under the path is still the locked one: somebody may tidy up."""
        try:
            return os.path.samestat(os.fstat(file.fileno()), self._path.stat())
        except OSError:
            return False

    def _open(self) -> IO[bytes]:
        self._path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        descriptor = os.open(self._path, os.O_RDWR | os.O_CREAT, 0o600)
        return os.fdopen(descriptor, "r+b", buffering=0)

    def _sign(self, file: IO[bytes]) -> None:
        file.truncate(SIGNED_AT)
        file.seek(SIGNED_AT)
        file.write(str(os.getpid()).encode("ascii") + b"\n")


if sys.platform == "win32":
    import msvcrt

    def _lock(file: IO[bytes]) -> None:
        file.seek(0)
        msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)
else:
    import fcntl

    def _lock(file: IO[bytes]) -> None:
        fcntl.flock(file.fileno(), fcntl.LOCK_EX | fcntl.LOCK_NB)
