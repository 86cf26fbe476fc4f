"""Reminding loads no library before it is used: a command that only asks must start fast."""

from __future__ import annotations

import json
import subprocess
import sys

import pytest

HEAVY = ("apprise", "desktop_notifier", "miniaudio", "wakepy", "icalendar", "numpy", "textual")
MODULES = (
    "remind.rules.due",
    "remind.minding",
    "remind.dispatcher",
    "remind.rows",
    "remind.voice",
    "remind.awake",
    "remind.checkup",
    "remind.channels.sound",
    "remind.channels.speech",
    "remind.channels.desktop",
    "remind.channels.message",
    "remind.channels.command",
    "papers.calendar",
)


@pytest.mark.parametrize("module", MODULES)
def test_no_heavy_library_is_loaded_with_it(module: str) -> None:
    code = f"import json, sys, benchmate.{module}; print(json.dumps(list(sys.modules)))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    loaded = {name.split(".")[0] for name in json.loads(done.stdout)}
    assert loaded.isdisjoint(HEAVY)
