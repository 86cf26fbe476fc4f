"""A chart of one quantity, one point a job, and what to do about it; drawn in characters."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.binding import Binding, BindingType

from benchmate.bench.errors import JournalError
from benchmate.bench.history.records import UNITS, readings
from benchmate.charts import Chart, ChartError, ShopChart, of_shop
from benchmate.refusal import Refused
from benchmate.tui.keys.table import binding
from benchmate.tui.pages.frames.page import Page
from benchmate.tui.present.lines import Line, Span, line
from benchmate.tui.present.listing import Keys, paragraph

SAID = {
    "weights": "finished weights",
    "gains": "what each layer gained",
    "packing": "packing of each fill",
    "loss": "what stayed in each cup",
    "scale": "the scale's checks with a known weight",
}
LEAST_ROWS, TALLEST = 8, 26


class ChartScreen(Page):
    """Keys change the quantity, and whose jobs."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("right", "of(1)", "next quantity", id="chart-next", tooltip="The next quantity"),
        Binding(
            "left",
            "of(-1)",
            "quantity before",
            id="chart-before",
            show=False,
            tooltip="The quantity before",
        ),
        binding("take", "every", tip="All procedures, or this one alone"),
    ]
    KEYS: ClassVar[Keys] = (
        ("← →", "quantity"),
        ("enter", "all procedures"),
        ("esc", "back"),
        ("?", "keys"),
    )

    def __init__(self, procedure: str = "", of: str = "weights") -> None:
        super().__init__()
        self.procedure, self.of = procedure, of
        self.every = False

    def title_line(self) -> tuple[str, str]:
        """What is charted, and how."""
        unit = f", {UNITS[self.of]}" if UNITS[self.of] else ""
        whose = "all procedures" if self.every or not self.procedure else self.procedure
        return f"{SAID[self.of].capitalize()}{unit}: {whose}", "a point a job"

    def body(self, cells: int, rows: int) -> Sequence[Line]:
        """The chart, and what it says; or why there is none."""
        try:
            found = self.chart()
        except (Refused, ChartError, JournalError) as error:
            return paragraph(str(error), cells)
        said = [row for text in found.lines for row in paragraph(text, cells, 4)]
        room = rows - len(said)
        if room < LEAST_ROWS:
            room = max(LEAST_ROWS, rows * 3 // 5)
        return [*self._drawn(found.chart, cells, room), *said][:rows]

    def chart(self) -> ShopChart:
        """The chart of what is chosen. Raises Refused or ChartError, each a sentence."""
        of_procedure = "" if self.every else self.procedure
        return of_shop(readings(self.bench, self.of, of_procedure), UNITS[self.of])

    def _drawn(self, chart: Chart, cells: int, rows: int) -> list[Line]:
        from benchmate.charts.plot import legend, plot_text
        from benchmate.tui.present.pages.plot import ONE_AT_A_TIME

        if cells < 24:
            return []
        with ONE_AT_A_TIME:
            text = plot_text(chart, width=cells - 2, height=min(TALLEST, max(6, rows - 1)))
        return [line(" ", Span(legend(chart), "dim")), *(line(" ", r) for r in text.splitlines())]

    # Keys ------------------------------------------------------------------------------------

    def action_of(self, by: int) -> None:
        """The next quantity."""
        names = list(UNITS)
        self.of = names[(names.index(self.of) + by) % len(names)]
        self.look()

    def action_every(self) -> None:
        """All jobs, or those of the procedure."""
        self.every = not self.every
        self.look()
