"""The end of a job by keys: how it turned out, a photo, weights still missing; then another one."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, Any

from textual.screen import Screen

from benchmate.bench import Bench
from benchmate.bench.errors import JournalError
from benchmate.job.deciding import commands as cmd
from benchmate.job.looking_back.summary import FINISHED, pieces_unweighed
from benchmate.job.state.state import JobState
from benchmate.job.words.phrases import piece_label
from benchmate.quantities import parse_number, parse_reading
from benchmate.refusal import Refused

if TYPE_CHECKING:
    from benchmate.tui.prompts.ask import Submit

Say = Callable[[str], object]
SIZES = ("Another like it", "Another, 20 % bigger", "Another, a different size …")
ENOUGH = "No, that’s all"


class Ending:
    """Asks for what a job's end leaves, one question after the other, and ends it."""

    def __init__(self, screen: Screen[Any], bench: Bench, job: JobState, say: Say) -> None:
        self.screen, self.bench, self.job, self.say = screen, bench, job, say
        self.outcome, self.photo = "", ""
        self.missing = pieces_unweighed(job)
        self.weights: dict[str, tuple[float, str]] = {}

    def begin(self) -> None:
        """How did it turn out?"""
        self._ask(f"How did {self.job.title} turn out?", self._turned_out, self._photo)

    def _turned_out(self, text: str) -> str:
        self.outcome = text.strip()
        return "."

    def _photo(self) -> None:
        def submit(text: str) -> str:
            self.photo = text.strip()
            return "."

        self._ask("Path of a photo (or just Enter)", submit, self._next_weight)

    def _next_weight(self) -> None:
        if not self.missing:
            self._end()
            return
        piece = self.missing.pop(0)
        label = piece_label(self.job, piece)

        def submit(text: str) -> str:
            if text.strip():
                self.weights[piece] = parse_reading(text).value_g, text
            return "."

        question = f"Finished weight of {label} (or just Enter, if it wasn't weighed)"
        self._ask(question, submit, self._next_weight)

    def _ask(self, question: str, submit: Submit, then: Callable[[], object]) -> None:
        from benchmate.tui.prompts.ask import Ask

        def answered(said: str | None) -> None:
            if said is None:
                self.say(f"{self.job.title} is still open; press o to finish it.")
            else:
                then()

        self.screen.app.push_screen(Ask(question, submit), answered)

    def _end(self) -> None:
        job = self.job.job
        try:
            for piece, (net_g, text) in self.weights.items():
                weigh = cmd.Weigh(net_g=net_g, gross=(text.strip(),), piece=piece, what=FINISHED)
                self.bench.do(job, weigh)
            self.bench.do(job, cmd.Finish(outcome=self.outcome, photo=self.photo))
        except (Refused, JournalError) as error:
            self.say(str(error))
            return
        self.say(f"{self.job.title} is finished.")
        if self.job.plan is not None:
            ask_another(self.screen, self.bench, job, self.say, f"{self.job.title} is finished.")


def ask_another(screen: Screen[Any], bench: Bench, job: str, say: Say, led_by: str = "") -> None:
    """Ask whether another like a job is wanted, and how big; its form opens filled in."""
    from benchmate.tui.prompts.choose import Choose

    def answered(n: int | None) -> None:
        if n == 1:
            _another(screen, bench, job, 0.0, say)
        elif n == 2:
            _another(screen, bench, job, 20.0, say)
        elif n == 3:
            _ask_percent(screen, bench, job, say)

    question = f"{led_by} Another like it?".strip()
    screen.app.push_screen(Choose(question, (ENOUGH, *SIZES)), answered)


def _ask_percent(screen: Screen[Any], bench: Bench, job: str, say: Say) -> None:
    from benchmate.tui.prompts.ask import Ask

    def submit(text: str) -> str:
        return str(parse_number(text.replace("%", " ").strip()).value)

    def answered(said: str | None) -> None:
        if said is not None:
            _another(screen, bench, job, float(said), say)

    question = "How much bigger every way? (20 %; -10 % is smaller)"
    screen.app.push_screen(Ask(question, submit, prefill="20 %"), answered)


def _another(screen: Screen[Any], bench: Bench, job: str, percent: float, say: Say) -> None:
    """The form of the procedure, filled in as that job was, so much bigger."""
    from benchmate.bench.starting.start_like import another_like
    from benchmate.bench.starting.starting import find_document
    from benchmate.fields.problem import ProcedureError
    from benchmate.tui.pages.starting.parameters import ParametersScreen

    try:
        again = another_like(bench, job, percent)
        document, _ = find_document(bench, again.procedure)
    except (Refused, ProcedureError, JournalError) as error:
        say(str(error))
        return
    form = ParametersScreen.filled(document.file, again.values, again.materials, again.said)
    screen.app.push_screen(form, partial(_started, say))


def _started(say: Say, said: str | None) -> None:
    if said:
        say(said)
