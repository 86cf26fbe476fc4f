"""One settings file, and the folders that everything lies in.

msgspec reads the file rather than pydantic: every command reads settings, and pydantic's import
alone would cost the first frame.
"""

from __future__ import annotations

import os
import tomllib
from difflib import get_close_matches
from pathlib import Path
from typing import Literal, NamedTuple

import msgspec

FILE = "settings.toml"
LARGEST = 64 * 1024
DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


class Folders(NamedTuple):
    """Where the journal, the settings file and the maker's own procedures lie."""

    data: Path
    settings_file: Path
    procedures: Path


class Hours(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Shop hours, a list of spans per weekday: ["18:00-22:00"]."""

    mon: tuple[str, ...] = ("18:30-22:00",)
    tue: tuple[str, ...] = ("18:30-22:00",)
    wed: tuple[str, ...] = ("18:30-22:00",)
    thu: tuple[str, ...] = ("18:30-22:00",)
    fri: tuple[str, ...] = ("18:30-22:00",)
    sat: tuple[str, ...] = ("9:00-18:00",)
    sun: tuple[str, ...] = ("10:00-17:00",)


class Reminding(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """How the maker is reached. Addresses are secrets: they go into no logbook and no export."""

    channels: tuple[str, ...] = ("terminal", "sound", "desktop", "speech", "phone", "command")
    quiet: str = "22:30-7:00"
    addresses: tuple[str, ...] = ()
    command: tuple[str, ...] = ()
    volume: float = 0.7
    speech: bool = True


class AirSource(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A file that gives the shop's temperature, written by another program or the kernel."""

    file: str = ""
    format: Literal["number", "millidegrees", "csv", "json"] = "number"
    field: str = ""
    humidity_field: str = ""
    place: str = "shop"


class Settings(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Everything a maker may set; each has a sane default."""

    units: Literal["metric", "inch"] = "metric"
    theme: Literal["dark", "light", "high contrast"] = "dark"
    glove_key: str = "space"
    near_fraction: float = 2 / 3
    hours: Hours = Hours()
    reminders: Reminding = Reminding()
    air: AirSource = AirSource()


def find_folders(home: Path | str | None = None) -> Folders:
    """The folders under a home (given, or BENCHMATE_HOME), else the platform's own places."""
    chosen = home or os.environ.get("BENCHMATE_HOME")
    if chosen:
        root = Path(chosen).expanduser()
        return Folders(root / "data", root / FILE, root / "procedures")
    from platformdirs import PlatformDirs

    dirs = PlatformDirs("benchmate", appauthor=False)
    data = Path(dirs.user_data_path)
    return Folders(data, Path(dirs.user_config_path) / FILE, data / "procedures")


def load(folders: Folders) -> tuple[Settings, str]:
    """The settings, and a sentence where the file can't be used (the defaults hold then)."""
    path = folders.settings_file
    try:
        if not path.exists():
            return Settings(), ""
        data = path.read_bytes()[: LARGEST + 1]
        if len(data) > LARGEST:
            raise ValueError("it is larger than 64 KiB")
        return msgspec.convert(tomllib.loads(data.decode()), Settings), ""
    except (OSError, ValueError, tomllib.TOMLDecodeError) as error:
        return (
            Settings(),
            f"{path}: {_plainly(error)}. The default settings hold until it is mended.",
        )


def _plainly(error: Exception) -> str:
    """msgspec's words, with the nearest right name for an unknown one."""
    said = str(error).rstrip(".")
    if "unknown field" in said:
        wrong = said.split("`")[1]
        known = [f for s in (Settings, Hours, Reminding, AirSource) for f in s.__struct_fields__]
        near = get_close_matches(wrong, known, n=1)
        return f"there is no setting “{wrong}”" + (f"; did you mean {near[0]}?" if near else "")
    return said
