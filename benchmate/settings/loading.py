"""Reading the settings file. Whatever is wrong with it, there are settings, and a sentence."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

import msgspec

from benchmate.fields.located import located
from benchmate.fields.problem import NO_SUCH_KEY, Fault, Where
from benchmate.fields.sections import Surprise, names_of, read_plainly, table_of
from benchmate.nearest import nearest
from benchmate.settings.folders import Folders
from benchmate.settings.model import Settings

if TYPE_CHECKING:
    from benchmate.fields.model import Table as Model

LARGEST_BYTES = 64 * 1024
SECRET_SECTION = "reminders"
_QUOTED = re.compile(r"“.*”", re.DOTALL)
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
        text = read_text(path)
        table = parse(path, text)
    except SettingsUnreadable as trouble:
        return Settings(), f"{trouble} The default settings hold until it is mended."
    settings, wrong = usable(table)
    return settings, "\n".join(map(str, located(wrong, text, str(path))))


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


def usable(table: Table) -> tuple[Settings, list[Fault]]:
    """The settings in a table, and what is wrong with each thing in it that is left out."""
    try:
        return read_plainly(Settings, table), []
    except Surprise:
        pass
    # Only a file with something wrong in it pays for the models: they say what.
    from benchmate.fields.model import validated

    faults: list[Fault] = []
    validated(_model(), table, (), faults)
    table = {key: dict(v) if isinstance(v, dict) else v for key, v in table.items()}
    for fault in faults:
        _drop(table, fault.where)
    return read_plainly(Settings, table), [_unquoted(_named(fault)) for fault in faults]


@cache
def _model() -> type[Model]:
    return table_of(Settings)


def _drop(table: Table, where: Where) -> None:
    section, *rest = where
    inner = table.get(str(section))
    if rest and isinstance(inner, dict):
        inner.pop(str(rest[0]), None)
    else:
        table.pop(str(section), None)


def _unquoted(fault: Fault) -> Fault:
    """The fault without the value, where that stands among the addresses and may be one."""
    if fault.where[:1] != (SECRET_SECTION,):
        return fault
    quoted = _QUOTED.search(fault.wrong)
    if len(fault.where) > 1 and not (quoted and set(quoted[0]) & set("@/:")):
        return fault
    return msgspec.structs.replace(fault, wrong=_QUOTED.sub("what stands there", fault.wrong))


def _named(fault: Fault) -> Fault:
    """The fault; of a name that no setting has, with the one that is probably meant."""
    if fault.wrong != NO_SUCH_KEY:
        return fault
    word, known = ".".join(map(str, fault.where)), names_of(Settings)
    last = {name.rpartition(".")[2]: name for name in known}
    # Perhaps only its section is forgotten: "volume" for "reminders.volume".
    near = nearest(word, known) or last.get(nearest(word.rpartition(".")[2], last) or "")
    instead = f'the nearest is "{near}"' if near else fault.instead
    return msgspec.structs.replace(fault, wrong="there is no such setting", instead=instead)
