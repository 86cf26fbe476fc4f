"""The day sheet: what to do when, what runs by itself, and when each job is done.

The planner looks for better sheets in a process of its own while one looks; it is ended with the
page. Nothing is the day sheet before it is adopted.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import ClassVar

from benchmate.bench.planning.asking import Asking, best_of
from benchmate.bench.planning.planning import adopt, kept_text, late_text
from benchmate.bench.planning.question import Question, question_of
from benchmate.bench.planning.saying import aims_text, no_plan_text
from benchmate.bench.planning.sheet import Sheet, adopted_sheet, sheet_of
from benchmate.bench.planning.times import span_ahead, time_ahead
from benchmate.clock import steady_s
from benchmate.job.deciding.streams import commands as cmd
from benchmate.job.events.of_shop import OtherHours
from benchmate.localtime import next_at, show_when
from benchmate.planner.wire import Answer
from benchmate.refusal import Refused
from benchmate.tui.pages.frames.list_page import ListPage
from benchmate.tui.present.lines import Line, Span, line
from benchmate.tui.present.listing import Item, Keys, paragraph
from benchmate.tui.present.pages.days import (
    Picked,
    columns_in,
    compared_lines,
    day_items,
    ends_text,
    side_by_side,
)
from benchmate.tui.prompts.ask import Ask
from benchmate.tui.prompts.choose import Choose

LOOKS_S, COMPARES_S, LAYS_S = 30.0, 3.0, 1.0
ADOPT, ANEW, AWAY, VISIT = "adopt", "anew", "away", "visit"
CHOICES = ("Pin it to this time", "Another time …", "Whenever it fits", "Or a day later? Compare …")


class DaysScreen(ListPage):
    """Enter on a step pins, moves or compares it; the first rows adopt, block and add visits."""

    KEYS: ClassVar[Keys] = (("↑ ↓", "read"), ("enter", "pin, move, adopt"), ("esc", "back"))

    def __init__(self) -> None:
        super().__init__()
        self.sheet: Sheet | None = None
        self.is_adopted = False
        self._question: Question | None = None
        self._asking: Asking | None = None
        self._answers: list[Answer] = []
        self._heard: Callable[[Question, list[Answer]], None] = self._planned
        self._unheard, self._laid_at = False, 0.0
        self._days: list[list[Item]] = []
        self._laid: tuple[Sheet | None, int] = (None, 0)
        """Which sheet the days are of, and for how many cells."""

    # Planning -------------------------------------------------------------------------------

    def on_mount(self) -> None:
        """Show the adopted sheet where it still holds, else plan."""
        self.set_interval(0.25, self._listen)
        self.sheet = adopted_sheet(self.bench)
        self.is_adopted = self.sheet is not None
        if self.sheet is None or late_text(self.bench):
            self.plan()

    def on_unmount(self) -> None:
        """The planner ends with the page."""
        self._stop()

    def plan(self) -> None:
        """Look for a sheet from now on; an adopted one is kept as far as can be."""
        try:
            question = question_of(self.bench)
        except Refused as refusal:
            self.say(str(refusal))
            return
        old = self.bench.shop.dates.dates if self.bench.shop.dates else {}
        self._ask_planner(question, LOOKS_S, self._planned, old)

    def _ask_planner(
        self,
        question: Question,
        seconds: float,
        heard: Callable[[Question, list[Answer]], None],
        old: dict[str, float] | None = None,
    ) -> None:
        self._stop()
        self._question, self._answers, self._heard = question, [], heard
        self._asking = Asking(question.request(seconds, old))

    def _stop(self) -> None:
        if self._asking is not None:
            self._asking.stop()
            self._asking = None

    def _listen(self) -> None:
        if self._asking is None or self._question is None:
            return
        fresh = self._asking.take()
        trouble = self._asking.trouble if self._asking.is_over else ""
        is_over = self._asking.is_over
        if is_over:
            self._asking = None
        self._answers += fresh
        self._unheard |= bool(fresh)
        if trouble:
            self.say(f"The planner stopped: {trouble}", "alarm")
        elif is_over or (self._unheard and (self.sheet is None or self._is_time_to_lay())):
            self._unheard = False
            self._heard(self._question, self._answers)

    def _is_time_to_lay(self) -> bool:
        """Better plans may come many a second, and laying a full shop's out holds up the keys."""
        due, now = self._laid_at + LAYS_S, steady_s()
        self._laid_at = now if now >= due else self._laid_at
        return now >= due

    def _planned(self, question: Question, answers: list[Answer]) -> None:
        told = best_of(answers)
        if told is None or not told.steps:
            self.say(f"{no_plan_text(told)} `benchmate days` says why.")
            return
        self.sheet, self.is_adopted = sheet_of(self.bench, question, told), False
        self.look()

    # Showing --------------------------------------------------------------------------------

    def title_line(self) -> tuple[str, str]:
        """Whether this is the day sheet, and whether a better one is looked for."""
        state = "adopted" if self.is_adopted else "not adopted yet"
        looking = "looking for better …" if self._asking is not None else ""
        return "Day sheet", f"{state}  {looking}".strip() if self.sheet else looking

    def items(self, cells: int) -> Sequence[Item]:
        """What can be done with the sheet, then its days."""
        many = columns_in(cells + 3)
        now = self.bench.now().wall_s
        room = (cells + 3) // many - 3 if many > 1 else cells
        sheet, of_cells = self._laid
        if sheet is not self.sheet or of_cells != room:
            # A full shop's fortnight takes a while to lay out, and arrows don't change it.
            self._days = day_items(self.sheet, now, room) if self.sheet is not None else []
            self._laid = self.sheet, room
        return [*self._head(cells, now), *(item for day in self._days for item in day)]

    def _head(self, cells: int, now: float) -> list[Item]:
        rows = [("plan anew", ANEW), ("nobody in the shop …", AWAY), ("one visit more …", VISIT)]
        if self.sheet is not None and not self.is_adopted:
            rows.insert(0, ("adopt this sheet", ADOPT))
        head = [Item((line(" ", Span(text, "key")),), what) for text, what in rows]
        if self.sheet is None:
            return [*head, Item(tuple(paragraph("Planning …", cells, role="dim")))]
        told = self.sheet.told
        words = [late_text(self.bench)] if self.is_adopted else [kept_text(self.bench, self.sheet)]
        if told is not None and self._question is not None:
            words += aims_text(self._question, told)
        texts = [ends_text(self.sheet, now), " ".join(filter(None, words))]
        lines = [r for t in texts if t for r in paragraph(t, cells, 3, "dim")]
        return [*head, Item((*lines, ()))]

    def body(self, cells: int, rows: int) -> Sequence[Line]:
        """Days side by side where there is room."""
        many = columns_in(cells)
        if many == 1:
            return super().body(cells, rows)
        if cells != self._cells:
            self.prepare(cells)
        days = sum(map(len, self._days))
        head = [*self._items[: len(self._items) - days]]
        top, _ = side_by_side([head], self.marked, cells, 1)
        lines, at = side_by_side(self._days, self.marked, cells, many) if days else ([], 0)
        room = max(1, rows - len(top))
        self._rows = rows
        self._top = max(0, min(self._top, at, len(lines) - room), at - room + 4)
        return [*top, *lines[self._top : self._top + room]]

    # Doing ----------------------------------------------------------------------------------

    def take(self, what: object) -> None:
        """Adopt, plan anew, change hours, or ask what a step wants."""
        match what:
            case "adopt":
                self._adopt()
            case "anew":
                self.plan()
                self.look()
            case "away":
                self._ask_hours("When is nobody in the shop? (Fri, Fri 18:00-21:30)", opens=False)
            case "visit":
                self._ask_hours("Which visit more? (Sun 9:00-12:00)", opens=True)
            case Picked():
                self.app.push_screen(
                    Choose("What about this step?", CHOICES), lambda n: self._chosen(what, n)
                )
            case _:
                pass

    def _adopt(self) -> None:
        if self.sheet is None:
            return
        self._stop()
        try:
            said = adopt(self.bench, self.sheet)
        except Refused as refusal:
            self.say(str(refusal))
            return
        self.sheet, self.is_adopted = adopted_sheet(self.bench), True
        self.say(said)

    def _ask_hours(self, question: str, *, opens: bool) -> None:
        def submit(text: str) -> str:
            begins, ends = span_ahead(text, self.bench.now().wall_s)
            hours = OtherHours(begins=begins, ends=ends, opens=opens)
            self.bench.settle(cmd.ChangeHours(hours=hours))
            self.plan()
            return "Planning anew." if opens else "Nobody in the shop then. Planning anew."

        self.ask(Ask(question, submit))

    def _chosen(self, picked: Picked, n: int | None) -> None:
        match n:
            case 0:
                self._pin(picked.address, picked.begins)
            case 1:
                self.ask(Ask("When? (Sat 10:00, tomorrow 18:30)", lambda t: self._at(picked, t)))
            case 2:
                self._pin(picked.address, None)
            case 3:
                self._compare(picked)
            case _:
                self.look()

    def _at(self, picked: Picked, text: str) -> str:
        at = time_ahead(text, self.bench.now().wall_s)
        self.bench.settle(cmd.PinStep(step=picked.address, at=at))
        self.plan()
        return f"Wanted {show_when(at, self.bench.now().wall_s)}. Planning anew."

    def _pin(self, address: str, at: float | None) -> None:
        try:
            self.bench.settle(cmd.PinStep(step=address, at=at))
        except Refused as refusal:
            self.say(str(refusal))
            return
        self.plan()
        self.say("Pinned. Planning anew." if at else "Whenever it fits. Planning anew.")

    def _compare(self, picked: Picked) -> None:
        """The same step a day later, planned beside this sheet."""
        before = self.sheet
        later = next_at(picked.begins, 1, 0, 0)

        def heard(question: Question, answers: list[Answer]) -> None:
            told = best_of(answers)
            if self._asking is not None or before is None or told is None or not told.steps:
                return
            other = sheet_of(self.bench, question, told)
            at = next((r.begins for r in other.rows if r.address == picked.address), later)
            body = compared_lines(before, other, self.bench.now().wall_s, ("now", "later"))
            self.app.push_screen(
                Choose("Which?", ("As it was", "A day later"), body=body),
                lambda n: self._pin(picked.address, at) if n == 1 else self.look(),
            )

        self._ask_planner(question_of(self.bench, after={picked.address: later}), COMPARES_S, heard)
        self.say("Planning it a day later …")
