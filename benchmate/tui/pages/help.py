"""Help for the screen one is on: its keys, read from its own bindings."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any, ClassVar

from textual.binding import BindingType
from textual.screen import Screen

from benchmate.tui.keys.table import binding
from benchmate.tui.pages.frames.read_page import ReadPage
from benchmate.tui.present.lines import Line
from benchmate.tui.present.pages.helping import help_lines, merged

HIDDEN = ("ctrl+c", "super+c")
"""What the screen library binds by itself, of no use here."""


class Help(ReadPage):
    """All keys of the screen below, and the theme."""

    BINDINGS: ClassVar[list[BindingType]] = [
        binding("take", "theme", tip="The next theme: dark, light or high contrast"),
    ]
    KEYS = (*ReadPage.KEYS, ("enter", "theme"), ("ctrl+p", "by name"))

    def title_line(self) -> tuple[str, str]:
        return "Keys of this screen", "they work in the big view too"

    def text(self, cells: int) -> Sequence[Line]:
        below = self.app.screen_stack[-2] if len(self.app.screen_stack) > 1 else self
        return help_lines(merged(_bindings(below)), cells)

    def action_theme(self) -> None:
        """The next theme."""
        self.say(f"Theme: {self.host.next_theme()}. `theme` in the settings keeps it.", "plain")

    def action_help(self) -> None:
        """The same key goes back."""
        self.dismiss(None)


def _bindings(screen: Screen[Any]) -> Iterable[tuple[str, str, str]]:
    # The glove key belongs first, whatever its name is; what picks pieces behind the letters.
    first = sorted(
        screen.active_bindings.items(),
        key=lambda i: (i[1].binding.id != "glove", i[0] in ("tab", "shift+tab")),
    )
    for key, active in first:
        if key not in HIDDEN and active.binding.id is not None:
            binding = active.binding
            yield key, binding.action, binding.tooltip or binding.description
