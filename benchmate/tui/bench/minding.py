"""The app's side of the reminders: its thread beside the screen, and what that has to show.

Nothing but messages comes from the thread. Every bench shows what stands unanswered; only the
process that has the word makes any noise; where nothing it has can be heard, one bench rings.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from contextlib import suppress
from typing import TYPE_CHECKING, Any, Protocol

from textual.message import Message
from textual.screen import Screen

from benchmate.bench import Bench
from benchmate.bench.errors import JournalError
from benchmate.bench.reminding.at_machine import is_at_machine, set_at_machine
from benchmate.bench.reminding.away import AWAY_S, Passed, last_minded_s, missed_while_away
from benchmate.clock import steady_s
from benchmate.localtime import show_when
from benchmate.quantities import show_duration
from benchmate.refusal import Refused
from benchmate.remind.rules.edges import Reminder, Stage
from benchmate.tui.bench.reminding import CallAgain, Heard
from benchmate.tui.bench.work_screen import WorkScreen
from benchmate.tui.host import Host
from benchmate.tui.present.bench.banners import Banner
from benchmate.tui.present.lines import Line, Span, safe

if TYPE_CHECKING:  # the first frame doesn't wait for the reminders
    from benchmate.bench.reminding.minding import Minding
    from benchmate.remind.minding import Tick

ON_MACHINE = "At the machine: I’ll only call if work is at risk. Press r when you’re done."
OTHER_REMINDS = "Another process is giving the reminders; this bench takes over when that one ends."
APART_S = 0.5
"""Two calls for the bell this near each other are one."""
KEEP_TITLE, TITLE_BACK = "\x1b[22;2t", "\x1b[23;2t"
PLAIN_TERMINALS = ("", "dumb", "linux")
"""Terminals without a title."""


class Makes(Protocol):
    """Makes the service that minds a bench (`Minding`, or one with other channels)."""

    def __call__(
        self,
        bench: Bench,
        *,
        show: Callable[[Reminder], None],
        bell: Callable[[], None],
        on_tick: Callable[[Tick], None],
    ) -> Minding: ...


class Standing(Message):
    """What stands unanswered, from the reminders' thread."""

    def __init__(self, reminders: tuple[Reminder, ...]) -> None:
        super().__init__()
        self.reminders = reminders


class Called(Message):
    """A reminder is given on this screen, or its tone could not be played: the bell rings."""


