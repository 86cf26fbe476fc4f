"""Tests that need something a machine may lack: skipped by name, unless all is asked for."""

from __future__ import annotations

import importlib.util
import os
import shutil

import pytest

ALL = os.environ.get("BENCHMATE_ALL") == "1"
"""Set by `make test-all`: what is missing then fails its tests instead of skipping them."""


def has(what: str) -> bool:
    """Whether a program, or "module:name" a Python module, is on this machine."""
    if what.startswith("module:"):
        return importlib.util.find_spec(what.removeprefix("module:")) is not None
    return shutil.which(what) is not None


def needs(*what: str) -> pytest.MarkDecorator:
    """Mark a test as needing these programs; the reason for a skip names what is missing."""
    missing = [one for one in what if not has(one)]
    if missing and not ALL:
        return pytest.mark.skip(reason=f"this machine lacks {', '.join(missing)}")
    return pytest.mark.needs(*what)
