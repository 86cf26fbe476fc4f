"""What earlier jobs of a procedure were like, side by side; the charts are one key further in."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.binding import Binding, BindingType

from benchmate.bench.errors import JournalError
from benchmate.bench.history.lessons import earlier, in_use, not_taught
from benchmate.bench.history.records import KINDS, known_procedures
from benchmate.learning.side_by_side import LAST, JobsTable, JobSummary, side_by_side
from benchmate.localtime import show_date
from benchmate.refusal import Refused
from benchmate.tui.keys.table import binding
from benchmate.tui.pages.frames.list_page import ListPage
from benchmate.tui.present.lines import Line, Span, line
from benchmate.tui.present.listing import Item, Keys, paragraph
from benchmate.tui.present.pages.earlier import landing_lines, table_items
from benchmate.tui.prompts.choose import Choose

NOTHING = (
    "No job of {name} has ended yet. When one is finished or stopped, its times, weights, packing, "
    "losses and how it turned out stand here, the last five side by side."
)
NO_JOBS = "No job has ended yet. When one has, it stands here beside the next ones like it."
COMPARE, FAMILY = "compare", "family"
ONE = "One job so far: the next one of it stands beside it."


class EarlierScreen(ListPage):
    """The last five jobs of one procedure; ← → marks a job, Enter charts what a row tells."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "left",
            "job(-1)",
            "earlier job",
            id="earlier-left",
            show=False,
            tooltip="The job before",
        ),
        Binding(
            "right", "job(1)", "later job", id="earlier-right", show=False, tooltip="The job after"
        ),
        binding("add", "another", tip="Another like the marked job, or one so much bigger"),
        binding("past", "procedure", tip="Past jobs of another procedure"),
    ]
    KEYS: ClassVar[Keys] = (
        ("← →", "job"),
        ("↑ ↓", "row"),
        ("enter", "chart"),
        ("+", "make another"),
        ("p", "other procedure"),
        ("esc", "back"),
    )

    def __init__(self, procedure: str = "") -> None:
        super().__init__()
        self.procedure = procedure
        self.job_at: int | None = None
        """Which column is marked; the newest one while None."""
        self._jobs: list[JobSummary] = []
        self._table = JobsTable((), ())

    def on_mount(self) -> None:
        """Whose jobs: the procedure given, else that of the job that ended last."""
        ended = self.bench.shop.lessons.ended
        if not self.procedure and ended:
            self.procedure = ended[-1].procedure

    # Showing ---------------------------------------------------------------------------------

    def prepare(self, cells: int) -> None:
        """Read the jobs, then list them."""
        self._jobs = self._read() if self.procedure else []
        self._table = side_by_side(self._jobs, show_date, self.bench.settings.units)
        super().prepare(cells)

    def _read(self) -> list[JobSummary]:
        try:
            return earlier(self.bench, self.procedure)
        except (Refused, JournalError) as error:
            self.said = (str(error), "caution")
            return []

    @property
    def column(self) -> int:
        """The marked job's column."""
        last = len(self._table.columns) - 1
        return last if self.job_at is None else max(0, min(last, self.job_at))

    def title_line(self) -> tuple[str, str]:
        """Whose jobs, and how many there are."""
        n = known_procedures(self.bench).get(self.procedure, 0)
        right = f"{n} {'job' if n == 1 else 'jobs'} ended"
        if n > LAST:
            right += f", the last {LAST} shown"
        return f"Past jobs: {self.procedure or 'none yet'}", right if self.procedure else ""

    def items(self, cells: int) -> Sequence[Item]:
        """The table, or why there is none."""
        if not self._table.columns:
            text = NOTHING.format(name=self.procedure) if self.procedure else NO_JOBS
            return [Item(tuple(paragraph(text, cells)))]
        out = table_items(self._table, self.column, cells)
        out.append(Item(((), line(Span("All finished pieces side by side …", "key"))), FAMILY))
        if len(self._table.columns) > 1:
            out.append(Item((line(Span("Two ways compared …", "key")),), COMPARE))
        else:
            out.append(Item(((), *paragraph(ONE, cells, role="dim"))))
        return out

    def detail(self, cells: int) -> Sequence[Line]:
        """Where the pieces landed, and what the next plan takes from these jobs."""
        rows = 14 if self.is_wide else max(4, self.most_detail(self.size.height) - 3)
        out = landing_lines(self._jobs, self.bench.settings.units, cells, rows)
        if self.procedure and self._jobs and self.is_wide:
            held = in_use(self.bench, self.procedure)
            out += [()] if held else []
            for value in held:
                out += paragraph(f"The next plan uses what these taught: {value.said}.", cells, 3)
            if untaught := not_taught(self.bench, self.procedure):
                out += [(), *paragraph(untaught, cells, 9, "dim")]
        return out

    # Doing -----------------------------------------------------------------------------------

    def take(self, what: object) -> None:
        """A row's numbers over all jobs, as a chart."""
        if what == COMPARE:
            self._compare()
        elif what == FAMILY:
            self._family()
        else:
            self._chart()

    def _family(self) -> None:
        from benchmate.bench.papers.making import PapersAsked, sheet_of
        from benchmate.tui.pages.paper import PaperPage

        self.app.push_screen(PaperPage(sheet_of(self.bench, "", "family", PapersAsked())))

    def action_job(self, by: int) -> None:
        """Another column."""
        if self._table.columns:
            self.job_at = max(0, min(len(self._table.columns) - 1, self.column + by))
            self.look()

    def action_another(self) -> None:
        """Another like the marked job."""
        if not self._table.columns:
            self.say("No job here yet to make another of.")
            return
        from benchmate.tui.bench.job_end import ask_another

        ask_another(self, self.bench, self._table.columns[self.column], self.say)

    def _compare(self) -> None:
        """Where these jobs were done in different ways."""
        from benchmate.tui.pages.looking_back.two_ways import TwoWays

        if not self._table.columns:
            self.say("No job here yet to compare.")
            return
        self.app.push_screen(TwoWays(self.procedure))

    def _chart(self) -> None:
        """Behind this door: control charts."""
        from benchmate.tui.pages.looking_back.chart import ChartScreen

        row = self.marked
        of = str(row[2]) if isinstance(row, tuple) and len(row) == 3 else ""
        if of == "hands":
            self.say(
                "Hands-on times aren't charted: too much else goes on in a shop. Weights, "
                "gains, packing and what stays in the cup are."
            )
            return
        self.app.push_screen(ChartScreen(self.procedure, of if of in KINDS else "weights"))

    def action_procedure(self) -> None:
        """Pick another procedure that has ended jobs."""
        known = known_procedures(self.bench)
        if not known:
            self.say("No job has ended yet.")
            return
        names = list(known)

        def picked(n: int | None) -> None:
            if n is not None:
                self.procedure, self.job_at, self.at = names[n], None, 0
            self.look()

        rows = [f"{name}, {n} {'job' if n == 1 else 'jobs'}" for name, n in known.items()]
        self.app.push_screen(Choose("Past jobs of which procedure?", rows), picked)
