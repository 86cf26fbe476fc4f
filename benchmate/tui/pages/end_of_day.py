"""Before the light goes out."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import ClassVar

from textual.binding import BindingType

from benchmate.bench.next_line import clock_of
from benchmate.bench.planning.planning import next_visit_text
from benchmate.localtime import local, next_at, show_clock
from benchmate.settings import Hours
from benchmate.tui.keys.table import binding
from benchmate.tui.pages.frames.read_page import ReadPage
from benchmate.tui.present.lines import Line
from benchmate.tui.present.listing import paragraph
from benchmate.tui.present.pages.end_of_day import closing_lines, minding_lines
from benchmate.tui.prompts.ask import Ask

MORNING_MIN = 9 * 60
"""When the shop opens where the settings give no hours at all."""


class EndOfDay(ReadPage):
    """What runs overnight, rags, lids, and what comes first tomorrow."""

    BINDINGS: ClassVar[list[BindingType]] = [
        binding("take", "calendar", tip="Save a calendar file so your phone reminds you too"),
    ]
    KEYS = (*ReadPage.KEYS, ("enter", "calendar file for the phone"), ("?", "keys"))

    def title_line(self) -> tuple[str, str]:
        return "End of day", show_clock(self.bench.now().wall_s)

    def text(self, cells: int) -> Sequence[Line]:
        bench = self.bench
        now = bench.now()
        now_s = bench.now_s(now)
        back_s = now_s + back_at(bench.settings.hours, now.wall_s) - now.wall_s
        page = closing_lines(bench.shop, bench.agenda(now), now_s, back_s, clock_of(bench), cells)
        sheet = paragraph(f"{text}.", cells, 3) if (text := next_visit_text(bench)) else []
        return [*page, *sheet, *minding_lines(self.host.minding_sentences, cells)]

    def action_calendar(self) -> None:
        """Save the reminders to come as a calendar file."""

        def submit(text: str) -> str:
            from benchmate.bench.reminding.reminding import write_calendar

            return write_calendar(self.bench, Path(text.strip()).expanduser())

        where = str(Path.home() / "benchmate.ics")
        self.ask(Ask("Save reminders to which calendar file?", submit, prefill=where))


def back_at(hours: Hours, wall_s: float) -> float:
    """When the shop opens next on a later day, by the settings (Unix seconds)."""
    today = local(wall_s).date().day_of_week().value - 1
    for days in range(1, 8):
        spans = hours.on((today + days) % 7)
        if spans:
            begins = min(s.begins_min for s in spans)
            return next_at(wall_s, days, begins // 60, begins % 60)
    return next_at(wall_s, 1, MORNING_MIN // 60, MORNING_MIN % 60)
