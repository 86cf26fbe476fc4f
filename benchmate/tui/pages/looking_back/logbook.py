"""The logbook: everything that was recorded, as a person reads it, newest at the bottom."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.binding import BindingType

from benchmate.bench.errors import JournalError
from benchmate.bench.history.logbook import Entry
from benchmate.bench.history.pages import count_of, page, stream_names, with_voids
from benchmate.job.deciding import commands as cmd
from benchmate.job.state.shop import JOB, PLACE
from benchmate.localtime import show_clock, show_stamp
from benchmate.refusal import Refused, RestsOn
from benchmate.tui.keys.table import binding
from benchmate.tui.pages.frames.page import AT_ONCE
from benchmate.tui.pages.looking_back.log_care import LogCare
from benchmate.tui.present.lines import Line
from benchmate.tui.present.listing import Item, Keys
from benchmate.tui.present.pages.log import entry_detail, log_items
from benchmate.tui.prompts.choose import Choose

WHOLE = "the whole logbook"


class LogbookScreen(LogCare):
    """Reads the newest entries, and older ones as one goes up; nothing is ever changed by it
    but by taking back, which is an entry of its own."""

    BINDINGS: ClassVar[list[BindingType]] = [
        binding("filter", "filter", tip="Only one job, place, the scales, the shelf … or all"),
        binding("undo", "take_back", tip="Undo the marked entry; what rests on it is asked about"),
    ]
    KEYS: ClassVar[Keys] = (
        ("↑ ↓ pgup home", "read"),
        ("/", "filter"),
        ("backspace", "undo"),
        ("enter", "check, back up, export"),
        ("esc", "back"),
        ("?", "keys"),
    )

    def __init__(self, stream: str = "") -> None:
        super().__init__()
        self.stream = stream
        self.entries: list[Entry] = []
        self.before = 0
        """How many older entries aren't read yet."""
        self._count = 0
        self._known: object = None
        self._made: Sequence[Item] = ()
        self._made_for: tuple[int, int] | None = None
        self._revision = 0

    def on_mount(self) -> None:
        """Read the newest entries."""
        self.reread()

    # Reading ---------------------------------------------------------------------------------

    def reread(self) -> None:
        """The newest page, with the mark on its last entry."""
        try:
            self._count = count_of(self.bench, self.stream)
            found = page(self.bench, self.stream, until=self._count)
        except (JournalError, ValueError) as error:
            self.say(str(error), "alarm")
            return
        self.entries, self.before = list(found.entries), found.before
        self._revision += 1
        self._known = self.bench.shop
        self._at_end()

    def _at_end(self) -> None:
        self._items = self.items(self.size.width)
        self.action_end(1)

    def older(self) -> bool:
        """Read one more page of older entries; whether there was one."""
        if not self.before:
            return False
        try:
            found = page(self.bench, self.stream, until=self.before)
        except (JournalError, ValueError) as error:
            self.say(str(error), "alarm")
            return False
        self.entries[:0] = found.entries
        self.before = found.before
        self._revision += 1
        was = self.marked
        self._items = self.items(self.size.width)
        self.at = next((i for i, item in enumerate(self._items) if item.what == was), 0)
        return True

    def tick(self) -> None:
        """Take in what has been recorded meanwhile; the mark stays with the newest if it was."""
        if self.bench.shop is self._known:
            return
        self._known = self.bench.shop
        try:
            count = count_of(self.bench, self.stream)
            fresh = page(self.bench, self.stream, until=count, size=max(0, count - self._count))
            entries = with_voids(self.bench, [*self.entries, *fresh.entries])
        except (JournalError, ValueError) as error:
            self.say(str(error), "alarm")
            return
        follows = self.marked == self._last
        self.entries, self._count = entries, count
        self._revision += 1
        if follows:
            self._at_end()
        self.look()

    @property
    def _last(self) -> object:
        newest = self.entries[-1] if self.entries else None
        return (newest.stream, newest.version) if newest else None

    def action_move(self, by: int) -> None:
        """Up from the first entry reads older ones."""
        if by < 0 and self.marked == self._first:
            self.older()
        super().action_move(by)

    def action_page(self, way: int) -> None:
        """The same by a screenful."""
        if way < 0 and self.at <= self._rows:
            self.older()
        super().action_page(way)

    def action_end(self, last: int) -> None:
        """To the newest; or to the oldest that is read, and then to older ones."""
        if not last and self.marked == self._first:
            self.older()
        super().action_end(last)

    def action_digit(self, n: int) -> None:
        """Digits mean nothing here."""

    @property
    def _first(self) -> object:
        return (self.entries[0].stream, self.entries[0].version) if self.entries else None

    # Showing ---------------------------------------------------------------------------------

    def title_line(self) -> tuple[str, str]:
        """Whose it is, and how much of it is read."""
        name = self.stream.removeprefix(JOB)
        return (
            f"Logbook: {name}" if name else "Logbook",
            f"{len(self.entries)} of {self._count} entries read",
        )

    def items(self, cells: int) -> Sequence[Item]:
        """The entries that are read; made anew only when there are others."""
        entries = self.entries
        key = (cells, self._revision)
        if key != self._made_for:
            self._made_for = key
            self._made = log_items(entries, show_clock, cells, one_stream=bool(self.stream))
        return self._made

    def detail(self, cells: int) -> Sequence[Line]:
        """The marked entry in full."""
        entry = self.entry
        return entry_detail(entry, show_stamp, cells) if entry else ()

    @property
    def entry(self) -> Entry | None:
        """The marked entry."""
        what = self.marked
        return next((e for e in self.entries if (e.stream, e.version) == what), None)

    # Doing -----------------------------------------------------------------------------------

    def action_filter(self) -> None:
        """Pick whose entries are shown."""
        try:
            names = ["", *stream_names(self.bench)]
        except JournalError as error:
            self.say(str(error), "alarm")
            return

        def picked(n: int | None) -> None:
            if n is not None:
                self.stream = names[n]
                self.reread()

        shown = [name.removeprefix(JOB) or WHOLE for name in names]
        at = names.index(self.stream) if self.stream in names else 0
        self.app.push_screen(Choose("Show which entries?", shown, at=at), picked)

    def action_take_back(self) -> None:
        """Take the marked entry back; where others rest on it, ask."""
        entry = self.entry
        if self.host.gate.in_burst:
            self.say(AT_ONCE)
        elif entry is not None and entry.kind == "air read":
            self._take_back_air(entry)
        elif entry is None or not entry.stream.startswith(JOB):
            self.say("Only job entries and air readings can be undone. Move to one.")
        else:
            self._take_back(entry, along=False)

    def _take_back_air(self, entry: Entry) -> None:
        from benchmate.bench.air.recording import in_short, take_back_air

        place = entry.stream.removeprefix(PLACE)
        try:
            said = take_back_air(self.bench, place, entry.version)
        except (Refused, JournalError) as error:
            self.say(str(error), "alarm" if isinstance(error, JournalError) else "caution")
        else:
            self.said = (in_short(said), "caution")
            self.tick()

    def _take_back(self, entry: Entry, *, along: bool) -> None:
        job = entry.stream[len(JOB) :]
        try:
            self.bench.do(job, cmd.TakeBack(version=entry.version, along=along))
        except RestsOn as question:
            self.app.push_screen(
                Choose(str(question), ("Cancel", "Undo all of them")),
                lambda n: self._take_back(entry, along=True) if n else self.look(),
            )
        except (Refused, JournalError) as error:
            self.say(str(error), "alarm" if isinstance(error, JournalError) else "caution")
        else:
            self.said = (
                f"Undone: {entry.text}. It corrects the record, not the wood.",
                "caution",
            )
            self.tick()
