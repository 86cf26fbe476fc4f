"""The keys that matter with gloves on. Each asks the bench; nothing is decided here."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual.binding import Binding, BindingType
from textual.screen import Screen

from benchmate.bench import Bench
from benchmate.bench.sayings import clock_of
from benchmate.job.agenda import Act, Agenda
from benchmate.job.refusal import Refused, RestsOn, TooCold
from benchmate.job.state import JobState
from benchmate.journal import JournalError
from benchmate.tui.hand import Hand
from benchmate.tui.lazily import Later
from benchmate.tui.present.nextact import Clock
from benchmate.tui.present.pieces import act_of, pieces
from benchmate.tui.present.words import done_act, short_act

if TYPE_CHECKING:
    from benchmate.job import commands as cmd
else:
    cmd = Later("benchmate.job.commands")


class Acting(Screen[None]):
    """Does the act that is shown, takes it back, picks another piece. Near and far share it."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("space", "glove", "do it", id="glove", tooltip="Do the next act as shown"),
        Binding("backspace", "take_back", "take it back", id="takeback",
                tooltip="Take back the newest act: it corrects the record, not the wood"),
        *[
            Binding(str(n), f"pick({n})", "other piece", id=f"piece-{n}", show=False,
                    tooltip=f"Show what piece {n} needs")
            for n in range(1, 10)
        ],
        Binding("0", "pick(0)", "most urgent", id="piece-0", show=False,
                tooltip="Back to what is most urgent"),
    ]  # fmt: skip

    @property
    def bench(self) -> Bench:
        """The app's bench."""
        return self.app.bench  # type: ignore[attr-defined, no-any-return]

    @property
    def hand(self) -> Hand:
        """What the screens of the bench share."""
        return self.app.hand  # type: ignore[attr-defined, no-any-return]

    @property
    def shown(self) -> Act | None:
        """The act that the glove key does."""
        return self.hand.shown

    @property
    def clock(self) -> Clock:
        """Turns places on the time line into the wall times people read."""
        return clock_of(self.bench)  # type: ignore[no-any-return]

    def look(self) -> None:
        """Show everything anew."""
        raise NotImplementedError

    _covered = False

    def on_screen_suspend(self) -> None:
        """Another screen is above."""
        self._covered = True

    def on_screen_resume(self) -> None:
        """What was above may have changed what is shown here."""
        if self._covered:
            self.look()

    def say(self, text: str, *, alarm: bool = False) -> None:
        """One sentence for the maker, until the next."""
        self.hand.say(text, self.bench.now_s(), alarm=alarm)
        self.hand.act_of_mine()
        self.look()

    @property
    def job_in_hand(self) -> JobState | None:
        """The job of the act shown, else of the piece picked, else the first that is open."""
        shop = self.bench.shop
        name = self.shown.job if self.shown else self.hand.picked[0] if self.hand.picked else ""
        found = shop.jobs.get(name)
        return found if found is not None and found.is_live else next(iter(shop.live), None)

    def do(self, job: str, command: cmd.Command, said: str) -> bool:
        """Do a command and say so; on a refusal say why. Nothing is shown before it is kept."""
        try:
            self.bench.do(job, command)
        except TooCold as question:
            self.ask_anyway(str(question), job, command, said)
            return False
        except (Refused, JournalError) as error:
            self.say(str(error), alarm=isinstance(error, JournalError))
            return False
        self.say(said)
        return True

    def ask_anyway(self, question: str, job: str, command: cmd.Command, said: str) -> None:
        """Too cold for it: leave it, or record it all the same."""

        def anyway() -> None:
            if self.do(job, replace(command, anyway=True), said):  # type: ignore[call-arg]
                self.after_an_act()

        options = ("Leave it, and warm it first", "Record it all the same")
        self.choose(question, options, (self.look, anyway))

    def choose(
        self, question: str, options: Sequence[str], answered: Sequence[Callable[[], object]], *,
        body: Sequence[str] = (), again: str = "",
    ) -> None:  # fmt: skip
        """Put a question with a few answers; `answered` holds what each one calls."""
        from benchmate.tui.screens.choose import Choose

        def chosen(n: int | None) -> None:
            self.hand.act_of_mine()
            if n is None:
                self.look()
            else:
                answered[n]()

        self.app.push_screen(Choose(question, options, body=body, again=again), chosen)

    def chosen(self, found: Agenda) -> Act | None:
        """The act to show: of the piece picked while it has one, else the most urgent."""
        if self.hand.picked is not None:
            act = act_of(found, *self.hand.picked)
            if act is not None:
                return act
            self.hand.picked = None
        return found.next

    # The glove key ---------------------------------------------------------------------------

    def action_glove(self) -> None:
        """Do the act that is shown. A second press at once, or a held key, does nothing."""
        now_s = self.bench.now_s()
        if not self.hand.presses.counts(now_s):
            return
        if self.hand.changed_under_the_finger(now_s):
            self.hand.presses.forget()
            self.say("The next act changed just now: look, then press again.")
            return
        act = self.shown
        if act is None:
            self.say("Nothing needs hands now.")
        elif act.kind == "do" and act.step is not None:
            self.do_shown(act)
        else:
            self.ask_about(act)

    def do_shown(self, act: Act) -> None:
        """Mark the act done, and go on to what spoils something before the picked piece."""
        job = self.bench.shop.jobs[act.job]
        said = f"Recorded: {done_act(job, act.step) if act.step else act.address}."
        if self.do(act.job, cmd.MarkDone(address=act.address), said):
            self.after_an_act()

    def after_an_act(self) -> None:
        """A picked piece gives way to what would spoil while it is worked on."""
        found = self.bench.agenda()
        if self.hand.picked is not None and found.next is not None and found.next.spoils:
            self.hand.picked = None
            self.hand.act_of_mine()
            self.look()

    def ask_about(self, act: Act) -> None:
        """An act that needs an answer: a weight, a check, a missed window."""
        raise NotImplementedError

    def action_take_back(self) -> None:
        """Take back the newest act of the job in hand; ask where others rest on it."""
        job = self.job_in_hand
        if job is None:
            self.say("There is nothing to take back.")
            return
        try:
            self.bench.do(job.job, cmd.TakeBack())
        except RestsOn as question:
            self.choose(str(question), ("Leave it", "Take all of them back"),
                        (self.look, partial(self._take_along, job.job)))  # fmt: skip
        except (Refused, JournalError) as error:
            self.say(str(error), alarm=isinstance(error, JournalError))
        else:
            self.say("Taken back. It corrects the record, not the wood.")

    def _take_along(self, job: str) -> None:
        self.do(job, cmd.TakeBack(along=True), "Taken back, with what rested on it.")

    def action_pick(self, n: int) -> None:
        """Show another piece, by its place among all pieces; 0 is the most urgent of all."""
        found, all_pieces = self.bench.agenda(), pieces(self.bench.shop.live)
        if n == 0:
            self.hand.picked = None
            self.say("")
        elif n > len(all_pieces):
            self.say(f"There is no piece {n}.")
        else:
            piece = all_pieces[n - 1]
            if act_of(found, piece.job, piece.name) is None:
                self.say(f"{piece.label}: {self._waits(found, piece.job, piece.name)}")
                return
            self.hand.picked = (piece.job, piece.name)
            self.say("")

    def _waits(self, found: Agenda, job: str, piece: str) -> str:
        later = next((a for a in found.later if a.job == job and a.piece in (piece, "")), None)
        if later is None:
            return "nothing for hands now."
        state = self.bench.shop.jobs[job]
        return f"nothing for hands before {self.clock(later.ready_at)}, {short_act(state, later)}."
