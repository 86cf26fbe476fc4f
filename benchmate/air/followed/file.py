"""Looking at a thermometer's file without disturbing it or waiting for it.

Only plain files are read: a pipe or a device could make the bench wait for ever. What is larger
than it should be is read at its two ends.
"""

from __future__ import annotations

import os
import stat
from pathlib import Path

from benchmate.air.followed.following import Following, Step, next_reading
from benchmate.air.followed.parse_file import Form, Heard, Unheard
from benchmate.air.readings import Reading
from benchmate.settings import AirSource

EVERY_S = 20.0
"""No need to look more often: the air of a shop has a time constant of minutes."""
STALE_S = 30 * 60.0
"""A file that nobody has written for so long says nothing of the air now."""
HEAD_BYTES = 4096
PLAIN = Form()
TAIL_BYTES = 60 * 1024
LARGEST_JSON = HEAD_BYTES + TAIL_BYTES


class AirFile:
    """One file that is followed. `look` from a worker thread; the state is kept between looks."""

    def __init__(
        self,
        path: Path | str,
        form: Form = PLAIN,
        state: Following | None = None,
    ) -> None:
        self.path, self.form = Path(path).expanduser(), form
        self.state = state or Following(source=str(self.path))

    def look(self, now_s: float, wall_s: float) -> Step:
        """Read once and say what it is worth. `wall_s` (Unix time) is only for the file's age.

        Never raises for what a file may do; whatever is wrong with it is a sentence in the step.
        """
        step = next_reading(self.state, self._heard(wall_s), now_s)
        self.state = step.state
        return step

    def _heard(self, wall_s: float) -> Heard | str:
        try:
            form = self.form.form
            text, written_s = read_gently(self.path, whole=form == "json")
            # A kernel makes its file anew at each look and doesn't keep its date.
            age_s = 0.0 if form == "millidegrees" else max(0.0, wall_s - written_s)
            if age_s > STALE_S:
                return "nobody has written it lately"
            heard = self.form.hear(text, wall_s)
            if heard.age_s > STALE_S:
                return "its newest line is old by its own time"
            return heard._replace(age_s=max(age_s, heard.age_s))
        except Unheard as error:
            return str(error)
        except OSError as error:
            return (error.strerror or "it can't be read").lower()


def air_file(source: AirSource, last: Reading | None = None) -> AirFile | None:
    """The file that the settings name, gone on with after the log's last reading; None: no file."""
    if not source.file:
        return None
    state = Following(source=source.file, kept=last, last=last)
    form = Form(source.format, source.field, source.humidity_field, source.time_field, source.unit)
    return AirFile(source.file, form, state)


def read_gently(path: Path, *, whole: bool) -> tuple[str, float]:
    """A file's text, its middle left out where it is large, and when it was written (Unix time).

    Raises OSError, and Unheard for what is no plain file, is no text, or is too large for `whole`.
    """
    if not stat.S_ISREG(os.stat(path).st_mode):
        raise Unheard("it is no plain file")
    handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
    with os.fdopen(handle, "rb") as file:
        found = os.fstat(file.fileno())
        data = file.read(LARGEST_JSON + 1)
        if len(data) > LARGEST_JSON:
            if whole:
                raise Unheard("it is larger than 64 KiB")
            data = _ends(data[:HEAD_BYTES], _tail(file.fileno(), found.st_size))
    try:
        return data.decode("utf-8-sig"), found.st_mtime
    except UnicodeDecodeError as error:
        raise Unheard("it is no text") from error


def _tail(fd: int, size: int) -> bytes:
    os.lseek(fd, max(0, size - TAIL_BYTES), os.SEEK_SET)
    return os.read(fd, TAIL_BYTES)


def _ends(head: bytes, tail: bytes) -> bytes:
    """The first line, with the names, and the last lines; cut lines are dropped."""
    return head.split(b"\n", 1)[0] + b"\n" + tail.split(b"\n", 1)[-1]
