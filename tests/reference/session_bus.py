"""Running code in a session of its own, with a message bus and the tests' small desktop on it."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import textwrap
from pathlib import Path
from typing import Any

DAEMON = Path(__file__).with_name("notification_daemon.py")
ROOT = Path(__file__).parents[2]

PRELUDE = """
import json, time
from benchmate.remind.channels.desktop import DesktopChannel
from benchmate.remind.rules.settings import RemindSettings
from tests.remind_help import after, due, edge

(closing,) = due([edge(action="Pour what is left.")], [], RemindSettings(), after(32))
(opens,) = due(
    [edge("opens", 20, "nothing", label="lamp foot, clamps")], [], RemindSettings(), after(20)
)
"""


def in_session(code: str, told: Path, habit: str = "") -> tuple[Any, list[dict[str, Any]]]:
    """Run code in a session with the service; what it printed, and what the service was told."""
    script = told.with_suffix(".py")
    script.write_text(
        textwrap.dedent(f"""
        import pathlib, subprocess, sys, time
        daemon = subprocess.Popen([sys.executable, {str(DAEMON)!r}, {str(told)!r}, {habit!r}])
        give_up = time.monotonic() + 20
        while not pathlib.Path({str(told)!r}).exists():
            assert time.monotonic() < give_up and daemon.poll() is None
            time.sleep(0.01)
        """)
        + PRELUDE
        + textwrap.dedent(code)
        + "\ndaemon.terminate()\n"
    )
    done = subprocess.run(
        ["dbus-run-session", "--", sys.executable, str(script)],
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    lines = told.read_text().splitlines()
    return json.loads(done.stdout or "null"), [json.loads(line) for line in lines]
