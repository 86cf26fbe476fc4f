"""The systemd unit that the page on reminders prints, read by systemd's own checker."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

from tests.needs import needs

DOCS = Path(__file__).parents[2] / "docs" / "minding.md"


def complaints(unit: str, folder: Path) -> str:
    """What `systemd-analyze verify` says of a user's unit; nothing if all is well."""
    run_dir = folder / "run"
    run_dir.mkdir(mode=0o700, exist_ok=True)
    file = folder / "benchmate.service"
    file.write_text(re.sub(r"(?<=^ExecStart=)\S+", sys.executable, unit, flags=re.MULTILINE))
    done = subprocess.run(
        ["systemd-analyze", "--user", "verify", str(file)],
        env={**os.environ, "XDG_RUNTIME_DIR": str(run_dir)},
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    return done.stdout + done.stderr + ("" if done.returncode == 0 else f" {done.returncode}")


@needs("systemd-analyze")
def test_the_unit_has_no_fault_that_systemd_would_name(tmp_path: Path) -> None:
    unit = DOCS.read_text().partition("```ini\n")[2].partition("```")[0]
    assert complaints(unit, tmp_path) == ""
    assert "Unknown key" in complaints(unit.replace("Restart=", "Restrat="), tmp_path)
