"""Reminders on screen: a banner over the full width, and a slow change of the screen."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from textual.screen import Screen

from benchmate.tui.bench.desk import AT_ONCE, Desk
from benchmate.tui.present.bench.banners import banner_lines
from benchmate.tui.present.lines import Line
from benchmate.tui.widgets.lines import FLASH, Lines

AGAIN = (("in 5 min", 300.0), ("in 10 min", 600.0), ("in 30 min", 1800.0), ("in 1 h", 3600.0))
AT_MACHINE = "When I’m off the machine: until then only call if work is at risk"
OFF_MACHINE = "I’m off the machine: all reminders on"


class Reminding:
    """Shows what stands unanswered, and has the two keys that answer it."""

    def __init__(self, desk: Desk, screen: Screen[None]) -> None:
        self.desk, self._screen = desk, screen
        self._looks = 0

    def pulse(self) -> None:
        """Once a second: the slow change of the whole screen, while something is being spoiled."""
        self._looks += 1
        shouts = any(r.insistence == "until heard" for r in self.desk.hand.standing)
        self._turn(turned=shouts and self._looks % 2 == 1)

    def _turn(self, *, turned: bool) -> None:
        """Paint the whole screen the other way round, or as it was."""
        if turned != self._screen.has_class(FLASH):
            self._screen.set_class(turned, FLASH)
            for block in self._screen.query(Lines):
                block.refresh()

    def banner(self, cells: int, height: int) -> list[Line]:
        """The banner's lines."""
        return banner_lines(self.desk.hand.standing, cells, height, plain=self.desk.hand.locked)

    def ok(self) -> None:
        """Silence what stands."""
        if not self.desk.hand.standing:
            self.desk.say("No reminders waiting.")
        elif self.desk.host.gate.in_burst:
            self.desk.say(AT_ONCE)
        else:
            self._answer(None, "OK. The clock itself runs on.")

    def later(self) -> None:
        """Silence what stands, and say it again later; or only what puts work at risk, until the
        machine is off."""
        standing, held = self.desk.hand.standing, self.desk.host.at_machine
        ways: list[tuple[str, Callable[[], object]]] = [
            (text, partial(self._answer, s, f"OK, again {text}."))
            for text, s in (AGAIN if standing else ())
        ]
        ways.append((OFF_MACHINE if held else AT_MACHINE, self.desk.host.turn_machine))
        question = "Remind me again …" if standing else "No reminders waiting."
        self.desk.choose(question, [text for text, _ in ways], [do for _, do in ways])

    def _answer(self, again_in_s: float | None, text: str) -> None:
        if self.desk.host.answer(self.desk.hand.standing, again_in_s):
            self._turn(turned=False)
            self.desk.say(text)
