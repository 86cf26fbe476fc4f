"""Where everything lies: by the platform's custom, or together under one home."""

from __future__ import annotations

import os
from pathlib import Path
from typing import NamedTuple

FILE = "settings.toml"


class Folders(NamedTuple):
    """Where the journal, the settings file and the maker's own procedures lie."""

    data: Path
    settings_file: Path
    procedures: Path


def find_folders(home: Path | str | None = None) -> Folders:
    """The folders under a home (given, or BENCHMATE_HOME), else the platform's own places.

    Nothing is made here. A home moves data, settings and procedures together.
    """
    chosen = home or os.environ.get("BENCHMATE_HOME")
    if chosen:
        root = Path(chosen).expanduser().absolute()
        return Folders(root / "data", root / FILE, root / "procedures")
    from platformdirs import PlatformDirs

    dirs = PlatformDirs("benchmate", appauthor=False)
    data = Path(dirs.user_data_path)
    return Folders(data, Path(dirs.user_config_path) / FILE, data / "procedures")
