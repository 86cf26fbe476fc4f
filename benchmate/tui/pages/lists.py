"""What to cut, to make first, to buy and to have to hand, of a plan: a page to be read."""

from __future__ import annotations

from collections.abc import Sequence

from benchmate.bench.starting.listing import lists_of
from benchmate.plan.plan import Plan
from benchmate.refusal import Refused
from benchmate.tui.pages.frames.read_page import ReadPage
from benchmate.tui.present.lines import Line, Role
from benchmate.tui.present.listing import paragraph


class ListsPage(ReadPage):
    """Both lists of one plan, before the job is started or while it runs."""

    def __init__(self, plan: Plan) -> None:
        super().__init__()
        self.plan = plan
        self._rows: list[str] | None = None

    def title_line(self) -> tuple[str, str]:
        """What is listed, and how it is printed."""
        return f"Lists: {self.plan.title}", "benchmate papers prints them"

    def text(self, cells: int) -> Sequence[Line]:
        """The cutting list, then the buying list; heads stand out."""
        units = self.bench.settings.units
        out: list[Line] = []
        try:
            # Reckoned once: scrolling only reads on.
            if self._rows is None:
                self._rows = lists_of(self.bench, self.plan, units)
        except Refused as refusal:
            return paragraph(str(refusal), cells, 4, "caution")
        for row in self._rows:
            indent = len(row) - len(row.lstrip())
            role: Role = "plain" if indent else "strong"
            out += paragraph(row.strip(), cells, 4, role, " " * (indent + 1))
        return out
