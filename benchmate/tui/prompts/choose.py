"""A question with a few answers, each on a digit; arrows and Enter work too."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.events import Key
from textual.screen import ModalScreen

from benchmate.tui.bench.hand import Presses
from benchmate.tui.present.lines import Line, Role, Span, line, wrap
from benchmate.tui.widgets.lines import Lines


class Choose(ModalScreen[int | None]):
    """Answers the number of the option, counted from 0; None where it is left.

    `body` is read before the question; `again` is the key that opened it, which takes the marked
    answer when it is pressed once more. So does the glove key, so that it alone will do.
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "leave it", id="leave", tooltip="Leave it as it was"),
        Binding("up", "move(-1)", "up", id="choose-up", show=False, tooltip="One answer up"),
        Binding("down", "move(1)", "down", id="choose-down", show=False, tooltip="One answer down"),
        Binding("enter", "take", "take it", id="take", tooltip="Take the marked answer"),
        *[
            Binding(
                str(n),
                f"pick({n - 1})",
                "take it",
                id=f"answer-{n}",
                show=False,
                tooltip=f"Take answer {n}",
            )
            for n in range(1, 10)
        ],
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
        self.question, self.options, self.at = question, tuple(options), at
        self.body, self.again = tuple(body), again

    def compose(self) -> ComposeResult:
        """What is to be read, the question and its answers."""
        with Vertical(id="ask"):
            yield Lines(id="body")
            yield Lines(id="question")
            yield Lines(id="options")
            yield Lines(id="asked-keys")

    def on_mount(self) -> None:
        """Ask."""
        width = max(20, self.size.width - 4)
        question = [line(" ", Span(r, "strong")) for r in wrap(self.question, width, 4)]
        room = max(0, self.size.height - len(question) - len(self.options) - 4)
        read = [line(" ", r) for text in self.body for r in (wrap(text, width, 6) or [""])]
        self._put("body", [*read[:room], ()] if read else [])
        self._put("question", question)
        keys = " a digit, or ↑ ↓ and enter    escape  leave it"
        self._put("asked-keys", [line(Span(keys, "dim"))])
        self._draw()

    def on_key(self, event: Key) -> None:
        """The glove key and the key that opened the question take the marked answer."""
        hand, glove = self.app.hand, self.app.glove_key  # type: ignore[attr-defined]
        if event.key not in (glove, self.again, "backspace"):
            return
        if event.key == "backspace":
            if hand.locked:
                self.action_leave()
            return
        event.stop()
        presses: Presses = hand.presses
        if presses.counts(self.app.bench.now_s()):  # type: ignore[attr-defined]
            self.action_take()

    def _draw(self) -> None:
        width, most = max(20, self.size.width - 6), max(3, self.size.height - 8)
        first = max(0, min(self.at - most // 2, len(self.options) - most))
        rows: list[Line] = []
        for i, text in list(enumerate(self.options))[first : first + most]:
            mark = "▸" if i == self.at else " "
            key = f"{i + 1}" if i < 9 else " "
            words = "".join(wrap(text, width, 1))
            role: Role = "strong" if i == self.at else "plain"
            rows.append(line(f" {mark} ", Span(key, "key"), "  ", Span(words, role)))
        self._put("options", rows)

    def action_move(self, by: int) -> None:
        """Up or down."""
        if self.options:
            self.at = (self.at + by) % len(self.options)
            self._draw()

    def action_take(self) -> None:
        """The marked answer."""
        self.dismiss(self.at if self.options else None)

    def action_pick(self, n: int) -> None:
        """The answer on a digit."""
        if n < len(self.options):
            self.dismiss(n)

    def action_leave(self) -> None:
        """No answer."""
        self.dismiss(None)

    def _put(self, name: str, rows: list[Line]) -> None:
        block = self.query_one(f"#{name}", Lines)
        block.styles.height = len(rows)
        block.show(rows)
