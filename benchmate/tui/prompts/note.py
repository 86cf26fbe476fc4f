"""A note about a step; tab makes it one for next time."""

from __future__ import annotations

from typing import ClassVar

from textual.binding import Binding, BindingType

from benchmate.tui.present.lines import Span, line
from benchmate.tui.prompts.ask import Ask, Submit

HINT = "enter  OK    escape  cancel"


class NotePrompt(Ask):
    """Kept with the job, or (after tab) before this step in the next job of its procedure."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "tab",
            "mode",
            "for next time",
            id="note-mode",
            priority=True,
            tooltip="A note about this job, or for next time",
        ),
    ]

    def __init__(self, question: str, keep: Submit, wish: Submit | None) -> None:
        self.asked, self.wish = question, wish
        self.is_wish = False
        more = "    tab  for next time" if wish is not None else ""
        super().__init__(question, keep, hint=f"{HINT}{more}")

    def action_mode(self) -> None:
        """A note, or for next time."""
        if self.wish is None:
            return
        self.is_wish = not self.is_wish
        self.submit_text, self.wish = self.wish, self.submit_text
        asked = (
            f"Next time: {self.asked[:1].lower()}{self.asked[1:]}" if self.is_wish else self.asked
        )
        self.put("question", [line(" ", Span(asked, "strong"))])
        tab = "a note about this job" if self.is_wish else "for next time"
        self.put("asked-keys", [line(" ", Span(f"{HINT}    tab  {tab}", "dim"))])
