"""Small file systems to break: one that fills up, one that can only be read.

Mounting needs a superuser; elsewhere the tests that use these are skipped, and say why.
"""

from __future__ import annotations

import os
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from tests.needs import ALL


@contextmanager
def tiny_disk(place: Path, kib: int) -> Iterator[Path]:
    """A disk of so many KiB mounted at a new folder."""
    place.mkdir()
    with _mounted(place, "-t", "tmpfs", "-o", f"size={kib}k,mode=700", "none", str(place)):
        yield place


@contextmanager
def read_only_view(folder: Path, place: Path) -> Iterator[Path]:
    """The same folder once more, where nothing in it can be changed."""
    place.mkdir()
    with _mounted(place, "--bind", str(folder), str(place)):
        subprocess.run(["mount", "-o", "remount,ro,bind", str(place)], check=True)
        yield place


@contextmanager
def _mounted(place: Path, *arguments: str) -> Iterator[None]:
    _insist_on_mounting(arguments)
    try:
        yield
    finally:
        subprocess.run(["umount", "-l", str(place)], check=True)


def _insist_on_mounting(arguments: tuple[str, ...]) -> None:
    reason = "mounting needs a superuser"
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        done = subprocess.run(["mount", *arguments], capture_output=True, text=True, check=False)
        if done.returncode == 0:
            return
        reason = f"this machine can't mount: {done.stderr.strip()}"
    if ALL:
        pytest.fail(reason)
    pytest.skip(reason)
