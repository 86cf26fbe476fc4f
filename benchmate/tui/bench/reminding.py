"""Reminders on screen: a banner over the full width, a bell, and a slow change of the screen.

Without a reminding service they are derived from the windows, and what was heard is remembered only
while the bench is open. A service gives its own with `remind`, and takes them away with `quiet`; it
hears of the maker's answers by the messages `Heard` and `CallAgain`.
"""

from __future__ import annotations

from functools import partial
from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.message import Message

from benchmate.job.windows.agenda import Agenda
from benchmate.tui.bench.seeing import Seeing
from benchmate.tui.present.bench.banners import Banner, Insistence, banner_lines, banners
from benchmate.tui.present.lines import Line
from benchmate.tui.widgets.lines import FLASH, Lines

AGAIN = (("in 5 min", 300.0), ("in 10 min", 600.0), ("in 30 min", 1800.0), ("in 1 h", 3600.0))
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
    """The maker wants to be called again, so many seconds from now."""

    def __init__(self, keys: tuple[str, ...], after_s: float) -> None:
        super().__init__()
        self.keys, self.after_s = keys, after_s


class Reminding(Seeing):
    """Keeps what stands unheard, and the two keys that answer it."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("q", "heard", "heard", id="heard", tooltip="Silence: I have heard it"),
        Binding(
            "k",
            "call_again",
            "call me again",
            id="call-again",
            tooltip="Silence now, and say it again later",
        ),
    ]
    _looks = 0

    def remind(self, text: str, insistence: Insistence = "once", key: str = "") -> None:
        """Show a reminder until it is heard; the same key replaces what it said before."""
        hand, name = self.hand, key or text
        hand.served = True
        hand.given[name] = Banner(name, text, insistence)
        hand.heard.discard(name)
        self.look()

    def quiet(self, key: str | None = None) -> None:
        """Take one reminder off the screen, or all of them."""
        if key is None:
            self.hand.given.clear()
        else:
            self.hand.given.pop(key, None)
        self.look()

    # What stands -----------------------------------------------------------------------------

    @property
    def standing(self) -> tuple[Banner, ...]:
        """What stands unheard, the gravest first."""
        return self.hand.standing

    def think_of_reminders(self, found: Agenda, now_s: float) -> list[Banner]:
        """What stands now, with a bell for what is new; the new ones are answered."""
        hand = self.hand
        made = list(hand.given.values()) if hand.served else banners(found, self.bench.shop.jobs)
        for key in [k for k, at in hand.again_s.items() if at <= now_s]:
            del hand.again_s[key]
            hand.heard.discard(key)
        hand.heard &= {b.key for b in made}
        old = {b.key for b in hand.standing}
        hand.standing = tuple(b for b in made if b.key not in hand.heard)
        fresh = [b for b in hand.standing if b.key not in old]
        if fresh and not hand.served:  # a service rings itself, in one process only
            self.app.bell()
        return fresh

    @property
    def _shouts(self) -> bool:
        return any(b.insistence == "until heard" for b in self.standing)

    def pulse(self) -> None:
        """Once a second: the slow change of the whole screen, while something is being spoiled."""
        self._looks += 1
        if self._shouts and not self.hand.served and self._looks % RING_EVERY == 0:
            self.app.bell()
        self._turn(turned=self._shouts and self._looks % 2 == 1)

    def _turn(self, *, turned: bool) -> None:
        """Paint the whole screen the other way round, or as it was."""
        if turned != self.has_class(FLASH):
            self.set_class(turned, FLASH)
            for block in self.query(Lines):
                block.refresh()

    def banner(self, cells: int, height: int) -> list[Line]:
        """The banner's lines."""
        return banner_lines(self.standing, cells, height, plain=self.hand.locked)

    # The maker's answers ---------------------------------------------------------------------

    def action_heard(self) -> None:
        """Silence what stands."""
        keys = tuple(b.key for b in self.standing)
        if not keys:
            self.say("Nothing is calling.")
            return
        self._hush(keys)
        self.app.post_message(Heard(keys))
        self.say("Heard. The window itself runs on.")

    def action_call_again(self) -> None:
        """Silence what stands, and say it again later."""
        keys = tuple(b.key for b in self.standing)
        if not keys:
            self.say("Nothing is calling.")
            return
        self.choose(
            "Call me again …",
            [text for text, _ in AGAIN],
            [partial(self._again, keys, s, t) for t, s in AGAIN],
        )

    def _again(self, keys: tuple[str, ...], after_s: float, text: str) -> None:
        self._hush(keys)
        now_s = self.bench.now_s()
        self.hand.again_s.update(dict.fromkeys(keys, now_s + after_s))
        self.app.post_message(CallAgain(keys, after_s))
        self.say(f"Silent; I call you again {text}.")

    def _hush(self, keys: tuple[str, ...]) -> None:
        self.hand.heard.update(keys)
        for key in keys:
            self.hand.given.pop(key, None)
        self._turn(turned=False)
