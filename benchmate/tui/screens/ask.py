"""Questions at the foot of the screen: one line to type, answered as one types."""

from __future__ import annotations

from collections.abc import Callable
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import Input

from benchmate.job.refusal import Refused
from benchmate.journal import JournalError
from benchmate.quantities import QuantityError
from benchmate.tui.present.lines import Line, Span, line, wrap
from benchmate.tui.widgets.lines import Lines

FAULTS = (QuantityError, Refused, JournalError)
Submit = Callable[[str], str]
"""Does what was typed and says so; raises one of FAULTS, and then the question stays open."""
Live = Callable[[str], Line]
"""What the text would mean, while it is being typed; may raise FAULTS."""


class Ask(ModalScreen[str | None]):
    """Asks for one line. Enter does it, Escape leaves it; a fault keeps what was typed."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "leave it", id="leave"),
    ]

    def __init__(
        self, question: str, submit: Submit, *, prefill: str = "", live: Live | None = None,
        hint: str = "enter  do it    escape  leave it",
    ) -> None:  # fmt: skip
        super().__init__()
        self.question, self.submit_text, self.prefill = question, submit, prefill
        self.live_line, self.hint = live, hint

    def compose(self) -> ComposeResult:
        """Question, line to type, answer, keys."""
        with Vertical(id="ask"):
            yield Lines(id="question")
            box = Input(value=self.prefill, id="typed", select_on_focus=True, max_length=2000)
            box.cursor_blink = False
            yield box
            yield Lines(id="answer")
            yield Lines(id="asked-keys")

    def on_mount(self) -> None:
        """Ask."""
        width = max(20, self.size.width - 2)
        rows = [line(" ", Span(r, "strong")) for r in wrap(self.question, width - 2, 3)]
        self._put("question", rows)
        self._put("asked-keys", [line(" ", Span(self.hint, "dim"))])
        self.query_one(Input).focus()
        self.answer_live(self.prefill)

    def on_input_changed(self, event: Input.Changed) -> None:
        """Answer as one types."""
        self.answer_live(event.value)

    def answer_live(self, text: str) -> None:
        """Show what the text would mean, or what is wrong with it."""
        if self.live_line is None:
            return
        try:
            self._put("answer", [self.live_line(text)])
        except FAULTS as fault:
            self.tell(str(fault))

    def tell(self, text: str, *, alarm: bool = False) -> None:
        """A sentence under the line that is typed."""
        width = max(20, self.size.width - 4)
        self._put("answer", [line(" ", Span(r, "alarm" if alarm else "caution"))
                             for r in wrap(text, width, 3)])  # fmt: skip

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Do it, or say why not and keep what was typed."""
        self.finish(event.value)

    def finish(self, text: str) -> None:
        """Do what was typed."""
        try:
            said = self.submit_text(text)
        except JournalError as fault:
            self.tell(str(fault), alarm=True)
        except FAULTS as fault:
            self.tell(str(fault))
        else:
            self.dismiss(said)

    def action_leave(self) -> None:
        """Leave the question unanswered."""
        self.dismiss(None)

    def _put(self, name: str, rows: list[Line]) -> None:
        block = self.query_one(f"#{name}", Lines)
        block.styles.height = len(rows)
        block.show(rows)
