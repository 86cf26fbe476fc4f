"""One setting is changed in place; every other line stays as the maker wrote it."""

from __future__ import annotations

import os
import stat
import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import settings as example_settings
from hypothesis import strategies as st

from benchmate.settings import Settings, find_folders, load
from benchmate.settings.model import EXPECTED
from benchmate.settings.saving import SettingRefused, Value, save_setting

WRITTEN = """\
# How I like it.
units = "metric"   # the scale reads grams

theme = 'light'

[reminders]  # the phone is in the house
# Not before breakfast.
quiet = "22:00-07:00"
addresses = [
    "scheme://one",   # hers
    "scheme://two",
]

# [air]
# file = "not yet"

[hours]
sat = ["9:00-12:00"]
"""


def saved(home: Path, text: str | None, name: str, value: Value) -> str:
    folders = find_folders(home)
    if text is not None:
        folders.settings_file.write_text(text)
    save_setting(folders, name, value)
    return folders.settings_file.read_text()


@pytest.mark.parametrize(
    ("name", "value", "old", "new"),
    [
        pytest.param(
            "units",
            "inch",
            'units = "metric"   # the scale reads grams\n',
            'units = "inch"  # the scale reads grams\n',
            id="the comment behind it stays",
        ),
        pytest.param("theme", "dark", "theme = 'light'\n", 'theme = "dark"\n', id="other quotes"),
        pytest.param(
            "near_fraction",
            0.5,
            "theme = 'light'\n",
            "theme = 'light'\nnear_fraction = 0.5\n",
            id="new before the first section",
        ),
        pytest.param(
            "reminders.addresses",
            ["scheme://three"],
            'addresses = [\n    "scheme://one",   # hers\n    "scheme://two",\n]\n',
            'addresses = ["scheme://three"]\n',
            id="several lines become one",
        ),
        pytest.param(
            "hours.mon",
            [],
            'sat = ["9:00-12:00"]\n',
            'sat = ["9:00-12:00"]\nmon = []\n',
            id="new at the end of its section",
        ),
        pytest.param(
            "air.file",
            "/run/air",
            'sat = ["9:00-12:00"]\n',
            'sat = ["9:00-12:00"]\n\n[air]\nfile = "/run/air"\n',
            id="new section",
        ),
    ],
)
def test_one_line_changes_and_no_other(
    tmp_path: Path, name: str, value: Value, old: str, new: str
) -> None:
    assert old in WRITTEN
    assert saved(tmp_path, WRITTEN, name, value) == WRITTEN.replace(old, new)


def test_a_new_setting_in_an_old_section_goes_behind_what_is_there(tmp_path: Path) -> None:
    text = saved(tmp_path, WRITTEN, "reminders.speech", False)
    assert tomllib.loads(text)["reminders"]["speech"] is False
    assert text.replace("speech = false\n", "") == WRITTEN


def test_with_no_file_one_is_made_for_its_owner_alone(tmp_path: Path) -> None:
    assert saved(tmp_path / "new", None, "reminders.volume", 0.25) == "[reminders]\nvolume = 0.25\n"
    if os.name != "nt":
        mode = stat.S_IMODE((tmp_path / "new" / "settings.toml").stat().st_mode)
        assert mode == 0o600


def test_a_file_with_no_last_line_end_is_not_joined_on(tmp_path: Path) -> None:
    assert saved(tmp_path, 'units = "inch"', "theme", "dark") == 'units = "inch"\ntheme = "dark"\n'


def test_a_hash_inside_quotes_is_no_comment(tmp_path: Path) -> None:
    text = '[air]\nfile = "/run/a#1"  # the one by the window # there\n'
    assert saved(tmp_path, text, "air.file", "/run/#2") == (
        '[air]\nfile = "/run/#2"  # the one by the window # there\n'
    )


