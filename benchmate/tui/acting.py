"""What the bench screen's keys do. Each asks the bench; nothing is decided here."""

from __future__ import annotations

from textual.screen import Screen

from benchmate.bench import Bench
from benchmate.bench.airing import record_air
from benchmate.bench.checking import read_answer
from benchmate.job import commands as cmd
from benchmate.job.agenda import Act
from benchmate.job.drift import check_fault
from benchmate.job.phrases import act_sentence
from benchmate.job.refusal import Refused, RestsOn
from benchmate.job.state import JobState
from benchmate.job.windows import SHOP
from benchmate.journal import JournalError
from benchmate.localtime import parse_when, show_when
from benchmate.quantities import (
    parse_percent,
    parse_temperature_c,
)
from benchmate.tui.present.lines import Line, line
from benchmate.tui.screens.ask import Ask
from benchmate.tui.screens.choose import Choose
from benchmate.tui.screens.weigh import WeighPrompt

PRESS_APART_S = 1.5
"""Two presses of the glove key within this time, or a held key, are one act."""
MISSED = (
    ("spoiled", "It is spoiled: that is to be made again"),
    ("extra step", "An extra step will save it"),
    ("in time", "It was done in time: I'll say when"),
    ("let it be", "Let it be: go on as it is"),
)


