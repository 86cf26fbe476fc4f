"""A question with a few answers, each on a digit; arrows and Enter work too."""

from __future__ import annotations

from collections.abc import Sequence
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
from benchmate.tui.present.lines import Line, Span, line, safe, wrap
from benchmate.tui.present.listing import MARK
from benchmate.tui.widgets.lines import Lines

HINT = " press a number, or ↑ ↓ and enter    escape  cancel"
AT_ONCE = " That came all at once. Read it, then press again."


class Choose(ModalScreen[int | None]):
    """Answers the number of the option, counted from 0; None where it is left.

    `body` is read before the question; `again` is the key that opened it, which takes the marked
    answer when it is pressed once more. So does the glove key, so that it alone will do. What
    comes in a burst only moves the mark.
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
        with Vertical(id="ask"):
            yield Lines(id="body")
            yield Lines(id="question")
            yield OptionList(*self._made(), id="options")
            yield Lines(id="asked-keys")

    def _made(self) -> list[Option]:
        return [Option(self._prompt(n, marked=n == self._at)) for n in range(len(self.options))]

    def _prompt(self, n: int, *, marked: bool) -> Content:
        """An answer behind its mark and its digit: the mark is seen without colours too."""
        sign = f"{MARK if marked else ' '} {n + 1 if n < 9 else ' '}  "
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
        self.tell(HINT)
        self.listed.styles.max_height = max(1, self.size.height - len(question) - len(body) - 2)

    def on_key(self, event: Key) -> None:
        """The glove key and the key that opened the question take the marked answer."""
        if event.key == "backspace" and self.host.hand.locked:
            self.action_leave()
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

    def action_leave(self) -> None:
        self.dismiss(None)

    def tell(self, text: str) -> None:
        """A sentence in place of the keys."""
        self._put("asked-keys", [line(Span(text, "dim" if text == HINT else "caution"))])

    def _put(self, name: str, rows: list[Line]) -> None:
        block = self.query_one(f"#{name}", Lines)
        block.styles.height = len(rows)
        block.show(rows)
