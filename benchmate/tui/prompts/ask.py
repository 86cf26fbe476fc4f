"""Questions at the foot of the screen: one line to type, answered as one types."""

from __future__ import annotations

from collections.abc import Callable
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.events import Key
from textual.screen import ModalScreen
from textual.widgets import Input

from benchmate.bench.errors import JournalError
from benchmate.quantities import QuantityError
from benchmate.refusal import Refused
from benchmate.tui.host import Host, host
from benchmate.tui.present.lines import Line, Role, Span, line, wrap
from benchmate.tui.widgets.lines import Lines

FAULTS = (QuantityError, Refused, JournalError)
HINT = "enter  OK    escape  cancel"
AT_ONCE = "That came all at once. Read it, then press enter."
Submit = Callable[[str], str]
"""Does what was typed and says so; raises one of FAULTS, and then the question stays open."""
Live = Callable[[str], Line]
"""What the text would mean, while it is being typed; may raise FAULTS."""


class TypedLine(Input):
    """The line that is typed. The question above it sees every key first."""

    def on_key(self, event: Key) -> None:
        """Offer the key to the question; what it takes isn't typed."""
        asking = self.screen
        if isinstance(asking, Ask) and asking.takes_key(event.key):
            event.stop()
            event.prevent_default()


class Ask(ModalScreen[str | None]):
    """Asks for one line. Enter does it, Escape leaves it; a fault keeps what was typed."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "submit", "OK", id="submit", show=False, tooltip="Do what is typed"),
        Binding("escape", "leave", "cancel", id="leave", tooltip="Cancel"),
        Binding(
            "ctrl+u", "clear", "clear", id="clear", priority=True, tooltip="Clear what is typed"
        ),
    ]

    def __init__(
        self,
        question: str,
        submit: Submit,
        *,
        prefill: str = "",
        live: Live | None = None,
        hint: str = HINT,
        begun: bool = False,
        anew: Callable[[str], object] | None = None,
    ) -> None:
        """`begun`: the prefill is being typed already; `anew` puts the same question once more,
        its line begun with a text."""
        super().__init__()
        self._begun, self._anew = begun, anew
        self.took = ""
        """What was typed when Enter was pressed last."""
        self.question, self.submit_text, self.prefill = question, submit, prefill
        self.live_line, self.hint = live, hint

    @property
    def host(self) -> Host:
        """The app."""
        return host(self)

    @property
    def is_locked(self) -> bool:
        """Whether the keys are locked but for three."""
        return self.host.hand.locked

    @property
    def box(self) -> Input:
        """The line that is typed."""
        return self.query_one(Input)

    def compose(self) -> ComposeResult:
        """Question, line to type, answer, keys."""
        with Vertical(id="ask"):
            yield Lines(id="question")
            box = TypedLine(
                value=self.prefill, id="typed", select_on_focus=not self._begun, max_length=2000
            )
            box.cursor_blink = False
            yield box
            yield Lines(id="answer")
            yield Lines(id="asked-keys")

    def on_mount(self) -> None:
        width = max(20, self.size.width - 2)
        rows = [line(" ", Span(r, "strong")) for r in wrap(self.question, width - 2, 3)]
        self.put("question", rows)
        self.put("asked-keys", [line(" ", Span(self.hint, "dim"))])
        self.box.focus()
        self.answer_live(self.prefill)

    def takes_key(self, key: str) -> bool:
        """A key that is not to be typed: while locked, backspace leaves the question."""
        if self.is_locked and key == "backspace":
            self.action_leave()
            return True
        return False

    def on_input_changed(self, event: Input.Changed) -> None:
        """Answer as one types."""
        self.answer_live(event.value)

    def answer_live(self, text: str) -> None:
        """Show what the text would mean. What isn't readable yet is no fault before Enter."""
        if self.live_line is None:
            self.put("answer", [])
            return
        try:
            self.put("answer", self.live_lines(text))
        except FAULTS as fault:
            self.tell(str(fault), "dim")

    def live_lines(self, text: str) -> list[Line]:
        """What the text would mean, in one line or more; may raise FAULTS."""
        return [self.live_line(text)] if self.live_line is not None else []

    def tell(self, text: str, role: Role = "caution") -> None:
        """A sentence under the line that is typed."""
        width = max(20, self.size.width - 4)
        self.put("answer", [line(" ", Span(r, role)) for r in wrap(text, width, 3)])

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Do it, or say why not and keep what was typed. A second Enter that was on its way when it
        was done does nothing."""
        if self.is_current:
            self.finish(event.value)

    def finish(self, text: str) -> None:
        """Do what was typed, unless it came in a burst that this question had not asked for."""
        self.took = text
        if not self.came_at_once():
            self.do_typed(text)

    def came_at_once(self) -> bool:
        """Whether this key came behind the one that opened the question, at once: nobody can have
        read it. That is said."""
        if self.host.gate.in_burst:
            self.tell(AT_ONCE)
        return self.host.gate.in_burst

    def do_typed(self, text: str) -> None:
        """Do what was typed."""
        said = self.attempt(self.submit_text, text)
        if said is not None:
            self.dismiss(said)

    def attempt(self, submit: Submit, text: str) -> str | None:
        """What was said of it; None where it couldn't be done, which is said here."""
        try:
            return submit(text)
        except JournalError as fault:
            self.tell(f"{fault} What you typed is still here.", "alarm")
        except FAULTS as fault:
            self.tell(str(fault))
        return None

    def action_submit(self) -> None:
        """Do what is typed."""
        self.finish(self.box.value)

    def action_clear(self) -> None:
        """Nothing is typed any more."""
        self.box.value = ""

    @property
    def can_begin(self) -> bool:
        """Whether its line can begin anew, though it may be closed by now."""
        return self.is_attached or self._anew is not None

    def begin(self, text: str) -> None:
        """Begin the line anew with a text; what is typed next follows it."""
        if self.is_attached:
            self.box.value = text
            self.box.cursor_position = len(text)
        elif self._anew is not None:
            self._anew(text)

    def action_leave(self) -> None:
        """Leave the question unanswered."""
        self.dismiss(None)

    def put(self, name: str, rows: list[Line]) -> None:
        """Show lines in a block that is as high as they are."""
        block = self.query_one(f"#{name}", Lines)
        block.styles.height = len(rows)
        block.show(rows)
