"""Where each piece's weight is heading: over the steps, with its doubt and the last chance."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, ClassVar

from textual.binding import Binding, BindingType

from benchmate.bench.weights.will_weigh import (
    aims,
    doubt_text,
    offer_of,
    offer_texts,
    will_weigh_text,
)
from benchmate.job.state.state import JobState
from benchmate.landing.words import capital, say_in
from benchmate.tui.pages.frames.read_page import ReadPage
from benchmate.tui.present.bench.weights.course import course_lines, course_table
from benchmate.tui.present.lines import Line
from benchmate.tui.present.listing import Keys, paragraph

if TYPE_CHECKING:
    from benchmate.bench.weights.will_weigh import WeightAim

LEAST_PLOT, TALLEST_PLOT = 9, 20
NO_JOB = "No job running."
NO_WEIGHTS = "This job has no plan that says what its pieces weigh."


class WeightsScreen(ReadPage):
    """One piece of a job at a time: plot, table, doubt, adjustment."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "right,tab",
            "piece(1)",
            "next piece",
            id="weights-next",
            tooltip="The next piece of the job",
        ),
        Binding(
            "left",
            "piece(-1)",
            "piece before",
            id="weights-before",
            show=False,
            tooltip="The piece before",
        ),
    ]
    KEYS: ClassVar[Keys] = (("← →", "piece"), ("↑ ↓", "scroll"), ("esc", "back"))

    def __init__(self, job: str = "", piece: int = 0) -> None:
        super().__init__()
        self.job_id, self.piece_at = job, piece

    @property
    def job(self) -> JobState | None:
        """The job asked for, else the first that is running."""
        if self.job_id:
            return self.bench.job(self.job_id)
        return next(iter(self.bench.shop.live), None)

    def title_line(self) -> tuple[str, str]:
        """The job, and which of its pieces."""
        job = self.job
        return f"Weights: {job.title}" if job else "Weights", "over the steps, against the plan"

    def text(self, cells: int) -> Sequence[Line]:
        """The piece in full."""
        job = self.job
        found = aims(self.bench, job) if job is not None else ()
        if job is None or not found:
            return paragraph(NO_WEIGHTS if job is not None else NO_JOB, cells)
        aim = found[self.piece_at % len(found)]
        units = self.bench.settings.units
        head = self._said(aim, cells)
        room = max(LEAST_PLOT, min(TALLEST_PLOT, self.size.height - len(head) - 7))
        out = [*head, (), *course_lines(aim.plot, cells - 1, room, units, numbered=True), ()]
        out += course_table(aim.plot, units, cells)
        offer = offer_of(self.bench, job) if job.is_live else None
        for text in offer_texts(offer) if offer is not None else ():
            out += [(), *paragraph(text, cells)]
        return out

    def _said(self, aim: WeightAim, cells: int) -> list[Line]:
        say = say_in(self.bench.settings.units)
        out = paragraph(f"{capital(will_weigh_text(aim, say))}.", cells, 3, "strong")
        if doubt := doubt_text(aim.will_weigh):
            out += paragraph(f"{capital(doubt)}.", cells, 2, "dim")
        if aim.last is not None:
            out += paragraph(capital(aim.last.sentence), cells, 2, "caution")
        return out

    def action_piece(self, by: int) -> None:
        """Another piece."""
        self.piece_at += by
        self._top = 0
        self.look()
