"""`benchmate checkup` as a maker runs it, on a machine with everything and on a bare one; and a
bench on a desktop whose notifications have a button.

With everything: ALSA's `file` plug-in is the loudspeaker, a daemon on a session bus the desktop,
a server on the loopback the push service, and a program on the PATH the system's inhibitor.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.needs import needs
from tests.reference.session_bus import in_session
from tests.reference.test_remind_playing import loudspeaker, service

__all__ = ["loudspeaker", "service"]
ROOT = Path(__file__).parents[2]
INHIBITOR = '#!/bin/sh\nfor last in "$@"; do :; done\nexec "$last"\n'
IN_SESSION = """
    import os
    done = subprocess.run(
        [sys.executable, "-m", "benchmate", "--home", {home!r}, "checkup", "--aloud"],
        capture_output=True, text=True, env={{**os.environ, "PATH": {path!r}}},
    )
    print(json.dumps([done.returncode, done.stdout.splitlines(), done.stderr]))
    """


def settings(home: Path, address: str) -> None:
    """A phone's address and a command of the maker's own."""
    home.mkdir()
    command = json.dumps([sys.executable, "-c", "import sys; sys.stdin.read()"])
    (home / "settings.toml").write_text(
        f'[reminders]\naddresses = ["{address}"]\ncommand = {command}\n'
    )
    (home / "settings.toml").chmod(0o600)


@pytest.mark.skipif(sys.platform != "linux", reason="this machine lacks ALSA and D-Bus")
@needs("dbus-run-session", "espeak-ng")
def test_on_a_machine_with_everything_all_six_channels_take_a_trial(
    loudspeaker: Path, service: str, tmp_path: Path
) -> None:
    home, tools = tmp_path / "home", tmp_path / "tools"
    settings(home, service)
    tools.mkdir()
    (tools / "systemd-inhibit").write_text(INHIBITOR)
    (tools / "systemd-inhibit").chmod(0o755)
    code = IN_SESSION.format(home=str(home), path=f"{tools}{os.pathsep}{os.environ['PATH']}")
    (status, lines, complaints), told = in_session(code, tmp_path / "told")
    assert not [line for line in lines if line.startswith("MISSING")]
    # The screen has no trial here: no bench is open.
    assert sum("Trial sent" in line for line in lines) == 5
    assert [one for one in told if "only a trial" in json.dumps(one)]
    assert any("works    Awake: the machine can be kept awake (by " in line for line in lines)
    assert (status, complaints) == (0, "")


@pytest.mark.skipif(os.name != "posix", reason="this machine can't be made bare")
def test_on_a_bare_machine_each_lack_is_named_with_its_mend_and_nothing_breaks(
    tmp_path: Path,
) -> None:
    (tmp_path / "asound.conf").write_text("")
    bare = {
        "PATH": str(tmp_path),
        "HOME": str(tmp_path),
        "PYTHONPATH": str(ROOT),
        "ALSA_CONFIG_PATH": str(tmp_path / "asound.conf"),
        "DBUS_SESSION_BUS_ADDRESS": "unix:path=/no/such/bus",
        "XDG_RUNTIME_DIR": str(tmp_path),
        "PULSE_SERVER": "/no/such/server",
    }
    done = subprocess.run(
        [sys.executable, "-m", "benchmate", "checkup", "--aloud"],
        env=bare,
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    lines = done.stdout.splitlines()
    missing = [line.split("  ")[1].split(":")[0] for line in lines if line[:7] == "MISSING"]
    assert missing == ["Sound", "Speech", "Desktop", "Awake"]
    assert sum(line.strip().startswith("mend: ") for line in lines) == len(missing)
    assert (done.returncode, done.stderr) == (5, "")


MINDED = """
    import pathlib
    from benchmate.bench.reminding.minding import Minding
    from benchmate.bench.reminding.reminding import standing
    from tests.minding_help import MIN, MIX, mark, open_bench, start_plan, tick
    bench = open_bench(pathlib.Path({home!r}))
    start_plan(bench)
    mark(bench, MIX)
    tick(bench, 20 * MIN)
    before = len(standing(bench))
    minding = Minding(bench, kinds=("desktop",))
    minding.start()
    give_up = time.monotonic() + 30
    while standing(bench) and time.monotonic() < give_up:
        time.sleep(0.02)
    left = len(standing(bench))
    time.sleep(0.2)
    minding.stop()
    found = bench.journal.deliveries.since(0.0)
    rows = [(d.channel, d.state) for d in found if d.channel != "@maker"]
    print(json.dumps([before, left, sorted(rows)]))
    """


@pytest.mark.skipif(sys.platform != "linux", reason="this machine lacks D-Bus")
@needs("dbus-run-session")
def test_the_button_on_a_notification_quiets_the_bench(tmp_path: Path) -> None:
    code = MINDED.format(home=str(tmp_path / "home"))
    (before, left, rows), told = in_session(code, tmp_path / "told", "press")
    assert (before, left) == (1, 0)
    assert rows == [["@desktop", "acknowledged"], ["desktop", "sent"]]
    (shown,) = [one for one in told if one["call"] == "Notify"]
    assert "(10 min): mix 1, pot life, then the mix gels" in shown["body"]
    # The same session's power service was asked to keep the machine awake, and let go.
    assert [one["call"] for one in told if "nhibit" in one["call"]] == ["Inhibit", "UnInhibit"]
