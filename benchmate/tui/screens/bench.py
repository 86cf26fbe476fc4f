"""The main screen: the next act, the piece, every live window, the last weighings, later acts."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal
from textual.events import Resize

from benchmate.bench.sayings import clock_of
from benchmate.job.agenda import Act, Agenda
from benchmate.job.drift import to_see
from benchmate.journal import JournalError
from benchmate.tui.acting import Acting
from benchmate.tui.present.foot import later, weighed
from benchmate.tui.present.head import head
from benchmate.tui.present.lines import Line, Span, line, rule
from benchmate.tui.present.nextact import keys, next_act, nothing
from benchmate.tui.present.piece import WIDTH, picture
from benchmate.tui.present.timeline import rows
from benchmate.tui.widgets.lines import Lines


class BenchScreen(Acting):
    """Near: at the keyboard."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("space", "glove", "do it", id="glove", tooltip="Do the next act as shown"),
        Binding("backspace", "take_back", "take it back", id="takeback"),
        Binding("w", "weigh", "weigh", id="weigh"),
        Binding("n", "note", "note", id="note"),
        Binding("x", "skip", "skip", id="skip"),
        Binding("e", "earlier", "done earlier", id="earlier"),
        Binding("a", "air", "air", id="air"),
        Binding("t", "wish", "next time …", id="wish"),
        *[Binding(str(n), f"pick({n})", "other piece", show=False) for n in range(1, 10)],
    ]

    def __init__(self) -> None:
        super().__init__()
        self.said: Line = ()

    def compose(self) -> ComposeResult:
        """The blocks, top to bottom."""
        yield Lines(id="head")
        with Horizontal(id="hand"):
            yield Lines(id="act")
            yield Lines(id="piece")
        yield Lines(id="said")
        yield Lines(id="keys")
        yield Lines(id="timeline")
        yield Lines(id="foot")

    def on_mount(self) -> None:
        """Look once a second; everything shown is worked out from the state and now."""
        self.set_interval(1.0, self.tick)

    def on_resize(self, event: Resize) -> None:
        """Lay the lines out for the new size."""
        self.call_after_refresh(self.look)

    def tick(self) -> None:
        """Take in other processes' events, mind the clock, look again."""
        try:
            self.bench.refresh()
            note = self.bench.mind_clock()
        except JournalError as error:
            note = str(error)
        if note:
            self.say(note)
        self.look()

    def say(self, text: str, *, alarm: bool = False) -> None:
        """One sentence above the keys, until the next."""
        self.said = line(" ", Span(text, "alarm" if alarm else "caution")) if text else ()
        self.look()

    # Looking ---------------------------------------------------------------------------------

    def look(self) -> None:
        """Work out everything anew and repaint what changed."""
        cells, height = self.size.width, self.size.height
        if cells < 2 or height < 2:
            return
        bench, now = self.bench, self.bench.now()
        found = bench.agenda(now)
        self.shown = self._chosen(found)
        unseen = sum(
            len(to_see(j, bench.shop.around, bench.now_s(now), bench.shop.rules))
            for j in bench.shop.live
        )
        pace = getattr(self.app, "pace", 1.0)
        self._show("head", [head(bench.shop, now, bench.settings.units, unseen, cells, pace),
                            rule(cells)])  # fmt: skip
        self._show_hand(found, cells, height)
        self._show("said", [self.said] if self.said else [])
        self._show("keys", [keys(self.shown, bench.settings.glove_key), rule(cells)])
        foot = self._foot(found, cells, height)
        room = height - 2 - self._hand_rows(height) - (1 if self.said else 0) - 2 - len(foot)
        self._show("timeline", rows(found.windows, clock_of(bench), cells, max(0, room)))
        self._show("foot", foot)

    def _chosen(self, found: Agenda) -> Act | None:
        if self.picked is not None:
            act = found.of_piece(*self.picked)
            if act is not None and not (found.next and found.next.kind == "answer"):
                return act
            self.picked = None
        return found.next

    def _hand_rows(self, height: int) -> int:
        return max(2, min(6, height - 12)) if height < 30 else 8

    def _show_hand(self, found: Agenda, cells: int, height: int) -> None:
        bench, act, rows_ = self.bench, self.shown, self._hand_rows(height)
        job = bench.shop.jobs.get(act.job) if act else None
        drawn = picture(job, act.piece, rows_) if job and act else []
        room = cells - (WIDTH if drawn else 0)
        clock = clock_of(bench)
        if act is None or job is None:
            lines = nothing(found, bool(bench.shop.live), clock, room)
        else:
            lines = next_act(job, act, bench.settings.units, clock, room, rows_)
        self.query_one("#piece").display = bool(drawn)
        self._show("act", [*lines, *[()] * (rows_ - len(lines))][:rows_])
        self._show("piece", drawn)

    def _foot(self, found: Agenda, cells: int, height: int) -> list[Line]:
        if height < 16:
            return []
        shop = self.bench.shop
        most = 2 if height < 30 else 5
        lines = [rule(cells)]
        lines += weighed(shop.live, shop.rules, self.bench.settings.units, cells, most)
        lines.append(later(dict(shop.jobs), found.later, clock_of(self.bench), cells))
        return lines

    def _show(self, name: str, lines: list[Line]) -> None:
        block = self.query_one(f"#{name}", Lines)
        if block.styles.height is None or block.styles.height.value != len(lines):
            block.styles.height = len(lines)
        block.show(lines)
