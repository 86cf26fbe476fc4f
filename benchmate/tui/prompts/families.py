"""Pick a family of materials: type a few letters of it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.events import Key

from benchmate.shelf import FAMILIES, Material
from benchmate.tui.pages.frames.list_page import ListPage
from benchmate.tui.present.lines import Line, Span, fit, line
from benchmate.tui.present.listing import Item, Keys
from benchmate.tui.present.pages.shelf import label_lines


class FamiliesScreen(ListPage):
    """Answers the family's name."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "backspace",
            "rub_out",
            "one letter less",
            id="families-rub-out",
            tooltip="Take back the last letter",
        ),
    ]
    KEYS: ClassVar[Keys] = (
        ("a-z", "type a few letters"),
        ("↑ ↓ enter", "take it"),
        ("esc", "back"),
    )

    def __init__(self, at: str = "") -> None:
        super().__init__()
        self.typed, self._first = "", at

    def on_mount(self) -> None:
        """The mark begins on the family that is likeliest meant."""
        if self._first:
            self.mark(self._first)

    @property
    def found(self) -> list[Material]:
        """The families whose name or kind has all the typed words."""
        words = self.typed.casefold().split()
        return [t for t in FAMILIES.values() if all(w in f"{t.name} {t.kind}" for w in words)]

    def title_line(self) -> tuple[str, str]:
        typed = f"What is it? {self.typed}▏" if self.typed else "What is it?"
        return typed, f"{len(self.found)} kinds"

    def items(self, cells: int) -> Sequence[Item]:
        found = self.found
        if not found:
            return [
                Item((line(Span("  Nothing by that name. Backspace to try again.", "caution")),))
            ]
        return [Item((line(f" {fit(t.name, 32)} ", Span(t.kind, "dim")),), t.name) for t in found]

    def detail(self, cells: int) -> Sequence[Line]:
        """What common practice says of it."""
        name = str(self.marked)
        if name not in FAMILIES:
            return ()
        return label_lines(Material(name=name, family=name), 0.0, cells, self.bench.settings.units)

    def on_key(self, event: Key) -> None:
        """A letter narrows the list."""
        if event.is_printable and event.character and event.character != "?":
            event.stop()
            event.prevent_default()
            self.type(event.character)

    def type(self, character: str) -> None:
        """One letter more."""
        self.typed, self.at = (self.typed + character)[:40], 0
        self.look()

    def action_digit(self, n: int) -> None:
        """A digit is part of a name too."""
        self.type(str(n))

    def action_rub_out(self) -> None:
        """One letter less."""
        self.typed = self.typed[:-1]
        self.look()

    def take(self, what: object) -> None:
        self.dismiss(str(what))
