"""The job card: what was planned and what was recorded, and what can be put right there."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.binding import Binding, BindingType

from benchmate.bench.errors import JournalError
from benchmate.bench.history.pages import job_names
from benchmate.job.deciding import commands as cmd
from benchmate.job.state.state import JobState, Weighing
from benchmate.job.weights.drift import Remark, remarks
from benchmate.job.words.phrases import done_text, holds_clocks, in_job, thing_of
from benchmate.localtime import show_when
from benchmate.quantities import parse_reading, show_mass
from benchmate.refusal import Refused
from benchmate.tui.keys.table import binding
from benchmate.tui.pages.frames.list_page import ListPage
from benchmate.tui.present.lines import Line
from benchmate.tui.present.listing import Item, Keys, paragraph
from benchmate.tui.present.pages.card import (
    Look,
    card_items,
    need_key,
    next_open,
    remark_text,
    to_hand,
)
from benchmate.tui.present.pages.step import step_detail
from benchmate.tui.prompts.ask import Ask
from benchmate.tui.prompts.choose import Choose


class CardScreen(ListPage):
    """All steps of all pieces of one job."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "space",
            "take",
            "tick / OK",
            id="card-take",
            tooltip="Tick off what is to hand, OK a flag, or correct the weight",
        ),
        Binding(
            "0", "next_open", "next open", id="card-open", tooltip="To the next step still to do"
        ),
        binding("note", "note", tip="A note about the marked step"),
        binding("papers", "papers", tip="Write the card, labels, templates, lists or the report"),
        binding("add", "another", tip="Another like this job, or one so much bigger"),
        binding("flags", "weights", tip="Each piece's weight over the steps, and why"),
        binding("past", "earlier", tip="The last five jobs of this procedure, side by side"),
        binding("card", "other_job", tip="The card of another job"),
        Binding(
            "f5",
            "lists",
            "lists",
            id="card-lists",
            tooltip="What to cut, to buy and to have to hand",
        ),
    ]
    KEYS: ClassVar[Keys] = (
        ("space", "tick / OK / correct"),
        ("n", "note"),
        ("f", "weights"),
        ("1-9", "piece"),
        ("0", "next open"),
        ("j", "other job"),
        ("+", "make another"),
        ("u", "papers"),
        ("p", "past jobs"),
        ("f5", "lists"),
        ("esc", "back"),
        ("?", "keys"),
    )

    def __init__(self, job: str = "") -> None:
        super().__init__()
        self.job_id = job

    @property
    def job(self) -> JobState | None:
        """The job whose card it is: the one picked here, else that of the act or the piece in hand
        on the bench, else the first that is running."""
        if self.job_id:
            return self.bench.shop.jobs.get(self.job_id)
        shop, hand = self.bench.shop, self.host.hand
        name = hand.shown.job if hand.shown else hand.picked[0] if hand.picked else ""
        running = (j for j in shop.live if not holds_clocks(j))
        return shop.jobs.get(name) or next(running, None)

    @property
    def found(self) -> tuple[Remark, ...]:
        """The job's departures from the plan."""
        job, shop = self.job, self.bench.shop
        return remarks(job, shop.around, self.bench.now_s(), shop.rules) if job else ()

    # Showing ---------------------------------------------------------------------------------

    def title_line(self) -> tuple[str, str]:
        """The job, how far it is, what is to hand."""
        job = self.job
        if job is None:
            return "Job card", "no job running"
        steps = job.steps.values()
        parts = [f"{sum(job.is_settled(s.address) for s in steps)} of {len(steps)} steps"]
        there, needed = to_hand(job)
        parts += [f"{there} of {needed} to hand"] if needed else []
        parts += [job.status] if job.status != "open" else []
        return f"Job card: {job.title}", ", ".join(parts if job.plan else parts[1:])

    def items(self, cells: int) -> Sequence[Item]:
        job = self.job
        if job is None:
            text = "No job running; j shows the card of one that has ended."
            return [Item(tuple(paragraph(text, cells)))]
        return card_items(job, self._look(), cells)

    def _look(self) -> Look:
        now, shop = self.bench.now().wall_s, self.bench.shop
        return Look(self.found, shop.rules, self.bench.settings.units, lambda w: show_when(w, now))

    def detail(self, cells: int) -> Sequence[Line]:
        """The marked step in full."""
        job, (kind, key) = self.job, self._what()
        step = job.steps.get(str(key)) if job and kind == "step" else None
        if job is None:
            return ()
        out: list[Line] = []
        if step is not None:
            for text, role in step_detail(job, step, self.bench.settings.units):
                out += paragraph(text, cells, 9, role)
        remark = next((r for r in self.found if kind == "remark" and r.key == key), None)
        if remark is not None:
            said = remark_text(job, remark, self.bench.settings.units)
            out += paragraph(said, cells, 4, "strong")
        return out

    def _what(self) -> tuple[str, object]:
        found = self.marked
        return found if isinstance(found, tuple) else ("", None)

    # Doing -----------------------------------------------------------------------------------

    def take(self, what: object) -> None:
        """Tick a need, see a remark, correct a weight."""
        job, (kind, key) = self.job, self._what()
        if job is None:
            return
        if kind == "need":
            there = str(key) not in job.ticked
            said = f"{'To hand' if there else 'Not to hand'}: {key}."
            self.do(job.job, cmd.Tick(what=str(key), there=there), said)
        elif kind == "remark":
            self.do(job.job, cmd.See(keys=(str(key),)), "OK. It stays on the card.")
        elif kind == "all needs":
            self._all_to_hand()
        elif kind == "all flags":
            self._ok_all()
        elif self.weighing is not None:
            self._correct()

    @property
    def weighing(self) -> Weighing | None:
        """The weight recorded at the marked step."""
        job, (kind, key) = self.job, self._what()
        if job is None:
            return None
        if kind == "act" and isinstance(key, int):
            return job.weighings.get(key)
        return job.weighing_at(str(key)) if kind == "step" else None

    def _correct(self) -> None:
        """Ask for the weight as it should have been."""
        job, weighing = self.job, self.weighing
        if job is None or weighing is None:
            return
        old = show_mass(weighing.net_g, self.bench.settings.units)

        def submit(text: str) -> str:
            net_g = parse_reading(text).value_g
            self.bench.do(job.job, cmd.Correct(version=weighing.version, net_g=net_g, text=text))
            new = show_mass(net_g, self.bench.settings.units)
            return f"Corrected to {new}; the {old} recorded first stays in the logbook."

        step = job.steps.get(weighing.address)
        what = thing_of(job, step) if step is not None else weighing.what or weighing.piece
        about = f"{what[:1].upper()}{what[1:]}: recorded" if what else "Recorded"
        question = f"{about} was {old}. Correct net weight?"
        self.ask(Ask(in_job(job, question), submit))

    def action_next_open(self) -> None:
        """The mark to the next step that is still to be done."""
        step = next_open(self.job) if self.job else None
        if step is None:
            self.say("Every step is done or skipped.")
        else:
            self.mark(("step", step.address))

    def action_digit(self, n: int) -> None:
        """To a piece, at its first open step."""
        job = self.job
        pieces = list(dict.fromkeys(s.piece for s in job.steps.values() if s.piece)) if job else []
        if job is None or n > len(pieces):
            return
        steps = [s for s in job.steps.values() if s.piece == pieces[n - 1]]
        first = next((s for s in steps if not job.is_settled(s.address)), steps[0])
        self.mark(("step", first.address))

    def _ok_all(self) -> None:
        """OK every flag."""
        job = self.job
        unseen = tuple(r.key for r in self.found if not r.seen)
        if job is None or not unseen:
            self.say("Nothing flagged: all on plan.")
            return
        self.do(job.job, cmd.See(keys=unseen), f"{len(unseen)} OK’d. They stay on the card.")

    def _all_to_hand(self) -> None:
        """Tick all needs."""
        job = self.job
        for need in job.plan.needs if job and job.plan else ():
            key = need_key(need)
            if job and key not in job.ticked and not self.do(job.job, cmd.Tick(what=key), ""):
                return
        self.say("All to hand.")

    def action_note(self) -> None:
        """A note about the marked step, or the job."""
        job, (kind, key) = self.job, self._what()
        if job is None:
            return
        where = str(key) if kind == "step" else ""

        def submit(text: str) -> str:
            self.bench.do(job.job, cmd.Note(text=text, address=where))
            return "Noted."

        step = job.steps.get(where)
        about = done_text(job, step) if step is not None else "the job"
        self.ask(Ask(in_job(job, f"Note about {about}"), submit))

    def action_papers(self) -> None:
        """Which paper of this job, written as a file into the folder one is in."""
        job = self.job
        if job is None or job.plan is None:
            self.say("A job with a plan has papers; this has none.")
            return
        from benchmate.bench.papers.making import OF_A_JOB, OF_A_PLAN

        papers = (*OF_A_PLAN, *OF_A_JOB)

        def answered(n: int | None) -> None:
            if n is not None:
                self.say(self._write_paper(job.job, papers[n]))

        self.app.push_screen(Choose("Which paper is written?", papers), answered)

    def _write_paper(self, job: str, which: str) -> str:
        from pathlib import Path

        from benchmate.bench.papers.making import PapersAsked, make, usual_form

        try:
            files = make(self.bench, job, which, usual_form(which), PapersAsked())
            for name, data in files.items():
                Path(name).write_bytes(data)
        except (Refused, OSError) as error:
            return str(error)
        return f"Written to {Path().absolute()}: {', '.join(files)}."

    def action_another(self) -> None:
        """Another like this one, or one so much bigger."""
        if self.job is None:
            self.say("No job here to make another of; j shows one that has ended.")
            return
        from benchmate.tui.bench.job_end import ask_another

        ask_another(self, self.bench, self.job.job, self.say)

    def action_weights(self) -> None:
        """What each piece will weigh."""
        from benchmate.tui.pages.weights import WeightsScreen

        self.app.push_screen(WeightsScreen(self.job.job if self.job is not None else ""))

    def action_lists(self) -> None:
        """What to cut and to buy for it."""
        from benchmate.tui.pages.lists import ListsPage

        if self.job is None or self.job.plan is None:
            self.say("Without a plan there is nothing to list.")
            return
        self.app.push_screen(ListsPage(self.job.plan))

    def action_earlier(self) -> None:
        """What earlier jobs of this one's procedure were like."""
        from benchmate.tui.pages.looking_back.earlier import EarlierScreen

        job = self.job
        name = job.plan.procedure if job is not None and job.plan is not None else ""
        self.app.push_screen(EarlierScreen(name), lambda said: self.say(said) if said else None)

    def action_other_job(self) -> None:
        """Pick the card of another job, running ones first."""
        try:
            names = job_names(self.bench)
        except JournalError as error:
            self.say(str(error), "alarm")
            return
        jobs = self.bench.shop.jobs
        titles = [f"{jobs[n].title}  ({n})" if n in jobs else f"{n}  (ended)" for n in names]

        def picked(n: int | None) -> None:
            if n is not None:
                self._show_job(names[n])

        self.app.push_screen(Choose("Which job?", titles), picked)

    def _show_job(self, name: str) -> None:
        try:
            self.bench.job(name)
        except (JournalError, ValueError) as error:
            self.say(str(error), "alarm")
            return
        self.job_id, self.at, self._top = name, 0, 0
        self.look()