class MindingApp(Host):
    """An app over a bench that reminds, and that says first what passed while nobody looked."""

    makes: Makes | None = None
    """What makes the service; None: no service, and the screens derive their banners."""
    tells_away = True
    """Whether to say at the start what passed since the shop was last minded."""
    minding: Minding | None = None
    journal_trouble = ""
    """What the journal's upkeep has found: it stays in sight when other sentences come."""
    _posted: tuple[object, ...] | None = None
    _rung_s = float("-inf")
    _looked_s = 0.0

    def bench_screen(self) -> WorkScreen | None:
        """The uppermost of near and far that is open."""
        raise NotImplementedError

    def visible_screens(self) -> Iterator[Screen[Any]]:
        """The screen on top, and those that show through a question above them."""
        raise NotImplementedError

    # Starting and ending ---------------------------------------------------------------------

    def on_mount(self) -> None:
        """Begin to remind once the first picture stands."""
        self._standing: dict[str, Reminder] = {}
        self._answered: set[tuple[str, Stage]] = set()
        self._looked_s = self.bench.now_s()
        self.hand.rings_itself = self.makes is None
        self.call_after_refresh(self._begin)

    def on_unmount(self) -> None:
        """Give the word away."""
        if self.minding is not None:
            self._title(steer=TITLE_BACK)
            self.minding.stop()

    def _begin(self) -> None:
        if self.makes is None:
            return
        if self.tells_away:
            with suppress(JournalError):  # the tick says what is wrong with it
                self._tell_away(last_minded_s(self.bench), self.bench.clock_note)
        self._title(steer=KEEP_TITLE)
        self.minding = self.makes(
            self.bench,
            show=self._called,
            bell=self._called,
            on_tick=self._ticked,
        )
        self.minding.start()
        self.set_interval(1.0, self.watch_reminders)

    # From the reminders' threads -------------------------------------------------------------

    def _ticked(self, tick: Tick) -> None:
        """Post what stands, where it differs from what was posted last."""
        value = tuple((r.key, r.stage, r.text) for r in tick.showing)
        if value != self._posted and self._post(Standing(tick.showing)):
            self._posted = value

    def _called(self, reminder: Reminder | None = None) -> None:
        """The reminder itself is shown as one that stands."""
        self._post(Called())

    def _post(self, message: Message) -> bool:
        try:
            return self.is_running and self.post_message(message)
        except RuntimeError:
            return False  # the loop has just ended

    # On the screen ---------------------------------------------------------------------------

    def on_standing(self, message: Standing) -> None:
        """Show what stands; what was answered here a moment ago may still be in it."""
        standing = {(r.key, r.stage): r for r in message.reminders}
        self._answered &= standing.keys()
        left = [r for key, r in standing.items() if key not in self._answered]
        self._standing = {_name(r): r for r in left}
        self.hand.served = True
        self.hand.given = {
            name: Banner(name, r.text, r.insistence)  # type: ignore[arg-type]
            for name, r in self._standing.items()
        }
        self._title(left[0].title if left else "benchmate")
        self._look()

    def on_called(self, message: Called) -> None:
        """Ring the bell."""
        self.ring()

    def on_heard(self, message: Heard) -> None:
        """The maker has heard what stands: quiet in every process."""
        self._answer(message.keys, None)

    def on_call_again(self, message: CallAgain) -> None:
        """The maker wants to be called again."""
        self._answer(message.keys, message.after_s)

    def _answer(self, names: tuple[str, ...], again_in_s: float | None) -> None:
        if self.minding is None:
            return
        found = [self._standing[name] for name in names if name in self._standing]
        try:
            self.minding.answer(found, "bench", again_in_s)
        except (JournalError, Refused) as error:
            self.hand.say(f"Not noted: {error}", self.bench.now_s(), alarm=True)
            self._look()
            return
        self._answered |= {(r.key, r.stage) for r in found}
        for name in names:
            self._standing.pop(name, None)

    def ring(self) -> None:
        """The terminal's bell; two calls at once are one."""
        now_s = steady_s()
        if now_s - self._rung_s >= APART_S:
            self._rung_s = now_s
            self.bell()

    def _title(self, text: str = "", steer: str = "") -> None:
        """The window's title, or a sequence that keeps it and brings it back."""
        if self.is_headless or self._driver is None:
            return
        if os.environ.get("TERM", "") in PLAIN_TERMINALS:
            return
        self._driver.write(steer or f"\x1b]2;{safe(text)}\x07")

    def _look(self) -> None:
        """Have the bench look, where it is in sight: over a page the app's own tick speaks."""
        screen = self.bench_screen()
        if screen is not None and screen in self.visible_screens():
            screen.look()

    # Once a second ---------------------------------------------------------------------------

    def watch_reminders(self) -> None:
        """See whether the machine slept, and whether the reminders are in trouble."""
        before_s, self._looked_s = self._looked_s, self.bench.now_s()
        slept_s = self._looked_s - before_s
        if slept_s > AWAY_S * self.pace:
            self._tell_away(before_s, f"This machine slept for {show_duration(slept_s)}.")
        self.at_machine = is_at_machine(self.bench)
        trouble = self.minding.trouble if self.minding is not None else ""
        if trouble and trouble != self._trouble_said:
            self.hand.say(trouble, self._looked_s, alarm=True)
        self._trouble_said = trouble

    _trouble_said = ""

    def _tell_away(self, since_s: float, note: str) -> None:
        """Say first what passed since then, if anything did."""
        found = missed_while_away(self.bench, since_s)
        if not found:
            if note:
                self.hand.say(note, self.bench.now_s())
            return
        from benchmate.tui.pages.away import Away

        since = show_when(self.bench.wall_at(since_s), self.bench.now().wall_s)
        head = f"While you were away (since {since}):"
        self.push_screen(Away(f"{note} {head}".strip(), found), lambda ok: self._seen(ok, found))

    def _seen(self, ok: bool | None, found: list[Passed]) -> None:
        """What was read is heard."""
        if ok:
            keys = {p.edge.key for p in found}
            self._answer(tuple(n for n, r in self._standing.items() if r.key in keys), None)
            self._look()

    # What the presenters ask -----------------------------------------------------------------

    @property
    def signs(self) -> Line:
        """For the head: what about the reminders is worth knowing now, in few words."""
        out: list[Span] = []
        if self.journal_trouble:
            out.append(Span("logbook file: trouble", "alarm"))
        if self.at_machine:
            out.append(Span("at machine", "caution"))
        if self.minding is not None:
            if self.minding.trouble:
                out.append(Span("reminders: trouble", "alarm"))
            kept = self.minding.is_kept_awake
            if kept is None:
                out.append(Span("may sleep", "caution"))
            elif kept:
                out.append(Span("won’t sleep", "dim"))
        return tuple(out)

    @property
    def minding_sentences(self) -> list[str]:
        """Who reminds, whether the machine is kept awake, and what is wrong, in full."""
        if self.minding is None:
            return [self.journal_trouble] if self.journal_trouble else []
        words = {True: "This bench gives the reminders.", False: OTHER_REMINDS}
        mine = words.get(self.minding.holds_voice, "")  # type: ignore[arg-type]
        held = "At the machine: I’ll only call if work is at risk." if self.at_machine else ""
        texts = (
            self.journal_trouble,
            mine,
            held,
            self.minding.awake_sentence,
            self.minding.trouble,
        )
        return [t for t in texts if t]

    def tell_leaving(self) -> None:
        """The maker is about to leave."""
        if self.minding is not None:
            self.minding.tell_leaving()

    def turn_machine(self) -> None:
        """At the machine, or off it."""
        running = not is_at_machine(self.bench)
        try:
            set_at_machine(self.bench, running=running)
        except JournalError as error:
            self.hand.say(str(error), self.bench.now_s(), alarm=True)
        else:
            self.at_machine = running
            self.hand.say(
                ON_MACHINE if running else "Off the machine: all reminders on.", self.bench.now_s()
            )
            if self.minding is not None:
                self.minding.poke()
        self._look()


def _name(reminder: Reminder) -> str:
    return f"{reminder.key} {reminder.stage}"
