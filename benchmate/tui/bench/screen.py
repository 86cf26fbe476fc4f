"""The main screen: the step, the piece, every running clock, the last weighings, what is next."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import Horizontal

from benchmate.bench.short import short_act
from benchmate.job.windows.agenda import Agenda
from benchmate.moment import Moment
from benchmate.plan.plan import Fill
from benchmate.tui.bench.work_screen import WorkScreen
from benchmate.tui.present.bench.footing import Footing, Landing
from benchmate.tui.present.bench.head import head
from benchmate.tui.present.bench.keys import keys, locked_keys
from benchmate.tui.present.bench.layout import COURSE, COURSE_FROM, Rooms, rooms
from benchmate.tui.present.bench.nextact import idle, next_act, nothing
from benchmate.tui.present.bench.timeline import rows
from benchmate.tui.present.bench.weights.course import course_lines
from benchmate.tui.present.bench.weights.judging import Judge, unjudged
from benchmate.tui.present.bench.weights.levels import fill_of, levels, outline_of
from benchmate.tui.present.bench.weights.piece import BROAD, NARROW, picture
from benchmate.tui.present.bench.weights.pieces import digits, piece_list, pieces
from benchmate.tui.present.lines import Line, Span, beside, line, rule
from benchmate.tui.widgets.lines import Lines

SOON_S = 0.3
"""So long after the first picture come verdicts and headings."""
PICTURED = 50
"""Cells from which on there is room for the piece beside the step."""


class BenchScreen(WorkScreen):
    """Near: at the keyboard."""

    def compose(self) -> ComposeResult:
        """The blocks, top to bottom."""
        yield Lines(id="banner")
        yield Lines(id="head")
        with Horizontal(id="hand"):
            yield Lines(id="act")
            yield Lines(id="piece")
        yield Lines(id="keys")
        yield Lines(id="timeline")
        yield Lines(id="foot")

    _whole = False
    """Whether verdicts and headings are shown: the first picture doesn't wait for them."""

    @property
    def judge(self) -> Judge:
        """Says a weighing's verdict."""
        return self.host.thoughts.judge if self._whole else unjudged

    def on_mount(self) -> None:
        """Where nobody waits for the first picture, show everything at once."""
        self._whole = self.app.is_headless

    def look_whole_soon(self) -> None:
        """The first picture stands: what takes reckoning follows a moment later."""
        self.set_timer(SOON_S, self._look_whole)

    def _look_whole(self) -> None:
        self._whole = True
        self.look()

    # Looking ---------------------------------------------------------------------------------

    def look(self) -> None:
        """Work out everything anew and repaint what changed."""
        seen = self.glance()
        if seen is None:
            return
        (cells, height), found = self.size, seen.agenda
        banner = self.reminding.banner(cells, height)
        fill = self._fill() if cells >= PICTURED else None
        room = rooms(cells, height, len(found.windows), len(banner), drawn=fill is not None)
        self.show("banner", banner)
        self._show_head(seen.now, room, cells)
        self._show_hand(found, room, cells, seen.now_s)
        self._show_keys(room, cells)
        self.show("timeline", self._timeline(found, room, cells))
        self.show("foot", self._foot(found, room, cells))

    def _show_head(self, now: Moment, room: Rooms, cells: int) -> None:
        if not room.head:
            self.show("head", [])
            return
        bench = self.desk.bench
        unseen = (
            sum(len(self.host.thoughts.to_see(j)) for j in bench.shop.live) if self._whole else 0
        )
        signs = self.host.signs
        top = head(bench.shop, now, bench.settings.units, unseen, cells, self.desk.hand.pace, signs)
        self.show("head", [top, rule(cells)] if room.ruled else [top])

    def _show_hand(self, found: Agenda, room: Rooms, cells: int, now_s: float) -> None:
        bench, act, high = self.desk.bench, self.desk.shown, room.hand
        job = bench.shop.jobs.get(act.job) if act else None
        drawn = self._picture(room, cells)
        course = self._course(room, cells) if drawn else []
        free = cells - (_picture_cells(room) if drawn else 0) - (COURSE if course else 0)
        said = self.said_rows(free, now_s)[: high - 1]
        most = high - len(said)
        picked = self._picked(found, free, most) if act is None else []
        if picked:
            lines = picked
        elif act is None or job is None:
            lines = nothing(found, bench.shop.live, self.desk.clock, free, most)
        else:
            more = self.host.cautions.of(act) if self._whole else ()
            lines = next_act(
                job,
                act,
                bench.settings.units,
                self.desk.clock,
                free,
                most,
                full=room.wide,
                more=more,
            )
        lines += self._others(found, len(lines), room, most, free)
        lines = [*lines, *[()] * (most - len(lines))][:most] + said
        self.query_one("#piece").styles.width = _picture_cells(room)
        self.show("act", beside(lines, course, free, cells) if course else lines)
        self.show("piece", drawn, high if drawn else 0)

    def _picked(self, found: Agenda, cells: int, most: int) -> list[Line]:
        """A piece that was picked and needs no hands now."""
        shop, (name, piece) = self.desk.bench.shop, self.desk.hand.picked or ("", "")
        job = shop.jobs.get(name)
        if job is None:
            return []
        labels = (p.label for p in pieces(shop.live) if (p.job, p.name) == (name, piece))
        first = short_act(shop.jobs[found.next.job], found.next) if found.next else ""
        waits = self.picking.waits(found, job, piece)
        return idle(job, next(labels, job.title), waits, first, cells, most)

    def _course(self, room: Rooms, cells: int) -> list[Line]:
        """The weight of the piece from blank to finish, where there is room to draw it."""
        act = self.desk.shown
        job = self.desk.bench.shop.jobs.get(act.job) if act is not None else None
        if act is None or job is None or not room.wide or cells < COURSE_FROM or not self._whole:
            return []
        plot, units = self.host.thoughts.course(job, act.piece), self.desk.bench.settings.units
        return course_lines(plot, COURSE - 2, room.hand, units) if plot else []

    def _others(self, found: Agenda, used: int, room: Rooms, most: int, cells: int) -> list[Line]:
        """The pieces on their digits, in the last rows, where there is room for them."""
        every = pieces(self.desk.bench.shop.live)
        spare = most - used - 1
        if spare < 1 or len(every) < 2:
            return []
        act = self.desk.shown
        mine = (act.job, act.piece) if act else self.desk.hand.picked or ("", "")
        if room.wide:
            rows_ = piece_list(every, found, self.desk.bench.shop.jobs, mine, cells, spare)
        else:
            rows_ = [digits(every, *mine, cells)]
        return [*[()] * (most - used - len(rows_)), *rows_]

    def _fill(self) -> Fill | None:
        act, shop = self.desk.shown, self.desk.bench.shop
        job = shop.jobs.get(act.job) if act is not None else None
        if job is None or act is None:
            return None
        return fill_of(job, act.piece, act.step.where if act.step else "")

    def _picture(self, room: Rooms, cells: int) -> list[Line]:
        act, shop, fill = self.desk.shown, self.desk.bench.shop, self._fill()
        if act is None or fill is None or cells < PICTURED:
            return []
        job = shop.jobs[act.job]
        found = levels(job, fill, self.desk.bench.settings.units, self.judge)
        return picture(found, outline_of(job, fill), room.hand, broad=room.wide)

    def _show_keys(self, room: Rooms, cells: int) -> None:
        glove = self.host.glove_key
        made = (
            locked_keys(glove, cells)
            if self.desk.hand.locked
            else keys(self.desk.shown, glove, cells)
        )
        self.show("keys", ([made, rule(cells)] if room.ruled else [made])[: 2 * room.keys])

    def _timeline(self, found: Agenda, room: Rooms, cells: int) -> list[Line]:
        made = rows(found.windows, self.desk.clock, cells, room.timeline)
        made = made or [line(Span(" no clock is running", "dim"))][: room.timeline]
        return [*made, *[()] * (room.timeline - len(made)), *([rule(cells)] if room.foot else [])]

    def _foot(self, found: Agenda, room: Rooms, cells: int) -> list[Line]:
        if not room.foot:
            return []
        shop, units = self.desk.bench.shop, self.desk.bench.settings.units
        landing = self._landing()
        foot = Footing(shop, units, self.desk.clock, found, self.desk.shown, self.judge, landing)
        return foot.lines(room, cells)

    def _landing(self) -> Landing:
        act, think = self.desk.shown, self.host.thoughts
        job = self.desk.bench.shop.jobs.get(act.job) if act is not None else None
        if act is None or job is None or job.plan is None or not self._whole:
            return Landing()
        return Landing(think.all_will_weigh(job), think.offer(job), think.last_chances(job))


def _picture_cells(room: Rooms) -> int:
    return BROAD if room.wide else NARROW
