"""One settings file, and the folders that everything lies in.

Settings are msgspec structs: every command reads them, and a validating library's import alone
would cost the bench its first frame. `saving` is imported where it is used.
"""

from .folders import Folders, find_folders
from .loading import load
from .model import AirSource, Hours, Reminding, ScaleDefaults, Settings
from .spans import Span

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
