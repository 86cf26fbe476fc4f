"""Help for the screen one is on: its keys, read from its own bindings."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from textual.screen import Screen

from benchmate.tui.pages.frames.read_page import ReadPage
from benchmate.tui.present.lines import Line
from benchmate.tui.present.pages.helping import help_lines, merged

HIDDEN = ("tab", "shift+tab", "ctrl+c", "super+c")
"""What the screen library binds by itself, of no use here."""


class Help(ReadPage):
    """All keys of the screen below."""

    def title_line(self) -> tuple[str, str]:
        """The head."""
        return "Keys of this screen", "the digits and the glove key work from afar too"

    def text(self, cells: int) -> Sequence[Line]:
        """The page."""
        below = self.app.screen_stack[-2] if len(self.app.screen_stack) > 1 else self
        return help_lines(merged(_bindings(below)), cells)


def _bindings(screen: Screen[Any]) -> Iterable[tuple[str, str, str]]:
    # A key that was given another name stands last; the glove key belongs first.
    first = sorted(screen.active_bindings.items(), key=lambda i: i[1].binding.id != "glove")
    for key, active in first:
        if key not in HIDDEN:
            binding = active.binding
            yield key, binding.action, binding.tooltip or binding.description
