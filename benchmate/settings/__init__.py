"""One settings file, and the folders that everything lies in.

Settings are msgspec structs: every command reads them, and a validating library's import alone
would cost the bench its first frame. `saving` is imported where it is used.
"""

from benchmate.settings.folders import Folders, find_folders
from benchmate.settings.loading import load
from benchmate.settings.model import AirSource, Hours, Reminding, ScaleDefaults, Settings
from benchmate.settings.spans import Span

__all__ = [
    "AirSource",
    "Folders",
    "Hours",
    "Reminding",
    "ScaleDefaults",
    "Settings",
    "Span",
    "find_folders",
    "load",
]
