"""A block of lines that repaints only what changed."""

from __future__ import annotations

from collections.abc import Sequence

from rich.segment import Segment
from rich.style import Style
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget

from benchmate.tui.present.lines import Line
from benchmate.tui.themes import role_style

FLASH = "-flash"
"""A screen with this class is painted the other way round, dark for light."""
_TURNED = Style(reverse=True)
_TURNED_BACK = Style(reverse=False)


class Lines(Widget, can_focus=False):
    """Paints lines of spans. `show` compares with what is there and repaints single rows.

    A Static would parse markup and lay the whole screen out anew at every update; this one does
    neither, so that twenty running windows cost next to nothing.
    """

    def __init__(self, *, id: str | None = None, classes: str | None = None) -> None:
        super().__init__(id=id, classes=classes)
        self._lines: tuple[Line, ...] = ()

    def show(self, lines: Sequence[Line]) -> bool:
        """Show these lines; whether anything changed."""
        new, old = tuple(lines), self._lines
        if new == old:
            return False
        self._lines = new
        width = self.size.width
        changed = [
            Region(0, y, width, 1)
            for y in range(max(len(new), len(old)))
            if (new[y] if y < len(new) else None) != (old[y] if y < len(old) else None)
        ]
        if width:
            self.refresh(*changed)
        return True

    @property
    def text(self) -> str:
        """What is shown, as plain text: for tests and for reading aloud."""
        return "\n".join("".join(s.text for s in row) for row in self._lines)

    def render_line(self, y: int) -> Strip:
        width = self.size.width
        base = self.rich_style
        turned = self.screen.has_class(FLASH)
        if turned:
            base += _TURNED
        if y >= len(self._lines):
            return Strip.blank(width, base)
        segments = [
            Segment(s.text, base + self._style(s.role, turned=turned)) for s in self._lines[y]
        ]
        return Strip(segments).adjust_cell_length(width, base)

    def _style(self, role: str, *, turned: bool) -> Style:
        colour = not self.app.no_color
        style = role_style(self.app.theme, role, colour=colour)
        if not turned:
            return style
        if role != "alarm":  # one ground for all of them, or the screen turns into a patchwork
            return Style(bold=style.bold, underline=style.underline)
        return style + (_TURNED_BACK if style.reverse else _TURNED)
