"""What quick commands must not load, held in fresh interpreters."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

HEAVY = (
    "textual",
    "pydantic",
    "scipy",
    "numpy",
    "uncertainties",
    "apprise",
    "plotext",
    "icalendar",
)
_RUN = """
import sys
sys.argv = ["benchmate", *{words!r}]
from benchmate.cli.entry import main
try:
    main()
except SystemExit:
    pass
found = sorted({{m.partition(".")[0] for m in sys.modules}} & set({heavy!r}))
sys.stderr.write("LOADED " + ",".join(found) + "\\n")
"""


def loaded(home: Path, *words: str) -> str:
    return loaded_by(["--home", str(home), *words])


def loaded_by(words: list[str], heavy: tuple[str, ...] = HEAVY) -> str:
    code = _RUN.format(words=words, heavy=heavy)
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    return done.stderr.rpartition("LOADED ")[2].strip()


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("shop")
    loaded(folder, "start", "matched-bookends")
    return folder


@pytest.mark.parametrize(
    "words",
    [
        ("next",),
        ("next", "--json"),
        ("weigh", "293 g"),
        ("done", "A/block/void"),
        ("job",),
        ("air", "17.5C"),
        ("clock", "yellow wood glue", "spread"),
        ("logbook", "list"),
        ("undo",),
    ],
    ids=lambda w: " ".join(w),
)
def test_quick_commands_load_nothing_heavy(words: tuple[str, ...], home: Path) -> None:
    assert loaded(home, *words) == ""


def test_next_for_a_shell_prompt_goes_without_the_command_parser(
    home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("BENCHMATE_HOME", str(home))
    assert loaded_by(["next"], ("click", *HEAVY)) == ""
    assert loaded_by(["job"], ("click", *HEAVY)) == "click"


def test_the_bench_screen_loads_without_pydantic_or_scipy() -> None:
    code = (
        "import sys, benchmate.tui.app, benchmate.tui.bench.screen;"
        "print(sorted({m.partition('.')[0] for m in sys.modules} & "
        f"set({(set(HEAVY) - {'textual'})!r})))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


@pytest.mark.parametrize("words", [("next",), ("air", "17.5C"), ("job",)], ids=" ".join)
def test_settings_that_are_right_are_read_without_a_model(
    words: tuple[str, ...], home: Path
) -> None:
    good = 'units = "inch"\n[hours]\nmon = ["18:00-22:00"]\n[reminders]\nvolume = 0.5\n'
    (home / "settings.toml").write_text(good)
    assert loaded(home, *words) == ""
    (home / "settings.toml").write_text(good.replace("0.5", "5"))
    # A mistake is handed over to the models: the sentence has one source.
    assert loaded(home, *words) == "pydantic"
    (home / "settings.toml").unlink()
