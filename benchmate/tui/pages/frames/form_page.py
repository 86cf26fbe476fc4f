"""A page whose body is a form, with what follows from it beside or below."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.timer import Timer

from benchmate.tui.pages.frames.page import Page
from benchmate.tui.present.lines import Line, Role
from benchmate.tui.widgets.form import Field, Form

PAUSE_S = 0.15
"""So long after the last key the answer is worked out: not at every key of a quick typist."""


class FormPage(Page):
    """Override `fields`, `work_out` (called after typing), `answer_lines` and `finish`."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "pageup",
            "read(-1)",
            "answer up",
            id="form-answer-up",
            tooltip="Scroll what follows from the form up",
            show=False,
        ),
        Binding(
            "pagedown",
            "read(1)",
            "answer down",
            id="form-answer-down",
            tooltip="Scroll what follows from the form down",
            show=False,
        ),
    ]
    PRESS = "Done"
    WIDEST = 34
    """Labels longer than this stand above their boxes."""

    def __init__(self) -> None:
        super().__init__()
        self._entered: Field | None = None
        self._pending: Timer | None = None
        self._read = 0
        self._answer_rows = 1
        self._told: Sequence[Line] = ()

    def fields(self) -> Sequence[Field]:
        return ()

    def work_out(self) -> None:
        """Answer what stands in the form now."""

    def answer_lines(self, cells: int) -> Sequence[Line]:
        """What follows from the form."""
        return ()

    def finish(self) -> None:
        """The line at the end was pressed."""

    @property
    def form(self) -> Form:
        return self.query_one(Form)

    def compose_body(self) -> ComposeResult:
        """The form stands where a list would."""
        yield Form(self.fields(), self.PRESS, widest=self.WIDEST, id="page-body")

    def on_mount(self) -> None:
        """Begin in the first field."""
        self.form.go(0)
        self.work_out()

    async def rebuild(self) -> None:
        """The questions have changed: ask them anew, and keep what was typed."""
        was = self.form
        values, at = was.values, was.at
        await was.remove()
        form = Form(self.fields(), self.PRESS, widest=self.WIDEST, id="page-body")
        await self.query_one("#page-middle").mount(form, before="#page-detail")
        form.fill(values)
        form.go(at)
        self.look()

    def show_body(self, cells: int, rows: int) -> None:
        """The form takes the room that is left."""
        self.form.styles.width = cells
        self.form.styles.height = rows

    def most_detail(self, room: int) -> int:
        """All that the form leaves free."""
        return max(room * 2 // 5, room - self.form.natural_rows)

    def detail(self, cells: int) -> Sequence[Line]:
        """The answer, from where it has been scrolled to."""
        self._told = self.answer_lines(cells)
        self._read = max(0, min(self._read, len(self._told) - 1))
        return self._told[self._read :]

    def action_read(self, way: int) -> None:
        """Scroll the answer by half of what is seen."""
        step = max(1, self.query_one("#page-detail").size.height // 2)
        most = max(0, len(self._told) - max(1, self.query_one("#page-detail").size.height - 1))
        self._read = max(0, min(self._read + way * step, most))
        self.look()

    def aside(self) -> tuple[str, Role]:
        """What was said last, else what the field in hand means."""
        hint = self._entered.hint if self._entered is not None else ""
        return self.said if self.said[0] else (hint, "dim")

    def on_form_entered(self, event: Form.Entered) -> None:
        """Another field: its hint."""
        self._entered = event.field
        self.look()

    def on_form_changed(self, event: Form.Changed) -> None:
        """Something was typed: work it out in a moment."""
        self.said = ("", "caution")
        if self._pending is not None:
            self._pending.stop()
        self._pending = self.set_timer(PAUSE_S, self._worked)

    def _worked(self) -> None:
        self._pending = None
        self.work_out()
        self.look()

    def settle(self) -> None:
        """Work out at once what is still waiting: before anything is done with the form."""
        if self._pending is not None:
            self._pending.stop()
            self._worked()

    def on_form_done(self, event: Form.Done) -> None:
        """The end of the form. A second Enter that was on its way when it was left does nothing."""
        if self.is_current:
            self.settle()
            self.finish()
