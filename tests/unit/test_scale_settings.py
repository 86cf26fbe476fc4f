"""What is kept of a scale in the settings file, and that nothing of it loads unasked."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from benchmate.settings import find_folders, load
from benchmate.settings.writing import keep_values, with_values
from tests.needs import needs
from tests.unit.test_import_hygiene import loaded, loaded_by

OLD = (
    '# mine\nunits = "inch"\n[scale]\ndivision = "0.1 g" # so\n'
    'port = "/dev/old"\n[hours]\nmon = []\n'
)


def test_values_go_into_their_section_and_nothing_else_changes() -> None:
    new = with_values(OLD, "scale", {"port": "COM3", "line": r'\d+"x'})
    assert new == (
        '# mine\nunits = "inch"\n[scale]\nport = "COM3"\nline = "\\\\d+\\"x"\n'
        'division = "0.1 g" # so\n[hours]\nmon = []\n'
    )
    assert with_values("", "scale", {"comma": True}) == "[scale]\ncomma = true\n"


def test_what_was_kept_is_read_back(tmp_path: Path) -> None:
    folders = find_folders(tmp_path)
    line = r'(?P<stable>) *\[S\]"(?P<weight>\d{1,7}[.]\d)'
    keep_values(folders.settings_file, "scale", {"port": "/dev/x", "line": line, "speed": 2400})
    settings, trouble = load(folders)
    assert trouble == ""
    assert (settings.scale.line, settings.scale.port, settings.scale.speed) == (
        line,
        "/dev/x",
        2400,
    )


def test_a_wrong_unit_or_speed_is_said_and_the_rest_holds(tmp_path: Path) -> None:
    folders = find_folders(tmp_path)
    folders.settings_file.write_text('[scale]\nunit = "stone"\nspeed = 1\nport = "/dev/x"\n')
    settings, trouble = load(folders)
    assert settings.scale.port == "/dev/x"
    assert (settings.scale.unit, settings.scale.speed) == ("", 9600)
    assert "stone" in trouble
    assert "speed" in trouble


SCALES = ("serial", "regex", "hid")


def test_next_and_the_bench_load_nothing_of_a_scale(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    loaded(tmp_path, "start", "matched-bookends")
    (tmp_path / "settings.toml").write_text('[scale]\nport = "/dev/x"\nline = "(?P<weight>1)"\n')
    monkeypatch.setenv("BENCHMATE_HOME", str(tmp_path))
    assert loaded_by(["next"], SCALES) == ""
    assert loaded_by(["weigh", "293 g"], SCALES) == ""
    code = (
        "import sys, benchmate.tui.app, benchmate.tui.bench.screen, benchmate.tui.prompts.weigh;"
        f"print(sorted({{m.partition('.')[0] for m in sys.modules}} & set({SCALES!r})),"
        "[m for m in sys.modules if m.startswith('benchmate.scales')])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[] []"


def test_without_the_packages_there_is_a_sentence(tmp_path: Path) -> None:
    code = (
        "import sys; sys.modules['serial'] = None;"
        "sys.argv = ['benchmate', 'scale', 'listen', '--port', '/dev/x'];"
        "from benchmate.cli.entry import main; main()"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        env=os.environ | {"BENCHMATE_HOME": str(tmp_path)},
    )
    assert "pip install 'benchmate[scales]'" in done.stdout + done.stderr
    assert "Traceback" not in done.stderr
    assert done.returncode == 2


@needs("module:serial", "module:regex")
@pytest.mark.skipif(sys.platform == "win32", reason="the emulator needs pseudo-terminals")
def test_listen_proposes_a_form_and_keeps_it(tmp_path: Path) -> None:
    from benchmate.clock import wait_s
    from tests.scale_emulator import ScaleEmulator

    with ScaleEmulator("plain", rate_hz=20) as scale:
        words = [sys.executable, "-m", "benchmate", "--home", str(tmp_path), "scale", "listen"]
        run = subprocess.Popen(
            [*words, "--port", scale.port],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
        )
        assert run.stdin is not None
        assert run.stdout is not None
        while "Empty the scale" not in run.stdout.readline():
            pass
        wait_s(1.0)
        for grams in (0.0, 128.4, -128.4):
            scale.put(grams)
            wait_s(3.0)
            run.stdin.write("\n")
            run.stdin.flush()
        said, _ = run.communicate("y\n", timeout=30)
    assert run.returncode == 0, said
    assert "is 128.4 g. Keep it?" in said
    settings, trouble = load(find_folders(tmp_path))
    assert trouble == ""
    assert settings.scale.port == scale.port
    assert "(?P<stable>)" in settings.scale.line
