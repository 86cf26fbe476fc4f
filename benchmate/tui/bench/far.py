"""The big view: three lines that fill the screen. The same keys work as on the bench."""

from __future__ import annotations

from textual.app import ComposeResult

from benchmate.bench.big_view import BigView, big_view
from benchmate.job.windows.agenda import Agenda
from benchmate.tui.bench.work_screen import WorkScreen
from benchmate.tui.present.bench.far import far_lines
from benchmate.tui.present.bench.keys import far_keys, locked_keys
from benchmate.tui.present.lines import Line
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

    def look(self) -> None:
        """Work out everything anew and repaint what changed."""
        seen = self.glance()
        if seen is None:
            return
        (cells, height), view = self.size, self._view(seen.agenda)
        banner = [] if view.missed else self.reminding.banner(cells, height)
        low = self._low(cells, seen.now_s)
        rows = max(1, height - len(banner) - len(low))
        self.show("banner", banner)
        self.show("far", [*far_lines(view, seen.now_s, cells, rows), *low])

    def _view(self, found: Agenda) -> BigView:
        bench, act = self.desk.bench, self.desk.shown
        return big_view(found, act, bench.shop.live, bench.settings.units, self.desk.clock)

    def _low(self, cells: int, now_s: float) -> list[Line]:
        """The last sentence, or the keys."""
        if sentence := self.said_rows(cells, now_s):
            return sentence
        glove = self.host.glove_key
        if self.desk.hand.locked:
            return [locked_keys(glove, cells)]
        return [far_keys(self.desk.shown, glove, cells)]
