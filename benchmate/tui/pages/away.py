"""What passed while you were away: the first thing shown after a sleep or a dead battery."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.events import Key, Resize
from textual.screen import ModalScreen

from benchmate.bench.reminding.away import Passed
from benchmate.tui.host import host
from benchmate.tui.present.bench.keys import key_row
from benchmate.tui.present.lines import Line, Role, Span, line, rule, wrap
from benchmate.tui.widgets.lines import Lines

LONGEST = 6
"""Rows that one of them may take."""


class Away(ModalScreen[bool]):
    """By how much each was missed, what that means and what to do; the gravest first.

    Enter or the glove key reads on, and on the last page answers True: it has been heard.
    Escape answers False: the reminders go on.
    """

    DEFAULT_CSS = """
    Away { align: center top; background: $background; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter,down,pagedown", "more", "read on", id="away-more", tooltip="Read on"),
        Binding("up,pageup", "back", "back", id="away-back", tooltip="One page back"),
        Binding(
            "escape",
            "leave",
            "answer later",
            id="away-leave",
            tooltip="Answer later: the reminders go on",
        ),
    ]

    def __init__(self, heading: str, found: Sequence[Passed]) -> None:
        super().__init__()
        self.heading, self.found = heading, tuple(found)
        self.page = 0
        self._pages: list[list[Line]] = [[]]

    def compose(self) -> ComposeResult:
        with Vertical(id="away"):
            lines = Lines(id="away-lines")
            lines.styles.height = "1fr"  # the app's sheet gives lines no more than one row
            yield lines

    def on_resize(self, event: Resize) -> None:
        """Lay it out anew."""
        self.call_after_refresh(self.look)

    def look(self) -> None:
        cells, rows = self.size.width, self.size.height
        if cells < 4 or rows < 2:
            return
        head = [line(" ", Span(r, "strong")) for r in wrap(self.heading, cells - 2, 3)]
        head.append(rule(cells))
        self._pages = pages_of(self.found, cells, max(1, rows - len(head) - 2))
        self.page = min(self.page, len(self._pages) - 1)
        body = self._pages[self.page]
        gap: list[Line] = [()] * max(0, rows - len(head) - len(body) - 2)
        keys = key_row([("enter", self._what), ("escape", "answer later")], cells)
        self.query_one("#away-lines", Lines).show([*head, *body, *gap, rule(cells), keys])

    @property
    def _is_last(self) -> bool:
        return self.page >= len(self._pages) - 1

    @property
    def _what(self) -> str:
        if self._is_last:
            return "OK"
        return f"read on ({self.page + 1} of {len(self._pages)})"

    def on_key(self, event: Key) -> None:
        """The glove key reads on too; a held key doesn't."""
        app = host(self)
        hand = app.hand
        if event.key == "backspace" and hand.locked:
            self.action_leave()
        elif event.key == app.glove_key:
            event.stop()
            if hand.presses.counts(app.bench.now_s()):
                self.action_more()

    def action_more(self) -> None:
        """The next page; after the last one it is seen."""
        if self._is_last and not host(self).gate.in_burst:
            self.dismiss(True)
            return
        if self._is_last:
            return
        self.page += 1
        self.look()

    def action_back(self) -> None:
        self.page = max(0, self.page - 1)
        self.look()

    def action_leave(self) -> None:
        self.dismiss(False)


def pages_of(found: Sequence[Passed], cells: int, rows: int) -> list[list[Line]]:
    """What passed, on pages of so many rows; none is torn over two pages that fits on one."""
    pages: list[list[Line]] = [[]]
    for passed in found:
        made = _lines(passed, cells, min(LONGEST, rows))
        if pages[-1] and len(pages[-1]) + len(made) > rows:
            pages.append([])
        pages[-1] += made
    return pages


def _lines(passed: Passed, cells: int, most: int) -> list[Line]:
    grave = passed.is_missed
    role: Role = ("spoil" if passed.edge.spoils else "caution") if grave else "plain"
    mark = "▲" if grave else "·"
    texts = wrap(passed.text, max(4, cells - 4), most)
    return [
        line(Span(f" {mark if n == 0 else ' '} ", role), Span(text, role))
        for n, text in enumerate(texts)
    ]
