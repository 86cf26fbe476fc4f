"""One settings file, and the folders that everything lies in.

Every command reads the settings: they are plain structs whose fields say how each is read, so
that only a file with something wrong in it loads the models.
"""

from benchmate.settings.folders import Folders, find_folders
from benchmate.settings.loading import load
from benchmate.settings.model import AirSource, Hours, Reminding, ScaleDefaults, Settings
from benchmate.settings.shop import ShopSettings
from benchmate.settings.spans import Span

__all__ = [
    "AirSource",
    "Folders",
    "Hours",
    "Reminding",
    "ScaleDefaults",
    "Settings",
    "ShopSettings",
    "Span",
    "find_folders",
    "load",
]
