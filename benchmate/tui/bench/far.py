"""The big view: three lines that fill the screen. The same keys work as on the bench."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.events import Resize

from benchmate.job.windows.agenda import Agenda
from benchmate.tui.bench.work_screen import WorkScreen
from benchmate.tui.present.bench.far import Far, far_lines, far_of_act, far_of_nothing
from benchmate.tui.present.bench.keys import far_keys, locked_keys
from benchmate.tui.present.lines import Line, Role, Span, line, wrap
from benchmate.tui.widgets.lines import Lines


class FarScreen(WorkScreen):
    """To be read from across the shop."""

    is_far = True

    def compose(self) -> ComposeResult:
        """One block for everything."""
        yield Lines(id="banner")
        yield Lines(id="far")

    def on_mount(self) -> None:
        """From here on questions are asked in large letters too."""
        self.desk.hand.far = True

    def on_unmount(self) -> None:
        self.desk.hand.far = False

    def on_resize(self, event: Resize) -> None:
        """Lay the lines out for the new size."""
        self.call_after_refresh(self.look)

    def look(self) -> None:
        """Work out everything anew and repaint what changed."""
        cells, height = self.size.width, self.size.height
        if cells < 2 or height < 2 or not self.is_mounted:
            return
        now = self.desk.bench.now()
        now_s = self.desk.bench.now_s(now)
        found = self.desk.bench.agenda(now)
        self.desk.hand.show(self.picking.chosen(found), now_s)
        banner = [] if self._view(found).whole else self.reminding.banner(cells, height)
        low = self._low(cells, now_s)
        rows = max(1, height - len(banner) - len(low))
        self._show("banner", banner)
        self._show("far", [*far_lines(self._view(found), cells, rows), *low])

    def _view(self, found: Agenda) -> Far:
        act, shop = self.desk.shown, self.desk.bench.shop
        if act is None:
            return far_of_nothing(found, shop.live, self.desk.clock)
        return far_of_act(shop.jobs[act.job], act, self.desk.bench.settings.units, self.desk.clock)

    def _low(self, cells: int, now_s: float) -> list[Line]:
        """The last sentence, or the keys."""
        text = self.desk.hand.sentence(now_s)
        if text:
            role: Role = "alarm" if self.desk.hand.alarm else "key"
            return [line(" ", Span(r, role)) for r in wrap(text, cells - 2, 2)]
        glove = self.host.glove_key
        if self.desk.hand.locked:
            return [locked_keys(glove, cells)]
        return [far_keys(self.desk.shown, glove, cells)]

    def _show(self, name: str, lines: list[Line]) -> None:
        block = self.query_one(f"#{name}", Lines)
        block.display = bool(lines)
        if block.styles.height is None or block.styles.height.value != len(lines):
            block.styles.height = len(lines)
        block.show(lines)
