"""A form by keys, painted as lines; only the field in hand has a box to type in.

A box for each field would take more than half a second to open on a label of sixteen questions.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container
from textual.events import Click, Key, Resize
from textual.message import Message
from textual.widgets import Input
from textual.widgets.input import Selection

from benchmate.tui.present.form import Field, Place, Row, form_items, label_cells
from benchmate.tui.present.lines import safe
from benchmate.tui.present.listing import Item, View, window
from benchmate.tui.widgets.lines import Lines


class Form(Container, can_focus=True):
    """Fields to go through with arrows, Tab or Enter, and at the end a line to press."""

    DEFAULT_CSS = """
    Form { height: auto; overflow: hidden hidden; }
    Form > Input, Form > Input:focus {
        position: absolute; border: none; height: 1; padding: 0; background: $panel;
    }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "up,shift+tab",
            "step(-1)",
            "field above",
            id="form-up",
            tooltip="To the field above",
            show=False,
        ),
        Binding(
            "down,tab",
            "step(1)",
            "field below",
            id="form-down",
            tooltip="To the field below",
            show=False,
        ),
        Binding(
            "enter",
            "enter",
            "go on",
            id="form-enter",
            tooltip="To the next field; at the end, do it",
            show=False,
        ),
        Binding(
            "left",
            "turn(-1)",
            "choice before",
            id="form-left",
            tooltip="The choice before",
            show=False,
        ),
        Binding(
            "right,space",
            "turn(1)",
            "next choice",
            id="form-right",
            tooltip="The next choice",
            show=False,
        ),
    ]

    class Changed(Message):
        """A field's value has changed."""

        def __init__(self, key: str, value: str) -> None:
            super().__init__()
            self.key, self.value = key, value

    class Entered(Message):
        """Another field is in hand; None for the line to press."""

        def __init__(self, field: Field | None) -> None:
            super().__init__()
            self.field = field

    class Done(Message):
        """The line at the end was pressed."""

    def __init__(
        self, fields: Sequence[Field], press: str, *, widest: int = 34, id: str | None = None
    ) -> None:
        super().__init__(id=id)
        self.rows = [Row(f, f.value or (f.choices[0] if f.choices else "")) for f in fields]
        self.press, self.widest = press, widest
        self.at = 0
        self._view = View((), (), 0)

    def compose(self) -> ComposeResult:
        """What is painted, and the one box."""
        yield Lines()
        box = Input(max_length=20_000)
        box.cursor_blink = False
        box.display = False
        yield box

    # What stands in it -----------------------------------------------------------------------

    @property
    def box(self) -> Input:
        """The box to type in."""
        return self.query_one(Input)

    @property
    def in_hand(self) -> Row | None:
        """The field in hand; None at the line to press."""
        return self.rows[self.at] if self.at < len(self.rows) else None

    @property
    def values(self) -> dict[str, str]:
        """What stands in the fields."""
        self._take_typed()
        return {row.field.key: row.value for row in self.rows}

    @property
    def natural_rows(self) -> int:
        """How many lines it would take to show all of it."""
        return sum(len(item.lines) for item in self._items()[0])

    def row(self, key: str) -> Row:
        """The row of a field."""
        return next(row for row in self.rows if row.field.key == key)

    def fill(self, values: Mapping[str, str]) -> None:
        """Put values into the fields, as if they were typed."""
        self._take_typed()
        for row in self.rows:
            value = values.get(row.field.key, row.value)
            if value != row.value:
                row.value = value
                self.post_message(self.Changed(row.field.key, value))
        self._put_in_box()
        self.draw()

    def blame(self, faults: Mapping[str, str]) -> None:
        """Show each field's fault, and none where there is none."""
        for row in self.rows:
            row.fault = faults.get(row.field.key, "")
        self.draw()

    def _take_typed(self) -> bool:
        """What is in the box belongs to the field in hand; whether it is new."""
        row = self.in_hand
        if row is None or row.field.choices or not self.box.display or row.value == self.box.value:
            return False
        row.value = self.box.value
        self.post_message(self.Changed(row.field.key, row.value))
        return True

    # Moving ----------------------------------------------------------------------------------

    def go(self, place: int) -> None:
        """To a field by its number; beyond the last is the line to press."""
        self._take_typed()
        self.at = max(0, min(len(self.rows), place))
        self._put_in_box()
        self.draw()
        row = self.in_hand
        self.post_message(self.Entered(row.field if row else None))

    def _put_in_box(self) -> None:
        row, box = self.in_hand, self.box
        box.display = row is not None and not row.field.choices
        if row is None or row.field.choices:
            self.focus()
            return
        if box.value != row.value:
            box.value = row.value
        box.placeholder = safe(row.field.blank)
        box.selection = Selection(0, len(row.value))
        box.focus()

    def action_step(self, by: int) -> None:
        """To the next field or the one before."""
        self.go(self.at + by)

    def action_enter(self) -> None:
        """To the next field; at the end, press."""
        if self.in_hand is None:
            self.post_message(self.Done())
        else:
            self.action_step(1)

    def action_turn(self, by: int) -> None:
        """Another choice; nothing where there are none."""
        row = self.in_hand
        if row is not None and row.field.choices:
            row.turn(by)
            self._chosen(row)

    def _chosen(self, row: Row) -> None:
        self.draw()
        self.post_message(self.Changed(row.field.key, row.value))

    def on_key(self, event: Key) -> None:
        """A letter goes to the next choice that begins with it."""
        row = self.in_hand
        letter = event.character or ""
        if self.has_focus and row is not None and letter.strip() and row.jump(letter):
            event.stop()
            self._chosen(row)

    def on_input_changed(self, event: Input.Changed) -> None:
        """Take what was typed."""
        event.stop()
        self._take_typed()

    def on_input_submitted(self, event: Input.Submitted) -> None:
        event.stop()
        self.action_enter()

    def on_click(self, event: Click) -> None:
        """To the field that was clicked; a click on the line to press presses."""
        if isinstance(event.widget, Lines) and 0 <= event.y < len(self._view.entries):
            self.go(self._view.entries[event.y])
            if self.in_hand is None:
                self.action_enter()

    # Painting --------------------------------------------------------------------------------

    def on_resize(self, event: Resize) -> None:
        """Lay the lines out for the new size."""
        self.draw()

    def _items(self) -> tuple[list[Item], list[Place]]:
        cells = max(4, self.size.width - 3)
        label = label_cells(self.rows, cells, self.widest)
        return form_items(self.rows, self.press, self.at, label, cells)

    def draw(self) -> None:
        """Paint the part that is in sight, and stand the box on its field."""
        cells, rows = self.size.width, self.size.height
        if cells < 2 or rows < 1:
            return
        items, places = self._items()
        self._view = window(items, self.at, self._view.top, cells, rows)
        painted = self.query_one(Lines)
        painted.styles.height = rows
        painted.show(self._view.lines)
        if self.in_hand is None or not self.box.display:
            return
        place = places[self.at]
        first = sum(len(item.lines) for item in items[: self.at]) - self._view.top
        box = self.box
        box.styles.offset = (place.cell + 1, max(0, min(rows - 1, first + place.line)))
        box.styles.width = max(3, cells - place.cell - 3)


__all__ = ["Field", "Form", "Row"]
