"""A form by keys: one row a field, its fault beneath it, and at the end what it is all for."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container
from textual.events import DescendantFocus, Resize
from textual.message import Message
from textual.widget import Widget
from textual.widgets import Input

from benchmate.tui.present.lines import Line, Role, Span, fit, line, safe, wrap
from benchmate.tui.widgets.lines import Lines
from benchmate.tui.widgets.pick import Pick, Press

NARROWEST = 14
"""Fewer cells than this are too few to type in beside a label."""


@dataclass(frozen=True)
class Field:
    """One thing to type or to pick. `blank` says what stands where it is left empty."""

    key: str
    label: str
    value: str = ""
    blank: str = ""
    hint: str = ""
    choices: tuple[str, ...] = ()


class Row(Container):
    """A field: its label, the box beside or below it, and what is wrong with it."""

    DEFAULT_CSS = """
    Row { height: auto; layout: vertical; }
    Row > .row-line { height: auto; }
    Row.beside > .row-line { layout: horizontal; height: 1; }
    Row Lines { width: 1fr; }
    Row Input { border: none; height: 1; padding: 0 1; background: $boost; width: 1fr; }
    Row Input:focus { border: none; }
    Row.below Input, Row.below Pick { margin: 0 0 0 2; }
    """

    def __init__(self, field: Field, label_cells: int) -> None:
        super().__init__()
        self.field, self.label_cells = field, label_cells
        self.fault = ""
        self.box: Input | Pick
        if field.choices:
            self.box = Pick(field.choices, field.value)
        else:
            self.box = Input(value=field.value, placeholder=safe(field.blank), max_length=20_000)
            self.box.cursor_blink = False

    def compose(self) -> ComposeResult:
        """Label and box, then the fault."""
        with Container(classes="row-line"):
            yield Lines(classes="row-label")
            yield self.box
        yield Lines(classes="row-fault")

    def on_mount(self) -> None:
        """Show the label."""
        self.stand(beside=self.label_cells > 0)

    def on_resize(self) -> None:
        """Wrap label and fault anew."""
        self.draw(focused=self.box.has_focus)

    @property
    def is_beside(self) -> bool:
        """Whether the label stands beside the box, not above it."""
        return self.has_class("beside")

    @property
    def natural_rows(self) -> int:
        """How many lines it takes."""
        lines = self.query(Lines)
        high = sum(int(b.styles.height.value) for b in lines if b.display and b.styles.height)
        return high if self.is_beside else high + 1

    def stand(self, *, beside: bool) -> None:
        """The label beside the box, or above it."""
        self.set_class(beside, "beside")
        self.set_class(not beside, "below")
        self.query_one(".row-label", Lines).styles.width = self.label_cells if beside else "1fr"
        self.draw(focused=self.box.has_focus)

    @property
    def value(self) -> str:
        """What is typed or picked."""
        return self.box.value

    def draw(self, *, focused: bool) -> None:
        """The label with its mark, and the fault."""
        label, cells = self.query_one(".row-label", Lines), self.label_cells
        cells = cells if self.is_beside else 0
        role: Role = "strong" if focused else "plain"
        mark = Span("▸" if focused else "✗" if self.fault else " ", "key" if focused else "spoil")
        texts = [fit(self.field.label, cells - 2)] if cells else self._wrapped()
        label.styles.height = len(texts)
        label.show([line(mark if n == 0 else " ", Span(t, role)) for n, t in enumerate(texts)])
        below = self.query_one(".row-fault", Lines)
        lines: list[Line] = []
        if self.fault:
            width = max(10, self.size.width - 4)
            lines = [line("   ", Span(t, "caution")) for t in wrap(self.fault, width, 2)]
        below.display, below.styles.height = bool(lines), len(lines)
        below.show(lines)

    def _wrapped(self) -> list[str]:
        return wrap(self.field.label, max(10, self.size.width - 3), 2)


class Form(Container):
    """Fields to go through with arrows, Tab or Enter, and at the end a line to press."""

    DEFAULT_CSS = """
    Form { height: auto; overflow-y: auto; scrollbar-size-vertical: 1; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "step(-1)", "field above", id="form-up", tooltip="To the field above",
                show=False),
        Binding("down", "step(1)", "field below", id="form-down", tooltip="To the field below",
                show=False),
    ]  # fmt: skip

    class Changed(Message):
        """A field's value has changed."""

        def __init__(self, key: str, value: str) -> None:
            super().__init__()
            self.key, self.value = key, value

    class Entered(Message):
        """Another field has the focus."""

        def __init__(self, field: Field | None) -> None:
            super().__init__()
            self.field = field

    class Done(Message):
        """The line at the end was pressed."""

    def __init__(self, fields: Sequence[Field], press: str, *, widest: int = 34,
                 id: str | None = None) -> None:  # fmt: skip
        super().__init__(id=id)
        longest = max((len(f.label) for f in fields), default=0) + 3
        self.rows = [Row(f, longest if longest <= widest else 0) for f in fields]
        self.press = Press(press)

    def on_resize(self, event: Resize) -> None:
        """Labels stand above their boxes where there is no room beside them."""
        for row in self.rows:
            beside = 0 < row.label_cells <= event.size.width - NARROWEST
            if beside != row.is_beside:
                row.stand(beside=beside)

    def compose(self) -> ComposeResult:
        """The rows and the line to press."""
        yield from self.rows
        yield self.press

    @property
    def stops(self) -> list[Widget]:
        """Everything that takes the focus, from the top."""
        return [*(row.box for row in self.rows), self.press]

    @property
    def values(self) -> dict[str, str]:
        """What stands in the fields."""
        return {row.field.key: row.value for row in self.rows}

    @property
    def natural_rows(self) -> int:
        """How many lines it would take to show all of it."""
        return 1 + sum(row.natural_rows for row in self.rows)

    def row(self, key: str) -> Row:
        """The row of a field."""
        return next(row for row in self.rows if row.field.key == key)

    def fill(self, values: Mapping[str, str]) -> None:
        """Put values into the fields, as if they were typed."""
        for row in self.rows:
            if row.field.key in values:
                row.box.value = values[row.field.key]

    def blame(self, faults: Mapping[str, str]) -> None:
        """Show each field's fault, and none where there is none."""
        for row in self.rows:
            fault = faults.get(row.field.key, "")
            if fault != row.fault:
                row.fault = fault
                row.draw(focused=row.box.has_focus)

    def go(self, place: int) -> None:
        """To a field by its number; beyond the last is the line to press."""
        stops = self.stops
        stops[max(0, min(len(stops) - 1, place))].focus()

    def action_step(self, by: int) -> None:
        """To the next field or the one before."""
        stops = self.stops
        now = next((n for n, stop in enumerate(stops) if stop.has_focus), -by)
        self.go(now + by)

    def on_descendant_focus(self, event: DescendantFocus) -> None:
        """Mark the field that has the focus."""
        found = None
        for row in self.rows:
            focused = row.box is event.widget
            found = row.field if focused else found
            row.draw(focused=focused)
        self.post_message(self.Entered(found))

    def on_input_changed(self, event: Input.Changed) -> None:
        """Hand on what was typed."""
        event.stop()
        row = next((r for r in self.rows if r.box is event.input), None)
        if row is not None:
            self.post_message(self.Changed(row.field.key, event.value))

    def on_pick_changed(self, event: Pick.Changed) -> None:
        """Hand on what was picked."""
        event.stop()
        row = next((r for r in self.rows if r.box is event.pick), None)
        if row is not None:
            self.post_message(self.Changed(row.field.key, event.value))

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Enter goes on."""
        event.stop()
        self.action_step(1)

    def on_press_pressed(self, event: Press.Pressed) -> None:
        """The end."""
        event.stop()
        self.post_message(self.Done())
