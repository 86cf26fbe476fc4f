"""Reminders on screen: a banner over the full width, a bell, and a slow change of the screen.

Without a reminding service they are derived from the windows, and what was OK'd is remembered only
while the bench is open. A service gives its own with `remind`, and takes them away with `quiet`; it
hears of the maker's answers by the messages `Heard` and `CallAgain`.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from textual.message import Message
from textual.screen import Screen

from benchmate.job.windows.agenda import Agenda
from benchmate.tui.bench.desk import AT_ONCE, Desk
from benchmate.tui.present.bench.banners import Banner, Insistence, banner_lines, banners
from benchmate.tui.present.lines import Line
from benchmate.tui.widgets.lines import FLASH, Lines

AGAIN = (("in 5 min", 300.0), ("in 10 min", 600.0), ("in 30 min", 1800.0), ("in 1 h", 3600.0))
AT_MACHINE = "When I’m off the machine: until then only call if work is at risk"
OFF_MACHINE = "I’m off the machine: all reminders on"
RING_EVERY = 60
"""Seconds from one bell to the next, for what rings until it is heard."""


class Reminder(Message):
    """A reminding service has something to say on the screen: handled as `on_reminder`."""

    def __init__(self, text: str, insistence: Insistence = "once", key: str = "") -> None:
        super().__init__()
        self.text, self.insistence, self.key = text, insistence, key or text


class Heard(Message):
    """The maker has heard these."""

    def __init__(self, keys: tuple[str, ...]) -> None:
        super().__init__()
        self.keys = keys


class CallAgain(Message):
    """The maker wants to be reminded again, so many seconds from now."""

    def __init__(self, keys: tuple[str, ...], after_s: float) -> None:
        super().__init__()
        self.keys, self.after_s = keys, after_s


class Reminding:
    """Keeps what stands unanswered, and the two keys that answer it."""

    def __init__(self, desk: Desk, screen: Screen[None]) -> None:
        self.desk, self._screen = desk, screen
        self._looks = 0

    def remind(self, text: str, insistence: Insistence = "once", key: str = "") -> None:
        """Show a reminder until it is heard; the same key replaces what it said before."""
        hand, name = self.desk.hand, key or text
        hand.served, hand.rings_itself = True, False
        hand.given[name] = Banner(name, text, insistence)
        hand.heard.discard(name)
        self.desk.look()

    def quiet(self, key: str | None = None) -> None:
        """Take one reminder off the screen, or all of them."""
        if key is None:
            self.desk.hand.given.clear()
        else:
            self.desk.hand.given.pop(key, None)
        self.desk.look()

    # What stands -----------------------------------------------------------------------------

    def think(self, found: Agenda, now_s: float) -> list[Banner]:
        """What stands now, with a bell for what is new; the new ones are answered."""
        hand = self.desk.hand
        jobs = self.desk.bench.shop.jobs
        made = list(hand.given.values()) if hand.served else banners(found, jobs)
        for key in [k for k, at in hand.again_s.items() if at <= now_s]:
            del hand.again_s[key]
            hand.heard.discard(key)
        hand.heard &= {b.key for b in made}
        old = {b.key for b in hand.standing}
        hand.standing = tuple(b for b in made if b.key not in hand.heard)
        fresh = [b for b in hand.standing if b.key not in old]
        if fresh and hand.rings_itself:
            self.desk.host.bell()
        return fresh

    @property
    def _shouts(self) -> bool:
        return any(b.insistence == "until heard" for b in self.desk.hand.standing)

    def pulse(self) -> None:
        """Once a second: the slow change of the whole screen, while something is being spoiled."""
        self._looks += 1
        if self._shouts and self.desk.hand.rings_itself and self._looks % RING_EVERY == 0:
            self.desk.host.bell()
        self._turn(turned=self._shouts and self._looks % 2 == 1)

    def _turn(self, *, turned: bool) -> None:
        """Paint the whole screen the other way round, or as it was."""
        if turned != self._screen.has_class(FLASH):
            self._screen.set_class(turned, FLASH)
            for block in self._screen.query(Lines):
                block.refresh()

    def banner(self, cells: int, height: int) -> list[Line]:
        """The banner's lines."""
        return banner_lines(self.desk.hand.standing, cells, height, plain=self.desk.hand.locked)

    # The maker's answers ---------------------------------------------------------------------

    def ok(self) -> None:
        """Silence what stands."""
        keys = tuple(b.key for b in self.desk.hand.standing)
        if not keys:
            self.desk.say("No reminders waiting.")
        elif self.desk.host.gate.in_burst:
            self.desk.say(AT_ONCE)
        else:
            self._hush(keys)
            self.desk.host.post_message(Heard(keys))
            self.desk.say("OK. The clock itself runs on.")

    def later(self) -> None:
        """Silence what stands, and say it again later; or only what puts work at risk, until the
        machine is off."""
        keys = tuple(b.key for b in self.desk.hand.standing)
        ways: list[tuple[str, Callable[[], object]]] = [
            (text, partial(self._again, keys, s, text)) for text, s in (AGAIN if keys else ())
        ]
        held = self.desk.host.at_machine
        ways.append((OFF_MACHINE if held else AT_MACHINE, self.desk.host.turn_machine))
        question = "Remind me again …" if keys else "No reminders waiting."
        self.desk.choose(question, [text for text, _ in ways], [do for _, do in ways])

    def _again(self, keys: tuple[str, ...], after_s: float, text: str) -> None:
        self._hush(keys)
        now_s = self.desk.bench.now_s()
        self.desk.hand.again_s.update(dict.fromkeys(keys, now_s + after_s))
        self.desk.host.post_message(CallAgain(keys, after_s))
        self.desk.say(f"OK, again {text}.")

    def _hush(self, keys: tuple[str, ...]) -> None:
        self.desk.hand.heard.update(keys)
        for key in keys:
            self.desk.hand.given.pop(key, None)
        self._turn(turned=False)
