"""What is live on the scale, in one small file: whoever doesn't own the port reads along there."""

from __future__ import annotations

import json
import os
import warnings
from pathlib import Path
from zlib import crc32

from benchmate.scales.reading import SILENT, Live
from benchmate.scales.steady import SILENT_S

EVERY_S = 0.2


def published_file(data: Path) -> Path:
    """The file of a shop's scale in this session's runtime folder; nothing is made here."""
    from platformdirs import user_runtime_path

    name = f"scale-{crc32(os.fsencode(data)):08x}.json"
    with warnings.catch_warnings():  # a session without such a folder has another in its place
        warnings.simplefilter("ignore")
        return user_runtime_path("benchmate", appauthor=False) / name


class Publisher:
    """Replaces the file at most five times a second, and at once where the state changes."""

    def __init__(self, file: Path) -> None:
        self.file = file
        self._last = SILENT
        self._wrote_s = 0.0

    def publish(self, live: Live, now_s: float) -> None:
        """Write what is live. Raises OSError."""
        if live.state == self._last.state and now_s - self._wrote_s < EVERY_S:
            return
        self._last, self._wrote_s = live, now_s
        self.file.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        aside = self.file.with_suffix(f".{os.getpid()}")
        aside.write_text(json.dumps({"wrote_s": now_s, "live": live._asdict()}))
        aside.replace(self.file)


def read_published(file: Path, now_s: float) -> Live:
    """What the owner of the port last wrote; silent where that is old, damaged or absent."""
    try:
        kept = json.loads(file.read_text())
        live, wrote_s = Live(**kept["live"]), float(kept["wrote_s"])
    except (OSError, ValueError, TypeError, KeyError):
        return SILENT
    return live if 0.0 <= now_s - wrote_s <= SILENT_S else SILENT
