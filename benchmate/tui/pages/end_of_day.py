"""Before the light goes out."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import ClassVar

from textual.binding import BindingType

from benchmate.bench.next_line import clock_of
from benchmate.bench.planning.planning import next_visit_text
from benchmate.bench.reminding.leaving import back_at
from benchmate.localtime import show_clock
from benchmate.tui.keys.table import binding
from benchmate.tui.pages.frames.read_page import ReadPage
from benchmate.tui.present.lines import Line
from benchmate.tui.present.listing import paragraph
from benchmate.tui.present.pages.end_of_day import closing_lines, minding_lines
from benchmate.tui.prompts.ask import Ask


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

    def on_mount(self) -> None:
        """Who looks at this page is about to leave: the phone is told what comes."""
        self.host.tell_leaving()

    def action_calendar(self) -> None:
        """Save the reminders to come as a calendar file."""

        def submit(text: str) -> str:
            from benchmate.bench.reminding.reminding import write_calendar

            return write_calendar(self.bench, Path(text.strip()).expanduser())

        where = str(Path.home() / "benchmate.ics")
        self.ask(Ask("Save reminders to which calendar file?", submit, prefill=where))
