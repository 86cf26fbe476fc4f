"""The app's side of the reminders: its thread beside the screen, and what that has to show.

Nothing but messages comes from the thread. Every bench shows what stands unanswered; only the
process that has the word makes any noise; where nothing it has can be heard, one bench rings.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Sequence
from functools import cached_property, partial
from typing import TYPE_CHECKING, Any, Protocol

from textual.message import Message
from textual.screen import Screen

from benchmate.bench import Bench
from benchmate.bench.errors import JournalError
from benchmate.bench.reminding.at_machine import is_at_machine, set_at_machine
from benchmate.clock import steady_s
from benchmate.refusal import Refused
from benchmate.remind.rules.edges import Reminder, Stage
from benchmate.tui.bench.work_screen import WorkScreen
from benchmate.tui.host import Host
from benchmate.tui.present.lines import Line, Span, safe

if TYPE_CHECKING:  # the first frame doesn't wait for the reminders
    from benchmate.bench.keeping.rounds import News, Rounds
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
    """What makes the service; None: no service, and nothing reminds."""
    tells_away = True
    """Whether to say at the start what passed since the shop was last minded."""
    keeps_up = False
    """Whether to check the journal and back it up beside the screens."""
    minding: Minding | None = None
    _posted: tuple[object, ...] | None = None
    _rung_s = float("-inf")

    def bench_screen(self) -> WorkScreen | None:
        """The uppermost of near and far that is open."""
        raise NotImplementedError

    def visible_screens(self) -> Iterator[Screen[Any]]:
        """The screen on top, and those that show through a question above them."""
        raise NotImplementedError

    # Starting and ending ---------------------------------------------------------------------

    def on_mount(self) -> None:
        """Begin to remind once the first picture stands."""
        self._answered: set[tuple[str, Stage]] = set()
        self.call_after_refresh(self._begin)

    def on_unmount(self) -> None:
        """Give the word away, and end all that runs beside."""
        self.rounds.stop()
        if self.minding is not None:
            self._title(steer=TITLE_BACK)
            self.minding.leaving.tell()
            self.minding.stop()

    @cached_property
    def rounds(self) -> Rounds:
        """What is done once a second, and what runs beside the screens."""
        from benchmate.bench.keeping.rounds import Rounds

        return Rounds(self.bench, keeps_up=self.keeps_up, pace=self.pace)

    @property
    def journal_trouble(self) -> str:
        """What is wrong with the journal; the first frame doesn't wait for the rounds."""
        made: Rounds | None = self.__dict__.get("rounds")
        return self.bench.only_read if made is None else made.journal_trouble

    def _begin(self) -> None:
        if self.makes is not None:
            if self.tells_away:
                self._tell(self.rounds.opening())
            self._title(steer=KEEP_TITLE)
            self.minding = self.rounds.minding = self.makes(
                self.bench, show=self._called, bell=self._called, on_tick=self._ticked
            )
            self.minding.start()
        self.rounds.start()

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
        known = {_name(r) for r in message.reminders}
        self._answered &= known
        left = tuple(r for r in message.reminders if _name(r) not in self._answered)
        fresh = known - {_name(r) for r in self.hand.standing}
        self.hand.standing = left
        self._title(left[0].title if left else "benchmate")
        self._look()
        self._say_over_page([r for r in left if _name(r) in fresh])

    def _say_over_page(self, fresh: Sequence[Reminder]) -> None:
        """What begins to call while a page covers the bench is said there."""
        from benchmate.tui.pages.frames.page import Page

        shown = list(self.visible_screens())
        page = next((s for s in shown if isinstance(s, Page)), None)
        if fresh and page is not None and self.bench_screen() not in shown:
            page.say(fresh[0].text, "alarm")

    def on_called(self, message: Called) -> None:
        """Ring the bell."""
        self.ring()

    def answer(self, reminders: Sequence[Reminder], again_in_s: float | None) -> bool:
        """The maker has heard these, or wants them again so much later: so in every process."""
        from benchmate.bench.reminding.reminding import answer

        try:
            answer(self.bench, reminders, "bench", again_in_s)
        except (JournalError, Refused) as error:
            self.hand.say(f"Not noted: {error}", self.bench.now_s(), alarm=True)
            self._look()
            return False
        self._answered |= {_name(r) for r in reminders}
        self.hand.standing = tuple(r for r in self.hand.standing if r not in reminders)
        if self.minding is not None:
            self.minding.poke()
        self._look()
        return True

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

    def go_round(self) -> None:
        """One round, and what it has to say."""
        if self.minding is not None:
            self.at_machine = is_at_machine(self.bench)
        self._tell(self.rounds.look())

    def _tell(self, news: Sequence[News]) -> None:
        """Say what is new; first what passed while nobody looked."""
        from benchmate.bench.air.recording import in_short

        for alarm in (False, True):
            texts = [one.text for one in news if one.alarm is alarm and not one.passed]
            if texts:
                self.hand.say(in_short(texts), self.bench.now_s(), alarm=alarm)
        for one in news:
            if one.passed:
                from benchmate.tui.pages.away import Away

                keys = {p.edge.key for p in one.passed}
                self.push_screen(Away(one.text, list(one.passed)), partial(self._seen, keys=keys))

    def _seen(self, ok: bool | None, keys: set[str]) -> None:
        """What was read is heard."""
        if ok:
            self.answer([r for r in self.hand.standing if r.key in keys], None)

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
            return [t for t in (self.journal_trouble,) if t]
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
            self.minding.leaving.tell()

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


def _name(reminder: Reminder) -> tuple[str, Stage]:
    return reminder.key, reminder.stage
