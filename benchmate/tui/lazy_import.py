"""Modules that the first frame doesn't need, loaded when something of theirs is first asked for."""

from __future__ import annotations

from importlib import import_module
from typing import Any


class Later:
    """Stands for a module by its name. For type checkers import the real one beside it:

    if TYPE_CHECKING:
        from benchmate.job.deciding import commands as cmd
    else:
        cmd = Later("benchmate.job.deciding.commands")
    """

    def __init__(self, name: str) -> None:
        self._name = name

    def __getattr__(self, item: str) -> Any:
        return getattr(import_module(self._name), item)
