"""A page whose body is a list with a mark that keys move."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.events import Click, MouseScrollDown, MouseScrollUp

from benchmate.tui.pages.frames.page import Page
from benchmate.tui.present.lines import Line
from benchmate.tui.present.listing import Item, View, markable, moved, nearest, window


class ListPage(Page):
    """Arrows, page keys, home and end move the mark; digits and Enter take an entry.

    Painted by hand: the library's OptionList took five times the processor time to list 300 rows
    anew (45 ms against 9), and a card or a logbook is listed anew at every change of the shop.
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "move(-1)", "up", id="list-up", tooltip="One entry up", show=False),
        Binding("down", "move(1)", "down", id="list-down", tooltip="One entry down", show=False),
        Binding("pageup", "page(-1)", id="list-pageup", tooltip="A screenful up", show=False),
        Binding("pagedown", "page(1)", id="list-pagedown", tooltip="A screenful down", show=False),
        Binding("home", "end(0)", id="list-home", tooltip="To the first", show=False),
        Binding("end", "end(1)", id="list-end", tooltip="To the last", show=False),
        Binding("enter", "take", "take it", id="list-take", tooltip="Take the marked entry"),
        *[
            Binding(
                str(n),
                f"digit({n})",
                "take it",
                id=f"list-digit-{n}",
                tooltip="Take the entry on that digit",
                show=False,
            )
            for n in range(1, 10)
        ],
    ]

    def __init__(self) -> None:
        super().__init__()
        self.at = 0
        self._top = 0
        self._rows, self._cells = 10, 0
        self._items: Sequence[Item] = ()
        self._view = View((), (), 0)

    def items(self, cells: int) -> Sequence[Item]:
        """The entries, for so many cells (the mark's and the arrows' are taken off)."""
        return ()

    def take(self, what: object) -> None:
        """An entry was taken by Enter, its digit or a click."""

    @property
    def marked(self) -> object:
        """What the marked entry stands for; None where nothing can be marked."""
        return self._items[self.at].what if 0 <= self.at < len(self._items) else None

    def mark(self, what: object) -> None:
        """Put the mark on the entry that stands for this."""
        self._items = self.items(max(4, self.size.width - 3))
        self.at = next((i for i, item in enumerate(self._items) if item.what == what), self.at)
        self.look()

    def prepare(self, cells: int) -> None:
        """List the entries anew; the mark stays on what it was on, wherever that is now."""
        was, self._cells = self.marked, cells
        self._items = self.items(max(4, cells - 3))
        if was is not None and self.marked != was:
            self.at = next((i for i, item in enumerate(self._items) if item.what == was), self.at)
        self.at = nearest(self._items, self.at)

    def body(self, cells: int, rows: int) -> Sequence[Line]:
        """The part of the list that is in sight."""
        if cells != self._cells:
            self.prepare(cells)
        self._rows = max(1, rows)
        self._view = window(self._items, self.at, self._top, cells, rows)
        self._top = self._view.top
        return self._view.lines

    def action_move(self, by: int) -> None:
        """The mark up or down."""
        self.at = moved(self._items, self.at, by)
        self.look()

    def action_page(self, way: int) -> None:
        """The mark by a screenful of lines."""
        lines, goal = 0, self.at
        while lines < self._rows - 1:
            there = moved(self._items, goal, way)
            if there == goal:
                break
            lines += sum(
                len(self._items[i].lines) for i in range(min(goal, there), max(goal, there))
            )
            goal = there
        self.at = goal
        self.look()

    def action_end(self, last: int) -> None:
        """The mark to the first or the last entry."""
        places = markable(self._items)
        if places:
            self.at = places[-1 if last else 0]
        self.look()

    def action_take(self) -> None:
        """Take the marked entry."""
        if self.marked is not None:
            self.take(self.marked)

    def action_digit(self, n: int) -> None:
        """Take the entry on a digit: those that are counted from the first."""
        places = markable(self._items)
        if n <= len(places):
            self.at = places[n - 1]
            self.look()
            self.take(self.marked)

    def on_click(self, event: Click) -> None:
        """A click marks an entry; one on the mark takes it."""
        if event.widget is None or event.widget.id != "page-body":
            return
        if 0 <= event.y < len(self._view.entries):
            place = self._view.entries[event.y]
            if self._items[place].what is None:
                return
            if place == self.at:
                self.take(self.marked)
            else:
                self.at = place
                self.look()

    def on_mouse_scroll_down(self, event: MouseScrollDown) -> None:
        """The wheel moves the mark."""
        self.action_move(3)

    def on_mouse_scroll_up(self, event: MouseScrollUp) -> None:
        """The wheel moves the mark."""
        self.action_move(-3)
