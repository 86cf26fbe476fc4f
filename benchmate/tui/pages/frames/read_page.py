"""A page to be read: its text scrolls, and nothing in it can be done."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.binding import Binding, BindingType

from benchmate.tui.pages.frames.page import Page
from benchmate.tui.present.lines import Line, Span, line, spread
from benchmate.tui.present.listing import Keys


class ReadPage(Page):
    """A page overrides `text`; arrows and page keys scroll what is longer than the screen."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("down", "scroll(1)", "down", id="read-down", show=False, tooltip="A line down"),
        Binding("up", "scroll(-1)", "up", id="read-up", show=False, tooltip="A line up"),
        Binding("pagedown,space", "scroll(10)", "on", id="read-on", tooltip="Read on"),
        Binding(
            "pageup", "scroll(-10)", "back up", id="read-back", show=False, tooltip="Read back"
        ),
    ]
    KEYS: ClassVar[Keys] = (("esc", "back"), ("↑ ↓", "scroll"))

    def __init__(self) -> None:
        super().__init__()
        self._top = 0
        self._spare = 0

    def text(self, cells: int) -> Sequence[Line]:
        return ()

    def body(self, cells: int, rows: int) -> Sequence[Line]:
        """As much as fits, with a sign where more is above or below."""
        lines = list(self.text(cells))
        self._spare = max(0, len(lines) - rows)
        self._top = min(self._top, self._spare)
        shown = lines[self._top : self._top + rows]
        if shown and self._spare > self._top:
            shown[-1] = spread(shown[-1], line(Span("↓", "key"), " "), cells)
        if shown and self._top:
            shown[0] = spread(shown[0], line(Span("↑", "key"), " "), cells)
        return shown

    def action_scroll(self, by: int) -> None:
        """Up or down."""
        self._top = max(0, min(self._spare, self._top + by))
        self.look()
