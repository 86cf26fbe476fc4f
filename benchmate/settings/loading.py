"""Reading the settings file. Whatever is wrong with it, there are settings, and a sentence."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import msgspec

from benchmate.settings.folders import Folders
from benchmate.settings.model import EXPECTED, SECRET, Hours, Settings
from benchmate.settings.spans import Span

LARGEST_BYTES = 64 * 1024
_SHOWN = 40
_SECTIONS = {name.partition(".")[0] for name in EXPECTED if "." in name}
_PLACE = re.compile(r"at `\$\.?([^`\[]*)")
_POSITION = re.compile(r" \(at line (\d+), column \d+\)$")

Table = dict[str, Any]


class SettingsUnreadable(Exception):  # noqa: N818 - `str()` is a sentence with the file in it
    """The file isn't one that settings can be read from."""


def load(folders: Folders) -> tuple[Settings, str]:
    """The settings, and a sentence (or several) about what in the file can't be used, or "".

    What can be used is: one bad value leaves its own default and no other. A file that can't be
    read at all leaves every default.
    """
    path = folders.settings_file
    try:
        table = read_table(path)
    except SettingsUnreadable as trouble:
        return Settings(), f"{trouble} The default settings hold until it is mended."
    settings, wrong = usable(table)
    return settings, "\n".join(f"{path}: {sentence}" for sentence in wrong)


def read_table(path: Path) -> Table:
    """The file as TOML reads it; an absent one is empty. Raises `SettingsUnreadable`."""
    return parse(path, read_text(path))


def read_text(path: Path) -> str:
    """The file's text; an absent one is empty. Raises `SettingsUnreadable`."""
    try:
        with path.open("rb") as file:
            content = file.read(LARGEST_BYTES + 1)
        if len(content) > LARGEST_BYTES:
            raise SettingsUnreadable(f"{path} is larger than 64 KiB; settings are a page at most.")
        return content.decode("utf-8-sig")
    except FileNotFoundError:
        return ""
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1
        raise SettingsUnreadable(
            f"{path}:{line}: this isn't UTF-8 text; save it as UTF-8."
        ) from error
    except OSError as error:
        raise SettingsUnreadable(f"{path} can't be read ({error.strerror}).") from error


def parse(path: Path, text: str) -> Table:
    """TOML text as a table. Raises `SettingsUnreadable` with the line."""
    if not text.strip():
        return {}
    # Only a maker who has set something pays for the parser's import.
    import tomllib

    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        found = _POSITION.search(str(error))
        line = int(found[1]) if found else text.count("\n") + 1
        what = _POSITION.sub("", str(error)).removesuffix(" (at end of document)")
        raise SettingsUnreadable(f"{path}:{line}: {what}.") from error
    except RecursionError as error:
        raise SettingsUnreadable(f"{path}: the lists in it are nested too deep.") from error


def usable(table: Table) -> tuple[Settings, list[str]]:
    """The settings in a table, and a sentence for each thing in it that is left out."""
    table = {key: dict(v) if isinstance(v, dict) else v for key, v in table.items()}
    wrong = []
    for strange in list(_unknown(table)):
        wrong.append(_unknown_sentence(strange))
        _drop(table, strange)
    while name := _first_wrong(table):
        wrong.append(_wrong_sentence(name, _value(table, name)))
        _drop(table, name)
    return msgspec.convert(table, Settings), wrong


def _first_wrong(table: Table) -> str | None:
    try:
        return _bad_span(msgspec.convert(table, Settings))
    except msgspec.ValidationError as error:
        found = _PLACE.search(str(error))
        if found is None or found[1] not in EXPECTED:
            raise
        return found[1]


def _bad_span(settings: Settings) -> str | None:
    """The name of the first setting whose spans can't be read."""
    days = {f"hours.{day}": getattr(settings.hours, day) for day in Hours.__struct_fields__}
    for name, texts in {**days, "reminders.quiet": (settings.reminders.quiet,)}.items():
        for text in texts:
            try:
                Span.read(text)
            except ValueError:
                return name
    return None


def _unknown(table: Table) -> Iterator[str]:
    for key, value in table.items():
        if key not in EXPECTED or "." in key:  # a name with a point in quotes is no section's
            yield key
        elif key in _SECTIONS and isinstance(value, dict):
            yield from (f"{key}.{inner}" for inner in value if f"{key}.{inner}" not in EXPECTED)


def _unknown_sentence(name: str) -> str:
    from difflib import get_close_matches

    near = get_close_matches(name, EXPECTED, n=1)
    if not near:
        # Perhaps only its section is forgotten: "volume" for "reminders.volume".
        last = {known.rpartition(".")[2]: known for known in EXPECTED}
        near = [last[found] for found in get_close_matches(name.rpartition(".")[2], last, n=1)]
    hint = f" Did you mean {near[0]}?" if near else ""
    return f"there is no setting {_shown(name)}.{hint}"


def _wrong_sentence(name: str, value: object) -> str:
    not_this = "" if name in SECRET else f", not {_shown(value)}"
    return f"{name} should be {EXPECTED[name]}{not_this}."


def _shown(value: object) -> str:
    text = str(value).lower() if isinstance(value, bool) else repr(value)
    return text if len(text) <= _SHOWN else f"{text[:_SHOWN]}…"


def _value(table: Table, name: str) -> object:
    section, _, key = name.rpartition(".")
    return table[section][key] if section else table[key]


def _drop(table: Table, name: str) -> None:
    if name in table:
        del table[name]
        return
    section, _, key = name.partition(".")
    del table[section][key]
