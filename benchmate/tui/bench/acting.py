"""The keys that matter with gloves on. Each asks the bench; nothing is decided here."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual.binding import Binding, BindingType

from benchmate.bench.errors import JournalError
from benchmate.job.deciding.laying_out import missing_for, need_key, need_text
from benchmate.job.events.stored import TakenBack
from benchmate.job.state.state import JobState
from benchmate.job.windows.agenda import Act
from benchmate.plan.plan import Need
from benchmate.refusal import Refused, RestsOn, TooCold
from benchmate.tui.bench.picking import Picking
from benchmate.tui.lazy_import import Later
from benchmate.tui.present.bench.words import done_act

if TYPE_CHECKING:
    from benchmate.job.deciding import commands as cmd
    from benchmate.job.deciding import taking_back
else:
    cmd = Later("benchmate.job.deciding.commands")
    taking_back = Later("benchmate.job.deciding.taking_back")


LAID_OUT = "Everything is laid out. Do what is shown, then press again."


class Acting(Picking):
    """Does the act that is shown, and takes it back. Near and far share it."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("space", "glove", "do it", id="glove", tooltip="Do the next act as shown"),
        Binding(
            "backspace",
            "take_back",
            "take it back",
            id="takeback",
            tooltip="Take back the newest act: it corrects the record, not the wood",
        ),
    ]

    _covered = False

    def on_screen_suspend(self) -> None:
        """Another screen is above."""
        self._covered = True

    def on_screen_resume(self) -> None:
        """What was above may have changed what is shown here."""
        if self._covered:
            self.look()

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
        """Mark the act done, and go on to what spoils something before the picked piece. Before
        the first that can't be undone, ask whether all that the job needs is laid out."""
        job = self.bench.shop.jobs[act.job]
        missing = missing_for(job, act.step) if act.step is not None else ()
        if missing:
            self._ask_laid_out(act, missing)
            return
        said = f"Recorded: {done_act(job, act.step) if act.step else act.address}."
        if self.do(act.job, cmd.MarkDone(address=act.address), said):
            self.after_an_act()

    def _ask_laid_out(self, act: Act, missing: tuple[Need, ...]) -> None:
        def laid_out() -> None:
            for need in missing:
                if not self.do(act.job, cmd.Tick(what=need_key(need)), LAID_OUT):
                    return

        self.choose(
            "From here on it can't be undone, or a clock runs. Is all of this laid out?",
            ("All of it is laid out", "Not yet"),
            (laid_out, self.look),
            body=[f"[ ] {need_text(need)}" for need in missing],
        )

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
        if self.job_in_hand is not None and (self.shown or self.hand.picked):
            self._take_back(self.job_in_hand)
            return
        found = [(j, r) for j in self.bench.shop.live if (r := taking_back.newest(j)) is not None]
        self.with_job(
            self._take_back,
            "There is nothing to take back.",
            [j for j, _ in found],
            [f"{j.title}: {taking_back.describe(r, j)}" for j, r in found],
        )

    def _take_back(self, job: JobState, *, along: bool = False) -> None:
        try:
            made = self.bench.do(job.job, cmd.TakeBack(along=along))
        except RestsOn as question:
            self.choose(
                str(question),
                ("Leave it", "Take all of them back"),
                (self.look, partial(self._take_back, job, along=True)),
            )
        except (Refused, JournalError) as error:
            self.say(str(error), alarm=isinstance(error, JournalError))
        else:
            gone = {v for r in made if isinstance(r.event, TakenBack) for v in r.event.versions}
            names = "; ".join(
                taking_back.describe(r, job) for r in job.records if r.version in gone
            )
            self.say(f"Taken back: {names or job.title}. It corrects the record, not the wood.")
