"""A settings file is read for what is good in it, and never stops the bench."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchmate.fields.sections import names_of
from benchmate.settings import Folders, Hours, Reminding, Settings, Span, find_folders, load
from benchmate.settings.loading import usable


def folders_with(home: Path, content: str | bytes | None) -> Folders:
    folders = find_folders(home)
    if isinstance(content, str):
        content = content.encode()
    if content is not None:
        folders.settings_file.write_bytes(content)
    return folders


def test_with_no_file_every_default_holds_and_nothing_is_said(tmp_path: Path) -> None:
    assert load(folders_with(tmp_path, None)) == (Settings(), "")
    assert load(folders_with(tmp_path, "# nothing set\n")) == (Settings(), "")
    assert load(find_folders(tmp_path / "no such folder")) == (Settings(), "")


def test_everything_can_be_set(tmp_path: Path) -> None:
    text = """
        units = "inch"
        theme = "high contrast"
        glove_key = "enter"
        near_fraction = 0.5

        [hours]
        mon = []
        sat = ["9:00-12:30", "14.00 - 18.00"]

        [reminders]
        channels = ["terminal", "message"]
        quiet = ""
        addresses = ["scheme://somewhere/token"]
        command = ["blink", "--twice"]
        volume = 1
        speech = false

        [air]
        file = "/run/air.json"
        format = "json"
        field = "celsius"
        humidity_field = "rh"
        place = "box"

        [scale]
        name = "kitchen"
        division = "0.1 g"
    """
    settings, said = load(folders_with(tmp_path, text))
    assert said == ""
    assert (settings.units, settings.theme, settings.glove_key, settings.near_fraction) == (
        "inch",
        "high contrast",
        "enter",
        0.5,
    )
    assert settings.hours.on(0) == ()
    assert settings.hours.on(1) == Hours().on(1)
    assert settings.hours.on(5) == (Span(540, 750), Span(840, 1080))
    assert settings.reminders == Reminding(
        channels=("terminal", "message"),
        quiet="",
        addresses=("scheme://somewhere/token",),
        command=("blink", "--twice"),
        volume=1,
        speech=False,
    )
    assert settings.reminders.quiet_span.is_empty
    assert (settings.air.field, settings.air.place) == ("celsius", "box")
    assert (settings.scale.name, settings.scale.division) == ("kitchen", "0.1 g")


BAD_VALUES = [
    ('units = "metrical"', '1: units: “metrical” is none of its words; the nearest is "metric"'),
    ("units = 1", "1: units: “1” is none of its words; write one of: metric, inch"),
    ('theme = "pink"', "1: theme: “pink” is none of its words; write one of: dark, light, high"),
    ('glove_key = ""', '1: glove_key: “” can\'t stand here; write it like glove_key = "space"'),
    ("near_fraction = 0", "1: near_fraction: “0” is too little; write more than 0"),
    ("near_fraction = nan", "1: near_fraction: “nan” is not a number, without quotes"),
    ("near_fraction = true", "1: near_fraction: “true” is not a number, without quotes; write it"),
    ("hours = 5", "1: hours: “5” is not a table of key = value; write a heading [hours]"),
    ('[hours]\nmon = "18:00-22:00"', "2: hours.mon: a text is not a list in [ ]"),
    (
        '[hours]\nmon = ["evening"]',
        '2: hours.mon: “evening” is no span of time; write it like mon = ["18:00-22:00"]',
    ),
    ('[hours]\nmon = ["18:00-22:00", "22:75-23:00"]', "2: hours.mon: “22:75-23:00” is no span"),
    ("[hours]\nmon = [18]", "2: hours.mon: a number in a list of texts in quotes"),
    ('[reminders]\nquiet = "at night"', "2: reminders.quiet: “at night” is no span of time"),
    ("[reminders]\nvolume = 11", "2: reminders.volume: “11” is too much; write 1 or less"),
    ('[reminders]\nvolume = "loud"', "2: reminders.volume: “loud” is not a number"),
    ('[reminders]\nspeech = "yes"', "2: reminders.speech: “yes” is not true or false"),
    ('[reminders]\nchannels = ["pigeon"]', "2: reminders.channels: “pigeon” is no way to be"),
    ('[reminders]\ncommand = "beep now"', "2: reminders.command: a text is not a list"),
    ('[air]\nformat = "xml"', "2: air.format: “xml” is none of its words; write one of: number"),
    ('[air]\nplace = ""', "2: air.place: is empty; write it like place ="),
    ('[scale]\ndivision = "1 stone"', "2: scale.division: “1 stone” has an unknown unit"),
]


@pytest.mark.parametrize(("text", "said"), BAD_VALUES, ids=[said[:40] for _, said in BAD_VALUES])
def test_one_bad_value_leaves_its_own_default_and_is_named(
    tmp_path: Path, text: str, said: str
) -> None:
    folders = folders_with(tmp_path, text)
    settings, sentence = load(folders)
    assert settings == Settings()
    assert sentence.startswith(f"{folders.settings_file}:{said}")
    assert len(sentence.splitlines()) == 1


def test_what_is_good_beside_a_bad_value_holds(tmp_path: Path) -> None:
    text = 'units = "inch"\ntheme = "pink"\n[reminders]\nvolume = 9\nspeech = false\n'
    settings, sentences = load(folders_with(tmp_path, text))
    assert (settings.units, settings.theme) == ("inch", "dark")
    assert (settings.reminders.volume, settings.reminders.speech) == (0.7, False)
    assert len(sentences.splitlines()) == 2


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('unit = "inch"', '1: unit: there is no such setting; the nearest is "units"'),
        (
            "[reminders]\nvolme = 0.5",
            "2: reminders.volme: there is no such setting; the nearest is",
        ),
        ("volume = 0.5", 'there is no such setting; the nearest is "reminders.volume"'),
        ("[reminder]\nvolume = 0.5", '1: reminder: there is no such setting; the nearest is "remi'),
        (
            "[hours]\nmonday = []",
            'hours.monday: there is no such setting; the nearest is "hours',
        ),
        ("xyzzy = 1", "xyzzy: there is no such setting; write one of: units, theme, glove_key"),
        ('"air.place" = "box"\nunits = "inch"', "1: air.place: there is no such setting"),
    ],
)
def test_an_unknown_name_is_answered_with_the_nearest_right_one(
    tmp_path: Path, text: str, said: str
) -> None:
    _, sentence = load(folders_with(tmp_path, text))
    assert said in sentence


@pytest.mark.parametrize(
    ("content", "said"),
    [
        pytest.param('units = "metric"\ntheme = \n', ":2: Invalid value.", id="no value"),
        pytest.param("[air\n", ":1: ", id="header cut short"),
        pytest.param('units = "metric"\nunits = "inch"\n', ":2: ", id="twice"),
        pytest.param("theme = '''dark", ":1: ", id="never closed"),
        pytest.param(b"# \xff\n", ":1: this isn't UTF-8", id="first line not UTF-8"),
        pytest.param(b'units = "inch"\n\n# caf\xe9\n', ":3: this isn't UTF-8", id="latin-1"),
        pytest.param("#" * 70_000, " is larger than 64 KiB", id="too large"),
        pytest.param("x = " + "[" * 30_000, ": the lists in it are nested too deep.", id="deep"),
        pytest.param(b"\x00\x01\x02", ":1: ", id="not text"),
    ],
)
def test_a_file_that_can_t_be_read_leaves_every_default_and_a_sentence_with_its_line(
    tmp_path: Path, content: str | bytes, said: str
) -> None:
    folders = folders_with(tmp_path, content)
    settings, sentence = load(folders)
    assert settings == Settings()
    assert sentence.startswith(f"{folders.settings_file}{said}")
    assert sentence.endswith("The default settings hold until it is mended.")


def test_a_folder_where_the_file_should_be_is_a_sentence(tmp_path: Path) -> None:
    (tmp_path / "settings.toml").mkdir()
    settings, sentence = load(find_folders(tmp_path))
    assert settings == Settings()
    assert "can't be read" in sentence


def test_a_file_from_an_editor_that_marks_its_utf_8_is_read(tmp_path: Path) -> None:
    settings, said = load(folders_with(tmp_path, b'\xef\xbb\xbfunits = "inch"\r\n'))
    assert (settings.units, said) == ("inch", "")


@pytest.mark.parametrize("key", ["addresses", "command"])
def test_a_secret_is_shown_nowhere(tmp_path: Path, key: str) -> None:
    good = folders_with(tmp_path, f'[reminders]\n{key} = ["scheme://hush-hush"]')
    settings, _ = load(good)
    assert "hush" not in repr(settings)
    assert "hush" not in str(settings.reminders.__rich_repr__())
    for bad in ('"scheme://hush-hush"', '["scheme://hush-hush", 5]'):
        _, sentence = load(folders_with(tmp_path, f"[reminders]\n{key} = {bad}"))
        assert f"reminders.{key}: a " in sentence
        assert "list" in sentence
        assert "hush" not in sentence


NAMES = names_of(Settings)
_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=6), inner, max_size=3)
    ),
    max_leaves=6,
)
_tables = st.dictionaries(
    st.sampled_from(sorted({name.partition(".")[0] for name in NAMES})) | st.text(max_size=6),
    _values
    | st.dictionaries(
        st.sampled_from([name.partition(".")[2] for name in NAMES]) | st.text(max_size=6),
        _values,
        max_size=4,
    ),
    max_size=5,
)


@given(table=_tables)
def test_any_table_whatever_gives_settings_and_sentences(table: dict[str, object]) -> None:
    settings, wrong = usable(table)
    assert isinstance(settings, Settings)
    assert all(fault.wrong and fault.instead for fault in wrong)
    # What was kept is good by itself: read again it gives no complaint.
    assert usable(msgspec.to_builtins(settings)) == (settings, [])


class TestFolders:
    def test_a_home_moves_everything_together(
        self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        monkeypatch.setenv("BENCHMATE_HOME", str(tmp_path / "elsewhere"))
        given = find_folders(tmp_path / "home")
        by_environment = find_folders()
        for folders, root in ((given, "home"), (by_environment, "elsewhere")):
            assert folders == Folders(
                tmp_path / root / "data",
                tmp_path / root / "settings.toml",
                tmp_path / root / "procedures",
            )
        assert not (tmp_path / "home").exists()

    def test_a_home_may_be_said_with_a_tilde_or_relative_to_here(
        self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        monkeypatch.setenv("HOME", str(tmp_path))
        monkeypatch.setenv("USERPROFILE", str(tmp_path))
        monkeypatch.chdir(tmp_path)
        assert find_folders("~/shop").data == tmp_path / "shop" / "data"
        assert find_folders("shop").data == tmp_path / "shop" / "data"

    @pytest.mark.skipif(sys.platform != "linux", reason="the XDG base directories are Linux's")
    def test_without_a_home_the_platform_s_places_are_used(
        self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        """The XDG Base Directory Specification's two variables (from memory)."""
        monkeypatch.delenv("BENCHMATE_HOME", raising=False)
        monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "share"))
        monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
        assert find_folders() == Folders(
            tmp_path / "share" / "benchmate",
            tmp_path / "config" / "benchmate" / "settings.toml",
            tmp_path / "share" / "benchmate" / "procedures",
        )


def test_settings_load_neither_pydantic_nor_textual_nor_the_journal() -> None:
    code = (
        "import sys; from benchmate.settings import find_folders, load; load(find_folders('.'));"
        "print({'pydantic', 'textual', 'sqlite3', 'tomllib', 'difflib'} & set(sys.modules))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        check=True,
        cwd="/",
        env={**os.environ, "PYTHONPATH": str(Path(__file__).resolve().parents[2])},
    )
    assert done.stdout.strip() == "set()"
