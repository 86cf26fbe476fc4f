"""Two ways of doing a thing compared over the ended jobs of a procedure, or "too few to say"."""

from __future__ import annotations

from collections.abc import Sequence

from benchmate.bench.errors import JournalError
from benchmate.bench.history.comparing import compare_ways, what_differs
from benchmate.refusal import Refused
from benchmate.tui.pages.frames.read_page import ReadPage
from benchmate.tui.present.lines import Line, Role, Span, line
from benchmate.tui.present.listing import paragraph

ALIKE = (
    "These jobs were all done in the same way: the same parameters, the same materials. Once two "
    "ways have been tried, three times each, they are compared here."
)
ONE_IN_TWENTY = "Each is said with 95 % confidence: of twenty such sentences one is chance."


class TwoWays(ReadPage):
    """Everything in which a procedure's jobs differ, with what can be said of each result."""

    def __init__(self, procedure: str) -> None:
        super().__init__()
        self.procedure = procedure

    def title_line(self) -> tuple[str, str]:
        return f"Two ways of doing it: {self.procedure}", ""

    def text(self, cells: int) -> Sequence[Line]:
        """A heading for each thing that differs, and a sentence for each result."""
        try:
            names = what_differs(self.bench, self.procedure)
            found = [row for name in names for row in self._of(name, cells)]
        except (Refused, JournalError) as error:
            return paragraph(str(error), cells)
        if not found:
            return paragraph(ALIKE, cells)
        return [*found, *paragraph(ONE_IN_TWENTY, cells, role="dim")]

    def _of(self, name: str, cells: int) -> list[Line]:
        out: list[Line] = [line(" ", Span(name, "strong"))]
        results = compare_ways(self.bench, self.procedure, name)
        for one in results:
            said = one.found.sentence
            role: Role = "dim" if one.found.outcome.value == "too few to say" else "plain"
            out += paragraph(f"{one.of}: {said}", cells, 4, role, lead="   ")
        if not results:
            out += paragraph("Nothing was weighed of both ways yet.", cells, role="dim", lead="   ")
        return [*out, ()]
