"""A question with a few answers, each on a digit; arrows and Enter work too."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.events import Key
from textual.screen import ModalScreen
from textual.widgets import OptionList
from textual.widgets.option_list import Option

from benchmate.tui.host import Host, host
from benchmate.tui.keys.table import digits
from benchmate.tui.present.lines import Line, Role, Span, line, safe, wrap
from benchmate.tui.present.listing import MARK
from benchmate.tui.prompts.ask import Ask
from benchmate.tui.widgets.lines import Lines

HINT = " press a number, or ↑ ↓ and enter    escape  cancel"
HINT_TYPED = " ↑ ↓ and enter    a digit types it anew    escape  cancel"
AT_ONCE = " That came all at once. Read it, then press again."
NO_DIGIT = " A digit answers nothing here: ↑ ↓ and enter, or escape."
FIGURES = frozenset("0123456789.,-")


class Choose(ModalScreen[int | None]):
    """Answers the number of the option, counted from 0; None where it is left.

    `body` is read before the question; `again` is the key that opened it, which takes the marked
    answer when it is pressed once more. So does the glove key, so that it alone will do. What
    comes in a burst only moves the mark. Where the question came up over a line that was being
    typed, a digit is more of a figure and never an answer: it begins that line anew.
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "cancel", id="leave", tooltip="Cancel"),
        *digits("pick", "Take answer {n}", "take it"),
    ]

    def __init__(
        self,
        question: str,
        options: Sequence[str],
        *,
        at: int = 0,
        body: Sequence[str] = (),
        again: str = "",
    ) -> None:
        super().__init__()
        self.question, self.options, self._at = question, tuple(options), at
        self.body, self.again = tuple(body), again
        self._line: Ask | None = None
        """The line that was being typed when this came up."""

    @property
    def host(self) -> Host:
        """The app."""
        return host(self)

    @property
    def listed(self) -> OptionList:
        return self.query_one(OptionList)

    @property
    def at(self) -> int:
        """The marked answer."""
        return self.listed.highlighted or 0

    def compose(self) -> ComposeResult:
        """What is to be read, the question and its answers."""
        self._line = self._typed_line()
        with Vertical(id="ask"):
            yield Lines(id="body")
            yield Lines(id="question")
            yield OptionList(*self._made(), id="options")
            yield Lines(id="asked-keys")

    def _typed_line(self) -> Ask | None:
        """The line beneath, or the one whose figure opened this and that is closed by now."""
        beneath, typed_in = self.app.screen_stack[-2], self.host.gate.typed_in
        if isinstance(beneath, Ask):
            return beneath
        if isinstance(typed_in, Ask) and any(c.isdigit() for c in typed_in.took):
            return typed_in
        return None

    def _made(self) -> list[Option]:
        return [Option(self._prompt(n, marked=n == self._at)) for n in range(len(self.options))]

    def _prompt(self, n: int, *, marked: bool) -> Content:
        """An answer behind its mark and its digit: the mark is seen without colours too."""
        digit = str(n + 1) if n < 9 and self._line is None else " "
        sign = f"{MARK if marked else ' '} {digit}  "
        return Content.assemble((sign, "bold"), safe(self.options[n]))

    def on_mount(self) -> None:
        self.listed.highlighted = self._at if self.options else None
        self.listed.focus()
        width = max(20, self.size.width - 4)
        question = [line(" ", Span(r, "strong")) for r in wrap(self.question, width, 4)]
        least = min(len(self.options), max(3, self.size.height // 2))
        room = max(0, self.size.height - len(question) - least - 3)
        read = [line(" ", r) for text in self.body for r in (wrap(text, width, 6) or [""])]
        body: list[Line] = [*read[:room], ()] if read else []
        self._put("body", body)
        self._put("question", question)
        self.tell(HINT if self._line is None else HINT_TYPED)
        self.listed.styles.max_height = max(1, self.size.height - len(question) - len(body) - 2)

    def on_key(self, event: Key) -> None:
        """The glove key and the key that opened the question take the marked answer."""
        if event.key == "backspace" and self.host.hand.locked:
            self.action_leave()
        elif self._line is not None and event.character in FIGURES:
            event.stop()
            self._type_on(self._line, event.character or "")
        elif event.key in (self.host.glove_key, self.again):
            event.stop()
            if self.host.hand.presses.counts(self.host.bench.now_s()):
                self.action_pick(self.at + 1)

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        """The mark moves along."""
        event.stop()
        for n in {self._at, event.option_index}:
            mark = n == event.option_index
            self.listed.replace_option_prompt_at_index(n, self._prompt(n, marked=mark))
        self._at = event.option_index

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Enter or a click took an answer."""
        event.stop()
        self.action_pick(event.option_index + 1)

    def action_pick(self, n: int) -> None:
        """The answer of that number, counted from 1; in a burst it is only marked."""
        if not self.is_current or not 1 <= n <= len(self.options):
            return
        if self.host.gate.in_burst:
            self.listed.highlighted = n - 1
            self.tell(AT_ONCE)
        else:
            self.dismiss(n - 1)

    def _type_on(self, typed: Ask, figure: str) -> None:
        """Unanswered; the line begins anew with that figure."""
        if self.host.gate.in_burst:
            self.tell(AT_ONCE)
        elif typed.can_begin:
            self.dismiss(None)
            typed.begin(figure)
        else:
            self.tell(NO_DIGIT)

    def action_leave(self) -> None:
        self.dismiss(None)

    def tell(self, text: str) -> None:
        """A sentence in place of the keys."""
        role: Role = "dim" if text in (HINT, HINT_TYPED) else "caution"
        self._put("asked-keys", [line(Span(text, role))])

    def _put(self, name: str, rows: list[Line]) -> None:
        block = self.query_one(f"#{name}", Lines)
        block.styles.height = len(rows)
        block.show(rows)


def ask_slip(
    typed: Ask,
    question: str,
    answers: Sequence[tuple[str, Callable[[], str]]],
    told: Callable[[str], object],
) -> None:
    """What was typed looks like a slip: what it may mean, and what each answer does and says.

    To type it again comes first: a key that is pressed once too often records nothing.
    """

    def answered(n: int | None) -> None:
        if n == 0:
            typed.action_clear()
        elif n is not None:
            make = answers[n - 1][1]
            said = typed.attempt(lambda _: make(), "")
            if said is not None:
                told(said)

    options = ("Type it again", *(text for text, _ in answers))
    typed.app.push_screen(Choose(question, options), answered)
