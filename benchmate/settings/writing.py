"""Putting values into the settings file: one section's keys, and not a word else of it."""

from __future__ import annotations

import json
import os
import re
from pathlib import Path

from benchmate.settings.loading import parse, read_text

Value = str | int | bool
_HEADER = re.compile(r"^\s*\[(?P<name>[^\[\]]+)\]")


def with_values(text: str, section: str, values: dict[str, Value]) -> str:
    """The file's text with these values in a section; what else stands there stays as it is."""
    rows, kept, inside, there = text.splitlines(), [], False, False
    new = [f"{key} = {_toml(value)}" for key, value in values.items()]
    for row in rows:
        header = _HEADER.match(row)
        if header:
            inside = header["name"].strip() == section
        key = row.partition("=")[0].strip()
        if inside and not header and key in values:
            continue
        kept.append(row)
        if header and inside:
            there = True
            kept += new
    if not there:
        kept += [*([""] if kept else []), f"[{section}]", *new]
    return "\n".join(kept) + "\n"


def keep_values(file: Path, section: str, values: dict[str, Value]) -> None:
    """Write them down, all or nothing. Raises SettingsUnreadable, or OSError."""
    old = read_text(file)
    parse(file, old)
    new = with_values(old, section, values)
    parse(file, new)
    file.parent.mkdir(parents=True, exist_ok=True)
    aside = file.with_name(f"{file.name}.{os.getpid()}")
    aside.write_text(new, encoding="utf-8")
    aside.replace(file)


def _toml(value: Value) -> str:
    """A basic string is written as JSON writes it, but for DEL, which nothing here holds."""
    return json.dumps(value, ensure_ascii=False)
