"""Changing one setting in the maker's file and leaving every other line as they wrote it.

A small line editor and not a TOML writer, which would lose comments. What it has written is read
back before it counts: unless the one value changed and nothing else did, the file stays as it is.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Sequence
from copy import deepcopy
from typing import Any

from benchmate.settings.folders import Folders
from benchmate.settings.loading import SettingsUnreadable, Table, parse, read_text, usable
from benchmate.settings.model import EXPECTED, SECRET

Value = str | bool | int | float | Sequence[str]

_HEADER = re.compile(r"\s*\[")


class SettingRefused(Exception):  # noqa: N818 - `str()` is a sentence
    """The setting was not saved, and the file is as it was."""


def save_setting(folders: Folders, name: str, value: Value) -> None:
    """Set one setting, "units" or "reminders.volume", in the file; make the file if need be.

    Raises `SettingRefused` with a sentence: an unknown name, a value that doesn't belong there, a
    file that is broken already or that can't be written.
    """
    # A link to the file stays a link; what it points to is replaced.
    path = folders.settings_file.resolve()
    try:
        text = read_text(path)
        table = parse(path, text)
    except SettingsUnreadable as trouble:
        raise SettingRefused(f"{trouble} Mend it first.") from trouble
    wanted = _changed(table, name, value)
    edited = _edited(lambda new: parse(path, new), text, name, value, wanted)
    try:
        from benchmate.journal.files import make_folder, write_durably

        make_folder(path.parent)
        write_durably(path, edited.encode())
    except OSError as error:
        raise SettingRefused(f"{path} can't be written ({error.strerror}).") from error


def _changed(table: Table, name: str, value: Value) -> Table:
    """The table as it should read afterwards."""
    wanted = deepcopy(table)
    section, _, key = name.rpartition(".")
    place = wanted.setdefault(section, {}) if section else wanted
    if name not in EXPECTED or not isinstance(place, dict):
        raise SettingRefused(f"There is no setting {name!r}.")
    place[key] = value if isinstance(value, (str, bool, int, float)) else list(value)
    _, wrong = usable({section: {key: place[key]}} if section else {key: place[key]})
    if wrong:
        raise SettingRefused(f"{wrong[0][0].upper()}{wrong[0][1:]}")
    return wanted


def _edited(read: Callable[[str], Table], text: str, name: str, value: Value, wanted: Table) -> str:
    section, _, key = name.rpartition(".")
    lines = text.splitlines(keepends=True)
    if lines and not lines[-1].endswith("\n"):
        lines[-1] += "\n"
    edited = "".join(_with_line(lines, section, key, _toml(value)))
    try:
        if read(edited) == wanted:
            return edited
    except SettingsUnreadable:
        pass
    shown = "its value" if name in SECRET else _toml(value)
    raise SettingRefused(
        f"The way the file writes {name} is beyond this editor; set it to {shown} there by hand."
    )


def _with_line(lines: list[str], section: str, key: str, shown: str) -> list[str]:
    """The lines with `key = shown` in its section, in place of the old one where there is one."""
    start, end = _section(lines, section)
    if start is None:
        gap = ["\n"] if lines else []
        return [*lines, *gap, f"[{section}]\n", f"{key} = {shown}\n"]
    for number in range(start, end):
        if re.match(rf"""\s*(["']?){re.escape(key)}\1\s*=""", lines[number]):
            length, comment = _extent(lines[number:end])
            new = f"{key} = {shown}{'  ' + comment if comment else ''}\n"
            return [*lines[:number], new, *lines[number + length :]]
    while end > start and not lines[end - 1].strip():
        end -= 1
    return [*lines[:end], f"{key} = {shown}\n", *lines[end:]]


def _section(lines: list[str], section: str) -> tuple[int | None, int]:
    """Where a section's own lines begin and end; those before any header are section ""."""
    headers = [number for number, line in enumerate(lines) if _HEADER.match(line)]
    if not section:
        return 0, next(iter(headers), len(lines))
    for number in headers:
        if re.match(rf"\s*\[\s*{re.escape(section)}\s*\]", lines[number]):
            return number + 1, next((h for h in headers if h > number), len(lines))
    return None, len(lines)


def _extent(lines: list[str]) -> tuple[int, str]:
    """How many lines the first assignment takes, and the comment behind it."""
    import tomllib

    def reads(text: str) -> Any:
        try:
            return tomllib.loads(text)
        except tomllib.TOMLDecodeError:
            return None

    length = next(n for n in range(1, len(lines) + 1) if reads("".join(lines[:n])) is not None)
    whole = "".join(lines[:length])
    marks = [found.start() for found in re.finditer("#", lines[length - 1])]
    before = "".join(lines[: length - 1])
    for mark in marks:
        if reads(before + lines[length - 1][:mark]) == reads(whole):
            return length, lines[length - 1][mark:].rstrip()
    return length, ""


def _toml(value: Value) -> str:
    """A value as TOML writes it; JSON's words are TOML's for all of these but DEL."""
    plain = value if isinstance(value, (str, bool, int, float)) else list(value)
    return json.dumps(plain, ensure_ascii=False).replace("\x7f", "\\u007f")