@pytest.mark.skipif(os.name == "nt", reason="links need rights on Windows")
def test_a_linked_file_stays_a_link(tmp_path: Path) -> None:
    (tmp_path / "kept").mkdir()
    (tmp_path / "kept" / "mine.toml").write_text('units = "metric"\n')
    (tmp_path / "settings.toml").symlink_to(tmp_path / "kept" / "mine.toml")
    save_setting(find_folders(tmp_path), "units", "inch")
    assert (tmp_path / "settings.toml").is_symlink()
    assert (tmp_path / "kept" / "mine.toml").read_text() == 'units = "inch"\n'


@pytest.mark.parametrize(
    ("text", "name", "value", "said"),
    [
        ("", "unit", "inch", "There is no setting 'unit'."),
        ("", "reminders.loudness", 1, "There is no setting 'reminders.loudness'."),
        ("", "units", "cubits", 'Units should be "metric" or "inch", not'),
        ("", "reminders", "none", "Reminders should be a section"),
        ("", "near_fraction", float("nan"), "Near_fraction should be a number"),
        ("", "hours.mon", ["late"], "Hours.mon should be a list of spans"),
        ("theme = \n", "units", "inch", "settings.toml:1: Invalid value. Mend it first."),
        ('air = 5\nunits = "inch"', "air.file", "x", "There is no setting 'air.file'."),
        ('air = {place = "box"}\n', "air.file", "x", 'beyond this editor; set it to "x" there'),
        ('air.place = "box"\n', "air.place", "shed", "beyond this editor"),
        ('text = """\nunits = 5\n"""\n', "units", "inch", "beyond this editor"),
        ('reminders.command = ["a"]', "reminders.command", ["hush"], "set it to its value there"),
    ],
)
def test_what_can_t_be_saved_is_told_and_the_file_stays(
    tmp_path: Path, text: str, name: str, value: Value, said: str
) -> None:
    folders = find_folders(tmp_path)
    folders.settings_file.write_text(text)
    with pytest.raises(SettingRefused) as refused:
        save_setting(folders, name, value)
    assert said in str(refused.value)
    assert folders.settings_file.read_text() == text


def test_a_place_that_can_t_be_written_is_told(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(SettingRefused, match=r"can't be (read|written)"):
        save_setting(find_folders(tmp_path / "file" / "home"), "units", "inch")


_texts = st.text(st.characters(exclude_categories=["Cs"]), max_size=30)
_changes = st.one_of(
    st.tuples(st.just("units"), st.sampled_from(["metric", "inch"])),
    st.tuples(st.just("near_fraction"), st.floats(0.01, 1)),
    st.tuples(st.just("reminders.volume"), st.floats(0, 1)),
    st.tuples(st.just("reminders.speech"), st.booleans()),
    st.tuples(st.just("reminders.addresses"), st.lists(_texts, max_size=3)),
    st.tuples(st.sampled_from(["air.file", "air.field"]), _texts),
    st.tuples(
        st.sampled_from(["hours.mon", "hours.sun"]),
        st.lists(st.sampled_from(["9:00-12:00", "14:00-18:00"]), max_size=2),
    ),
)


@example_settings(deadline=None, max_examples=50)
@given(changes=st.lists(_changes, min_size=1, max_size=6))
def test_whatever_is_saved_is_read_back_and_the_comments_stay(
    tmp_path_factory: pytest.TempPathFactory, changes: list[tuple[str, Value]]
) -> None:
    home = tmp_path_factory.mktemp("home")
    folders = find_folders(home)
    folders.settings_file.write_text(WRITTEN)
    for name, value in changes:
        save_setting(folders, name, value)
        settings, said = load(folders)
        assert said == ""
        found: object = settings
        for part in name.split("."):
            found = getattr(found, part)
        assert found == (tuple(value) if isinstance(value, list) else value)
    text = folders.settings_file.read_text()
    for comment in ("# How I like it.", "# the scale reads grams", "# Not before breakfast."):
        assert comment in text


def test_every_default_can_be_saved(tmp_path: Path) -> None:
    folders = find_folders(tmp_path)
    for name in EXPECTED:
        value: object = Settings()
        for part in name.split("."):
            value = getattr(value, part)
        if isinstance(value, (str, bool, float, tuple)):
            save_setting(folders, name, value)
    assert load(folders) == (Settings(), "")
