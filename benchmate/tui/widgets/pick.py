"""Two small widgets for forms: one of several words, and a line to press."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from rich.text import Text
from textual.binding import Binding, BindingType
from textual.events import Click, Key
from textual.message import Message
from textual.reactive import reactive
from textual.widget import Widget

from benchmate.tui.present.lines import safe


class Pick(Widget, can_focus=True):
    """One of several words: left and right change it, a letter goes to the next word with it."""

    DEFAULT_CSS = """
    Pick { height: 1; width: 1fr; padding: 0 1; background: $boost; }
    Pick:focus { text-style: bold; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left", "turn(-1)", "word before", id="pick-left", tooltip="The word before",
                show=False),
        Binding("right,space", "turn(1)", "next word", id="pick-right", tooltip="The next word",
                show=False),
        Binding("enter", "next", "go on", id="pick-enter", tooltip="To the next field", show=False),
    ]  # fmt: skip
    value: reactive[str] = reactive("")

    class Changed(Message):
        """Another word."""

        def __init__(self, pick: Pick, value: str) -> None:
            super().__init__()
            self.pick, self.value = pick, value

    def __init__(self, options: Sequence[str], value: str) -> None:
        super().__init__()
        self.options = tuple(options)
        self.set_reactive(Pick.value, value if value in self.options else self.options[0])

    def render(self) -> Text:
        """The word between two arrows, and which of how many it is."""
        at = self.options.index(self.value) + 1 if self.value in self.options else 0
        word = safe(self.value) or "not given"
        return Text(f"◂ {word} ▸   {at} of {len(self.options)}", no_wrap=True, overflow="ellipsis")

    def watch_value(self, value: str) -> None:
        """Say so."""
        self.post_message(self.Changed(self, value))

    def action_turn(self, by: int) -> None:
        """Another word."""
        at = self.options.index(self.value) if self.value in self.options else 0
        self.value = self.options[(at + by) % len(self.options)]

    def action_next(self) -> None:
        """To the next field."""
        self.screen.focus_next()

    def on_key(self, event: Key) -> None:
        """A letter goes to the next word that begins with it."""
        letter = (event.character or "").casefold()
        at = self.options.index(self.value) if self.value in self.options else 0
        after = (*self.options[at + 1 :], *self.options[: at + 1])
        found = next((o for o in after if letter and o.casefold().startswith(letter)), None)
        if found is not None:
            event.stop()
            self.value = found

    def on_click(self, event: Click) -> None:
        """The next word."""
        self.action_turn(1)


class Press(Widget, can_focus=True):
    """A line to press with Enter."""

    DEFAULT_CSS = """
    Press { height: 1; width: 1fr; padding: 0 1; color: $text-muted; }
    Press:focus { text-style: bold reverse; color: $foreground; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter,space", "press", "press", id="press", tooltip="Do what the line says"),
    ]

    class Pressed(Message):
        """It was pressed."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.text = text

    def render(self) -> Text:
        """The words."""
        mark = "▸" if self.has_focus else " "
        return Text(f"{mark} {safe(self.text)}", no_wrap=True, overflow="ellipsis")

    def action_press(self) -> None:
        """Say so."""
        self.post_message(self.Pressed())

    def on_click(self, event: Click) -> None:
        """A click presses."""
        self.action_press()