class Acting(Screen[None]):
    """Keys that act. The screen that shows the act sets `shown`."""

    shown: Act | None = None
    picked: tuple[str, str] | None = None
    _pressed_s: float = float("-inf")

    @property
    def bench(self) -> Bench:
        """The app's bench."""
        return self.app.bench  # type: ignore[attr-defined, no-any-return]

    def say(self, text: str, *, alarm: bool = False) -> None:
        """One sentence for the maker."""
        raise NotImplementedError

    def look(self) -> None:
        """Show everything anew."""
        raise NotImplementedError

    @property
    def job_in_hand(self) -> JobState | None:
        """The job of the act shown, or the first that is open."""
        shop = self.bench.shop
        if self.shown is not None:
            return shop.jobs.get(self.shown.job)
        return next(iter(shop.live), None)

    def do(self, job: str, command: cmd.Command, said: str) -> bool:
        """Do a command and say so; on a refusal say why. Nothing is shown before it is kept."""
        try:
            self.bench.do(job, command)
        except (Refused, JournalError) as error:
            self.say(str(error), alarm=isinstance(error, JournalError))
            return False
        self.say(said)
        return True

    # The glove key ---------------------------------------------------------------------------

    def action_glove(self) -> None:
        """Do the act that is shown. A second press at once, or a held key, does nothing."""
        now_s = self.bench.now_s()
        too_soon = now_s - self._pressed_s < PRESS_APART_S * getattr(self.app, "pace", 1.0)
        self._pressed_s = now_s
        if too_soon:
            return
        act = self.shown
        if act is None:
            self.say("Nothing needs hands now.")
        elif act.kind == "answer":
            self.ask_missed(act)
        elif act.kind == "check":
            self.ask_check(act)
        elif act.kind == "weigh":
            self.ask_weight(act)
        elif act.step is not None:
            self.do(act.job, cmd.MarkDone(address=act.address), f"Recorded: {act.step.act}.")

    def action_take_back(self) -> None:
        """Take back the newest act of the job in hand; ask where others rest on it."""
        job = self.job_in_hand
        if job is None:
            self.say("There is nothing to take back.")
            return
        try:
            self.bench.do(job.job, cmd.TakeBack())
        except RestsOn as question:
            self.app.push_screen(
                Choose(str(question), ("Leave it", "Take all of them back")),
                lambda n: self._take_along(job.job) if n else self.look(),
            )
        except (Refused, JournalError) as error:
            self.say(str(error))
        else:
            self.say("Taken back. It corrects the record, not the wood.")

    def _take_along(self, job: str) -> None:
        self.do(job, cmd.TakeBack(along=True), "Taken back, with what rested on it.")

    def action_pick(self, n: int) -> None:
        """Pick another piece by its place among all pieces that have something to do."""
        pieces = list(dict.fromkeys((a.job, a.piece) for a in self.bench.agenda().ready))
        if n <= len(pieces):
            self.picked = pieces[n - 1]
        self.look()

    # Questions -------------------------------------------------------------------------------

    def ask(self, screen: Ask) -> None:
        """Put a question; its answer is said on the bench."""
        self.app.push_screen(screen, lambda said: self.say(said) if said else self.look())

    def action_weigh(self) -> None:
        """Weigh what is due, or the pour in hand."""
        act = self.shown
        if act is not None and act.step is not None and act.step.weigh is not None:
            self.ask_weight(act)
            return
        due = next((a for a in self.bench.agenda().ready if a.kind == "weigh"), None)
        if due is not None:
            self.ask_weight(due)
        elif self.job_in_hand is not None and self.job_in_hand.plan is None:
            self.ask(WeighPrompt(self.bench, self.job_in_hand.job, None, "What does it weigh?"))
        else:
            self.say("No weight is due. It comes up with the step that asks for it.")

    def ask_weight(self, act: Act) -> None:
        """The weigh prompt for an act."""
        title = act_sentence(self.bench.shop.jobs[act.job], act)
        self.ask(WeighPrompt(self.bench, act.job, act.step, title))

    def ask_missed(self, act: Act) -> None:
        """What became of a missed window."""
        question = act_sentence(self.bench.shop.jobs[act.job], act)

        def answered(n: int | None) -> None:
            if n is None:
                self.look()
            elif MISSED[n][0] == "in time":
                self._ask_in_time(act)
            else:
                command = cmd.AnswerMissed(window=act.address, answer=MISSED[n][0])
                self.do(act.job, command, f"Recorded: {MISSED[n][0]}.")

        self.app.push_screen(Choose(question, [text for _, text in MISSED]), answered)

    def _ask_in_time(self, act: Act) -> None:
        def submit(text: str) -> str:
            at = self.bench.moment_at_wall(parse_when(text, self.bench.now().wall_s))
            self.bench.do(act.job, cmd.AnswerMissed(window=act.address, answer="in time", at=at))
            return "Recorded: in time."

        self.ask(Ask("When was it done? (16:35, or 10 min ago)", submit, live=self._when))

    def ask_check(self, act: Act) -> None:
        """A step's check: yes or no, or a measure."""
        check = act.check
        if check is None:
            return
        name, unit = check.name, check.unit

        def record(value: float, text: str) -> str:
            self.bench.do(
                act.job, cmd.AnswerCheck(address=act.address, name=name, value=value, text=text)
            )
            return f"Recorded: {check_fault(check, value) or name + ' ' + text}."

        if not unit:
            self.app.push_screen(
                Choose(check.ask, ("Yes", "No")),
                lambda n: (
                    self.say(record(1.0 - n, "no" if n else "yes")) if n is not None else None
                ),
            )
            return
        self.ask(Ask(f"{check.ask} ({unit})", lambda text: record(read_answer(check, text), text)))

    # Notes, skipping, earlier, air -----------------------------------------------------------

    def action_note(self) -> None:
        """A note about the step in hand."""
        job, act = self.job_in_hand, self.shown
        if job is None:
            self.say("A note needs a job to stand in.")
            return
        where = act.address.rpartition(":")[0] if act and act.kind == "answer" else ""
        where = where or (act.address if act else "")

        def submit(text: str) -> str:
            self.bench.do(job.job, cmd.Note(text=text, address=where))
            return "Noted."

        self.ask(Ask("Note", submit))

    def action_wish(self) -> None:
        """Next time …"""
        job, act = self.job_in_hand, self.shown
        if job is None or act is None or act.step is None:
            self.say("“Next time” needs a step in hand.")
            return
        step = act.step.file_step or act.step.act

        def submit(text: str) -> str:
            self.bench.do(job.job, cmd.WishNextTime(file_step=step, text=text))
            return "Kept: it will stand before this step in the next job."

        self.ask(Ask("Next time …", submit))

    def action_skip(self) -> None:
        """Leave the step in hand out, with the reason."""
        act = self.shown
        if act is None or act.step is None:
            self.say("There is no step to skip.")
            return

        def submit(text: str) -> str:
            self.bench.do(act.job, cmd.Skip(address=act.address, reason=text))
            return "Skipped."

        self.ask(Ask(f"Skip “{act.step.do}”. Why?", submit))

    def action_earlier(self) -> None:
        """The act in hand was done earlier."""
        act = self.shown
        if act is None or act.kind != "do":
            self.say("There is no act in hand that could have been done earlier.")
            return

        def submit(text: str) -> str:
            at = self.bench.moment_at_wall(parse_when(text, self.bench.now().wall_s))
            self.bench.do(act.job, cmd.MarkDone(address=act.address, at=at))
            return f"Recorded as done at {show_when(at.wall_s, self.bench.now().wall_s)}."

        question = "When was it done? (16:35, yesterday 17:00, or 10 min ago)"
        self.ask(Ask(question, submit, prefill="10 min ago", live=self._when))

    def action_air(self) -> None:
        """The shop's temperature, and its humidity where it is known: "17.5 62"."""

        def submit(text: str) -> str:
            words = text.replace(",", " ").split() if " " in text.strip() else [text]
            celsius = parse_temperature_c(words[0], "°C")
            damp = parse_percent(words[1], "%") if len(words) > 1 else None
            return " ".join(record_air(self.bench, SHOP, celsius, damp))

        self.ask(Ask("Air in the shop: temperature, and humidity if you know it (17.5 62)", submit))

    def _when(self, text: str) -> Line:
        now = self.bench.now().wall_s
        return line(" ", show_when(parse_when(text, now), now))
