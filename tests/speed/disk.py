"""A folder on a real disk: in memory a sync costs nothing, and every ratio would be a lie."""

from __future__ import annotations

import os
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
_IN_MEMORY = {"tmpfs", "ramfs", "devtmpfs"}


@contextmanager
def folder_on_disk() -> Iterator[Path]:
    """A new folder beside the checkout, gone again afterwards; `BENCHMATE_DISK` puts it elsewhere.

    Raises `RuntimeError` where that is no disk.
    """
    place = Path(os.environ.get("BENCHMATE_DISK") or ROOT.parent)
    if not os.access(place, os.W_OK):
        place = ROOT
    kind = file_system(place)
    if kind in _IN_MEMORY:
        raise RuntimeError(f"{place} is in memory ({kind}); set BENCHMATE_DISK to a disk's folder")
    folder = Path(tempfile.mkdtemp(prefix=".speed-", dir=place))
    try:
        yield folder
    finally:
        shutil.rmtree(folder)


def file_system(place: Path) -> str:
    """What kind of file system a folder is on, or "unknown"."""
    done = subprocess.run(
        ["stat", "--file-system", "--format=%T", str(place)],
        capture_output=True,
        text=True,
        check=False,
    )
    return done.stdout.strip() or "unknown"
