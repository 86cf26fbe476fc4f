"""What the bench and its big view share: the same keys, each handed to the group it belongs to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.events import Resize
from textual.screen import Screen

from benchmate.job.windows.agenda import Agenda
from benchmate.moment import Moment
from benchmate.tui.bench.acting import Acting
from benchmate.tui.bench.asking import Asking
from benchmate.tui.bench.desk import Desk
from benchmate.tui.bench.keeping import Keeping
from benchmate.tui.bench.picking import Picking
from benchmate.tui.bench.reminding import Reminding
from benchmate.tui.bench.whole_job import WholeJob
from benchmate.tui.host import Host, host
from benchmate.tui.keys.table import ASK_FIRST, PLACES, STEP, binding, digits
from benchmate.tui.present.lines import Line, Role, Span, line, wrap
from benchmate.tui.widgets.lines import Lines

PAGES = {
    "start": "start",
    "card": "card",
    "days": "days",
    "shelf": "stores",
    "logbook": "logbook",
    "calc": "reckon",
    "past": "earlier",
    "evening": "end of day",
    "flags": "flags",
}
"""Keys that open a page, and its name in the app's SCREENS."""


@dataclass(frozen=True)
class Glance:
    """One look at the shop."""

    now: Moment
    now_s: float
    agenda: Agenda


class WorkScreen(Screen[None]):
    """The bench, near or far: a desk, and the groups of keys that work on it."""

    BINDINGS: ClassVar[list[BindingType]] = [
        *(
            Binding(
                key.keys,
                f"press('{key.name}')",
                key.caption,
                id="glove" if key.name == "glove" else f"key-{key.name}",
                tooltip=key.tip,
            )
            for key in (*STEP, *PLACES)
        ),
        *digits("pick", "Show what piece {n} needs"),
        Binding(
            "0", "pick(0)", "most urgent", id="digit-0", show=False, tooltip="The most urgent step"
        ),
        Binding(
            "tab",
            "pick_next(1)",
            "next piece",
            id="piece-next",
            show=False,
            tooltip="Show what the next piece needs: beyond the ninth, and round to the first",
        ),
        Binding(
            "shift+tab",
            "pick_next(-1)",
            "piece before",
            id="piece-before",
            show=False,
            tooltip="Show what the piece before needs",
        ),
        binding("back", "near", tip="From the big view back to the bench", show=False),
    ]
    is_far = False

    def __init__(self) -> None:
        super().__init__()
        self.desk = desk = Desk(self)
        self.picking, self.asking = Picking(desk), Asking(desk)
        self.acting = Acting(desk, self.asking)
        self.keeping, self.whole_job = Keeping(desk), WholeJob(desk)
        self.reminding = Reminding(desk, self)

    _covered = False

    def on_screen_suspend(self) -> None:
        """Another screen is above."""
        self._covered = True

    def on_screen_resume(self) -> None:
        """What was above may have changed what is shown here."""
        if self._covered:
            self.look()

    @property
    def host(self) -> Host:
        """The app."""
        return host(self)

    def on_resize(self, event: Resize) -> None:
        """Lay the lines out for the new size."""
        self.call_after_refresh(self.look)

    def look(self) -> None:
        raise NotImplementedError

    def glance(self) -> Glance | None:
        """What there is to do, and what of it is shown; None while there is nothing to paint on."""
        if self.size.width < 2 or self.size.height < 2 or not self.is_mounted:
            return None
        now = self.desk.bench.now()
        now_s, agenda = self.desk.bench.now_s(now), self.desk.bench.agenda(now)
        self.desk.hand.show(self.picking.chosen(agenda), now_s)
        return Glance(now, now_s, agenda)

    def said_rows(self, cells: int, now_s: float) -> list[Line]:
        """The last sentence, in two rows at most."""
        text = self.desk.hand.sentence(now_s)
        role: Role = "alarm" if self.desk.hand.alarm else "key"
        return [line(" ", Span(r, role)) for r in wrap(text, cells - 2, 2)] if text else []

    def show(self, name: str, lines: Sequence[Line], height: int | None = None) -> None:
        """Put lines into a block, which takes as many rows if not told otherwise."""
        block = self.query_one(f"#{name}", Lines)
        high = len(lines) if height is None else height
        block.display = high > 0
        if block.styles.height is None or block.styles.height.value != high:
            block.styles.height = high
        block.show(lines)

    def say(self, text: str, *, alarm: bool = False) -> None:
        """One sentence for the maker, until the next."""
        self.desk.say(text, alarm=alarm)

    def opens_question(self, key: str) -> bool:
        """Whether a key asks something before anything is recorded."""
        return self.acting.asks if key == self.host.glove_key else key in ASK_FIRST

    def fill_from_nowhere(self, text: str) -> None:
        """Something was typed or pasted all at once, and nothing had asked for it. A weight goes
        into the question that waits for one; the rest is said to be unused."""
        from benchmate.quantities import QuantityError, parse_reading

        act = self.asking.weight_due()
        typed = " ".join(text.split())
        if act is not None:
            try:
                parse_reading(typed)
            except QuantityError:
                pass
            else:
                self.asking.weight(act, typed)
                return
        short = typed if len(typed) <= 24 else f"{typed[:23]}…"
        what = f"“{short}” came all at once" if short else "Several keys came at once"
        self.say(f"{what}, and nothing had asked for it: not used.")

    # Keys ------------------------------------------------------------------------------------

    def action_press(self, name: str) -> None:
        """A key of the table, handed to its group."""
        match name:
            case "glove":
                self.acting.glove()
            case "undo":
                self.acting.undo()
            case "weigh":
                self.asking.weigh()
            case "note":
                self.keeping.note()
            case "skip":
                self.keeping.skip()
            case "time":
                self.keeping.time()
            case "ok":
                self.reminding.ok()
            case "later":
                self.reminding.later()
            case "job":
                self.whole_job.menu()
            case "cautions":
                self.keeping.cautions()
            case "air":
                self.asking.air()
            case "label":
                self.picking.find_label()
            case "big":
                self._big()
            case _:
                self.host.open(PAGES[name])

    def action_pick(self, n: int) -> None:
        """Show another piece, by its place among all pieces; 0 is the most urgent of all."""
        self.picking.pick(n)

    def action_pick_next(self, by: int) -> None:
        """The next piece in the order of the digits, round to the first."""
        self.picking.pick_next(by)

    def action_near(self) -> None:
        """From the big view back to the keyboard."""
        if self.is_far:
            self.desk.hand.far = False
            self.dismiss(None)

    def _big(self) -> None:
        """Show it so that it can be read from across the shop, or as before."""
        if self.is_far:
            self.action_near()
            return
        self.host.open("far")
