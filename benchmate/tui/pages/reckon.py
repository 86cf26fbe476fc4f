"""The ready reckoners: pick one."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.worker import get_current_worker

from benchmate.reckon.asking.frame import Reckoner
from benchmate.reckon.asking.registry import find, names
from benchmate.tui.pages.frames.list_page import ListPage
from benchmate.tui.pages.reckoner import ReckonerScreen
from benchmate.tui.present.lines import Line, Span, fit, line
from benchmate.tui.present.listing import Item, Keys
from benchmate.tui.present.pages.answer import about_lines


class ReckonScreen(ListPage):
    """Names are there at once; what each is for is loaded in the background."""

    KEYS: ClassVar[Keys] = (
        ("↑ ↓", "choose"),
        ("1-9 enter", "open"),
        ("esc", "back"),
        ("?", "keys"),
    )

    def __init__(self) -> None:
        super().__init__()
        self.loaded: dict[str, Reckoner] = {}

    def on_mount(self) -> None:
        self.run_worker(self._load, thread=True, exclusive=True, exit_on_error=False)

    def _load(self) -> None:
        worker = get_current_worker()
        for name in names():
            found = find(name)
            if worker.is_cancelled:
                return
            self.app.call_from_thread(self._found, found)

    def _found(self, reckoner: Reckoner) -> None:
        self.loaded[reckoner.name] = reckoner
        self.look()

    def title_line(self) -> tuple[str, str]:
        """How many there are."""
        return "Calculators", f"{len(names())}; each answers as you type"

    def items(self, cells: int) -> Sequence[Item]:
        """Name and what it is for."""
        broad = max(len(name) for name in names())
        out: list[Item] = []
        for n, name in enumerate(names(), 1):
            digit = Span(f" {n if n < 10 else ' '} ", "key")
            title = self.loaded[name].title if name in self.loaded else ""
            out.append(Item((line(digit, " ", fit(name, broad), "  ", Span(title, "dim")),), name))
        return out

    def detail(self, cells: int) -> Sequence[Line]:
        """What the marked one takes and gives."""
        found = self.loaded.get(str(self.marked))
        return about_lines(found, cells) if found else ()

    def take(self, what: object) -> None:
        """Its form; what was done with the answer is said on the bench."""
        self.app.push_screen(ReckonerScreen(str(what)))
