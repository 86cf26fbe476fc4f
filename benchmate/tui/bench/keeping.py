"""Keys for what is written beside the step: a note, leaving it out, another time, cautions."""

from __future__ import annotations

from typing import TYPE_CHECKING

from benchmate.bench.short import short_act
from benchmate.job.state.state import JobState
from benchmate.job.windows.agenda import Act
from benchmate.job.words.phrases import done_text, in_job
from benchmate.localtime import parse_when, show_when
from benchmate.refusal import TooCold
from benchmate.tui.bench.desk import Desk
from benchmate.tui.lazy_import import Later

if TYPE_CHECKING:
    from benchmate.job.deciding import commands as cmd
else:
    cmd = Later("benchmate.job.deciding.commands")


class Keeping:
    """About the step in hand."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk

    def note(self) -> None:
        """A note about the step in hand; tab in it: for next time."""
        self.desk.with_job(self._note, "Start a job first (s); notes belong to a job.")

    def _note(self, job: JobState) -> None:
        from benchmate.tui.prompts.note import NotePrompt

        desk, act = self.desk, self.desk.shown
        where = act.address if act is not None and act.kind != "answer" else ""
        step = job.steps.get(where)
        about = f"“{short_act(job, act)}”" if act is not None and step is not None else "the job"
        next_time = (step.file_step or step.act) if step is not None else ""

        def keep(text: str) -> str:
            desk.bench.do(job.job, cmd.Note(text=text, address=where))
            return f"Noted in {job.title}."

        def wish(text: str) -> str:
            desk.bench.do(job.job, cmd.WishNextTime(file_step=next_time, text=text))
            return "Kept. You’ll see it before this step in the next job."

        desk.ask(NotePrompt(in_job(job, f"Note about {about}"), keep, wish if next_time else None))

    def skip(self) -> None:
        """Leave the step in hand out, with the reason."""
        act = self.desk.shown
        if act is None or act.step is None:
            self.desk.say("Nothing to skip.")
            return
        job = self.desk.bench.shop.jobs[act.job]
        name = short_act(job, act)
        self.desk.reason(
            in_job(job, f"Why skip “{name}”?"),
            job,
            lambda text: cmd.Skip(address=act.address, reason=text),
            f"Skipped: {name}.",
        )

    # Another time ----------------------------------------------------------------------------

    def time(self) -> None:
        """The step in hand was done earlier, or is being started now."""
        act = self.desk.shown
        if act is None or act.step is None or act.kind == "answer":
            self.desk.say("There’s no step up now whose time you could give.")
            return
        ways = [("You’re starting it: time it from now", lambda: self._begin(act))]
        if act.kind == "do":
            ways.insert(0, ("It was done earlier: say when", lambda: self._earlier(act)))
        awaited = (*act.step.waits, *act.step.waits_full)
        if awaited:
            ways.append(("I tested it: not ready yet", lambda: self._not_ready(act, awaited[-1])))
        job = self.desk.bench.shop.jobs[act.job]
        name = short_act(job, act)
        question = in_job(job, f"{name[:1].upper()}{name[1:]}: which time?")
        self.desk.choose(question, [text for text, _ in ways], [do for _, do in ways], again="t")

    def _begin(self, act: Act) -> None:
        self.desk.do(act.job, cmd.Begin(address=act.address), "Started; timed from now.")

    def _not_ready(self, act: Act, clock: str) -> None:
        """It waits on; what else there is to do is shown first."""
        self.desk.hand.put_off.add(act.address)
        said = "Noted: not ready yet. Test it again later."
        self.desk.do(act.job, cmd.Try(window=clock, ready=False), said)

    def _earlier(self, act: Act) -> None:
        desk = self.desk
        job = desk.bench.shop.jobs[act.job]
        did = done_text(job, act.step) if act.step is not None else act.address

        def submit(text: str) -> str:
            at = desk.bench.moment_at_wall(parse_when(text, desk.bench.now().wall_s))
            command = cmd.MarkDone(address=act.address, at=at)
            done = f"Recorded: {did}, {show_when(at.wall_s, desk.bench.now().wall_s)}."
            try:
                desk.bench.do(act.job, command)
            except TooCold as question:
                desk.host.call_later(desk.ask_anyway, str(question), act.job, command, done)
                return ""
            return done

        question = f"{did[:1].upper()}{did[1:]}: when? (16:35, yesterday 17:00, or 10 min ago)"
        desk.question(in_job(job, question), submit, live=desk.when)

    # What is to be read ----------------------------------------------------------------------

    def cautions(self) -> None:
        """The full text of the step's cautions."""
        act, job = self.desk.shown, self.desk.job
        names = act.step.cautions if act is not None and act.step is not None else ()
        texts = job.plan.cautions if job is not None and job.plan is not None else {}
        body = [*self.desk.host.cautions.of(act), *(f"{n}: {texts.get(n, n)}" for n in names)]
        if not body:
            self.desk.say("No cautions for this step.")
            return
        self.desk.choose("Cautions of this step", ("OK",), (self.desk.look,), body=body)
