"""A control chart of one quantity over all jobs, for those who want it; drawn in characters."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.binding import Binding, BindingType

from benchmate.bench.errors import JournalError
from benchmate.bench.history.records import KINDS, UNITS, readings
from benchmate.charts import Chart, ChartError, Kind, Options, RuleSet, draw_readings
from benchmate.refusal import Refused
from benchmate.tui.keys.table import binding
from benchmate.tui.pages.frames.page import Page
from benchmate.tui.present.lines import Line, Span, line
from benchmate.tui.present.listing import Keys, paragraph
from benchmate.tui.prompts.choose import Choose

LONGEST_GAP_S = 90 * 86400.0
"""After a quarter without a piece the shop isn't quite the same: common practice, no source."""
SAID = {
    "weights": "finished weights",
    "gains": "what each layer gained",
    "packing": "packing of each fill",
    "loss": "what stayed in each cup",
}
WHAT = {
    Kind.INDIVIDUALS: "single values, one after the other",
    Kind.EWMA: "weighted mean: slow drifts show",
    Kind.CUSUM: "summed deviations: small shifts show",
}
FEW = 3
LEAST_ROWS, TALLEST = 8, 26


class ChartScreen(Page):
    """Keys change the quantity, the kind of chart and the run rules."""

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
        binding("take", "options", tip="Another kind of chart, run rules, or all procedures"),
    ]
    KEYS: ClassVar[Keys] = (
        ("← →", "quantity"),
        ("enter", "kind, run rules, procedures"),
        ("esc", "back"),
        ("?", "keys"),
    )

    def __init__(self, procedure: str = "", of: str = "weights") -> None:
        super().__init__()
        self.procedure, self.of = procedure, of
        self.kind, self.rules = Kind.INDIVIDUALS, RuleSet.NONE
        self.every = False

    def title_line(self) -> tuple[str, str]:
        """What is charted, and how."""
        unit = f", {UNITS[self.of]}" if UNITS[self.of] else ""
        whose = "all procedures" if self.every or not self.procedure else self.procedure
        return f"{SAID[self.of].capitalize()}{unit}: {whose}", WHAT[self.kind]

    def body(self, cells: int, rows: int) -> Sequence[Line]:
        """The chart, and what it says; or why there is none."""
        try:
            chart = self.chart()
        except (Refused, ChartError, JournalError) as error:
            return paragraph(str(error), cells)
        from benchmate.charts.report import as_lines

        said = [row for text in as_lines(chart) for row in paragraph(text, cells, 4)]
        room = rows - len(said)
        if room < LEAST_ROWS:
            room = max(LEAST_ROWS, rows * 3 // 5)
        return [*self._drawn(chart, cells, room), *said][:rows]

    def chart(self) -> Chart:
        """The chart of what is chosen. Raises Refused or ChartError, each a sentence."""
        of_procedure = "" if self.every else self.procedure
        found = readings(self.bench, self.of, of_procedure)
        if len(found) < FEW:
            raise Refused(
                f"Only {len(found)} recorded: {SAID[self.of]} make a chart from {FEW} on, and one "
                "worth trusting from about twenty."
            )
        options = Options(kind=self.kind, rules=self.rules)
        return draw_readings(found, options, longest_gap_s=LONGEST_GAP_S)

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
        names = list(KINDS)
        self.of = names[(names.index(self.of) + by) % len(names)]
        self.look()

    def action_options(self) -> None:
        """What else can be charted, and how."""
        ways = (
            ("The next kind of chart", self._next_kind),
            ("The next set of run rules", self._next_rules),
            ("All procedures, or this one alone", self._every),
        )

        def answered(n: int | None) -> None:
            if n is not None:
                ways[n][1]()

        self.app.push_screen(Choose("This chart …", [text for text, _ in ways]), answered)

    def _next_kind(self) -> None:
        """The next kind of chart; run rules belong to single values."""
        kinds = list(Kind)
        self.kind = kinds[(kinds.index(self.kind) + 1) % len(kinds)]
        self.rules = self.rules if self.kind is Kind.INDIVIDUALS else RuleSet.NONE
        self.look()

    def _next_rules(self) -> None:
        """The next set of run rules."""
        if self.kind is not Kind.INDIVIDUALS:
            self.say("Run rules go with single values: take another kind of chart first.")
            return
        sets = list(RuleSet)
        self.rules = sets[(sets.index(self.rules) + 1) % len(sets)]
        self.say(f"Run rules: {self.rules.value}.")

    def _every(self) -> None:
        """All jobs, or those of the procedure."""
        self.every = not self.every
        self.look()
