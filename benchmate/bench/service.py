"""The bench: it asks the core, commits to the journal, and only then shows the new state."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from benchmate.bench.storing import checked_bytes, open_after
from benchmate.clock import Clock, SystemClock, steady_s
from benchmate.job.deciding.streams.clock import clock_text, note_clock, undo_clock
from benchmate.job.events import stored as ev
from benchmate.job.state.shop import JOB, Shop, Write, grow
from benchmate.job.state.state import JobState, Recorded
from benchmate.job.windows.agenda import Agenda, agenda
from benchmate.job.windows.hands import give_way
from benchmate.journal import (
    BackupInfo,
    Damaged,
    Journal,
    JournalBusy,
    JournalError,
    JournalUnwritable,
    NewRow,
    StaleVersion,
    StoredRow,
)
from benchmate.moment import Moment
from benchmate.refusal import Refused
from benchmate.settings import Folders, Settings

if TYPE_CHECKING:
    from pathlib import Path

    from benchmate.job.deciding import commands as cmd
    from benchmate.job.deciding.streams.commands import ShopCommand

GIVE_UP_S = 10.0
"""How long a writer reads again and decides again before it gives up. Each lost race means that
somebody else's commit went through: four that never rest lose a few dozen in a row now and then."""


class Bench:
    """One open journal and the shop folded from it. Not shared between threads."""

    def __init__(
        self, journal: Journal, clock: Clock, settings: Settings, folders: Folders
    ) -> None:
        self.journal, self.clock = journal, clock
        self.settings, self.folders = settings, folders
        self.shop = Shop()
        self.on_change: Callable[[], None] | None = None
        """Called, in the bench's own thread, when the shop has changed."""
        self.touched_s: float | None = None
        """When a key of this process was last pressed: `bench.reminding.presence` reads it."""
        self.only_read = ""
        """Why nothing can be recorded, where it was opened only to be read."""
        self.clock_note = ""
        """What opening found out about the wall clock, in a sentence."""
        self._seq = journal.end
        """All that was committed up to here is in the shop, or in a stream that was closed."""
        self._seen = journal.data_version()

    @classmethod
    def open(
        cls,
        folders: Folders,
        settings: Settings,
        *,
        clock: Clock | None = None,
        create: bool = True,
        read_only: bool = False,
    ) -> Bench:
        """Open (or make) the journal and fold what is open. Raises JournalError with a sentence."""
        journal = Journal.open(folders.data, create=create, read_only=read_only)
        try:
            bench = cls(journal, clock or SystemClock(), settings, folders)
            bench._take(journal.read_open())
            if not read_only:
                bench.clock_note = bench.mind_clock()
        except Damaged as damage:
            journal.close()
            from benchmate.journal.keeping.backup import with_advice

            raise with_advice(damage, folders.data) from damage
        except BaseException:
            journal.close()
            raise
        return bench

    @classmethod
    def open_anyhow(
        cls, folders: Folders, settings: Settings, *, clock: Clock | None = None
    ) -> Bench:
        """As `open`; where a full or write-protected disk refuses that, open it to be read.

        The clocks are needed most when something is wrong: `only_read` then says so. Raises
        JournalError where not even reading is possible.
        """
        try:
            return cls.open(folders, settings, clock=clock)
        except JournalUnwritable as error:
            why = str(error).partition(" Nothing was recorded")[0]
        bench = cls.open(folders, settings, clock=clock, create=False, read_only=True)
        bench.only_read = f"{why} Clocks and reminders run, but nothing can be recorded."
        return bench

    def close(self) -> None:
        """Let go of the journal."""
        self.journal.close()

    # Time ------------------------------------------------------------------------------------

    def now(self) -> Moment:
        """The moment it is."""
        return self.clock.now()

    def now_s(self, now: Moment | None = None) -> float:
        """Now's place on the time line."""
        return self.shop.timeline.at(now or self.now())

    def wall_at(self, place_s: float) -> float:
        """What the wall clock shows at a place on the time line (Unix seconds)."""
        return self.shop.timeline.wall_at(place_s, self.now())

    def moment_at_wall(self, wall_s: float) -> Moment:
        """The moment at which the wall clock, as it is set now, showed a time."""
        now = self.now()
        return now.shifted(wall_s - now.wall_s)

    def mind_clock(self) -> str:
        """Note a boot not seen before and a wall clock that was set; a sentence where it was.

        Where another bench is first, there is nothing left to note or to say. Raises JournalError.
        """
        if self.only_read:
            return ""
        before = self.shop.timeline
        noted = self._decided(lambda now: note_clock(self.shop, now))
        return " ".join(filter(None, (clock_text(before, r.event) for _, r in noted)))

    def undo_clock(self) -> str:
        """Take the last set of the computer's time the other way. Raises Refused, JournalError."""
        before = self.shop.timeline
        ((_, made),) = self._decided(lambda now: undo_clock(self.shop, now))
        return clock_text(before, made.event)

    # Reading ---------------------------------------------------------------------------------

    def agenda(self, now: Moment | None = None) -> Agenda:
        """What needs hands now and later, and every live window; later by the adopted day sheet."""
        now = now or self.now()
        around, now_s = self.shop.around, self.now_s(now)
        plain = give_way(agenda(self.shop.live, around, now_s), self.shop.live, around, now_s)
        dates = self.shop.dates.dates if self.shop.dates else {}
        ahead = {a.address for a in plain.later} & dates.keys()
        if not ahead:
            return plain
        from benchmate.job.windows.by_sheet import by_sheet

        back = self.now_s(now) - now.wall_s
        return by_sheet(plain, {address: dates[address] + back for address in ahead})

    def job(self, name: str) -> JobState | None:
        """A job by its id, closed ones read from the journal."""
        found = self.shop.jobs.get(name)
        if found is not None:
            return found
        rows = self.journal.read_stream(JOB + name)
        if not rows:
            return None
        self._take(rows)
        return self.shop.jobs.get(name)

    def refresh(self) -> bool:
        """Take in what another process has committed; whether there was anything.

        Raises JournalError, also where the journal was taken away or replaced meanwhile.
        """
        self.journal.insist_in_place()
        version = self.journal.data_version()
        if version == self._seen:
            return False
        found = self._catch_up()
        self._seen = version
        return found

    # Keeping ---------------------------------------------------------------------------------

    def backup_if_due(self) -> str:
        """The day's backup, where there is none yet; a sentence where it couldn't be made.

        For a worker: it takes as long as the journal is large. Any thread may call it.
        """
        from benchmate.bench.keeping.safekeeping import back_up_if_due

        return back_up_if_due(self.folders.data, self.now_s())

    def backup(self, target: Path) -> BackupInfo:
        """A whole copy of the journal, checked. Raises JournalError."""
        return self.journal.backup(target)

    def verify_sentence(self) -> str:
        """Empty where all events are as they were recorded, otherwise what is wrong. For a worker
        too, in any thread."""
        from benchmate.bench.keeping.safekeeping import verify_sentence

        return verify_sentence(self.folders.data)

    # Writing ---------------------------------------------------------------------------------

    def do(self, job: str, command: cmd.Command) -> tuple[Recorded, ...]:
        """Do a command: decided by the core, committed, then folded in.

        Where another bench was first it is decided again on what that one did. A taking back means
        the newest act that this bench knew of, even so.

        Raises Refused or JournalError; then nothing is recorded and the shop is as it was, but for
        what others committed meanwhile: say so, and keep what was typed.
        """
        # Only who acts pays for loading the decisions: `next` reads all day long.
        from benchmate.job.deciding.shop import decide_in_job
        from benchmate.job.deciding.taking_back import as_shown

        meant = as_shown(self.job(job), command)
        if getattr(meant, "photo", ""):
            from benchmate.bench.papers.photos import with_photo_kept

            meant = with_photo_kept(self.folders, meant)

        def decide(now: Moment) -> Sequence[Write]:
            state = self.job(job)
            return decide_in_job(self.shop, job, state, meant, now)

        return tuple(r for stream, r in self._decided(decide) if stream == JOB + job)

    def settle(self, command: ShopCommand) -> tuple[Recorded, ...]:
        """Do a command about what stands beside the jobs: air, scales, shelf, lessons.

        As `do` does, and it raises the same; what is there already is not written again, and then
        nothing comes back.
        """
        from benchmate.job.deciding.shop import decide_in_shop

        written = self._decided(lambda now: decide_in_shop(self.shop, command, now))
        return tuple(record for _, record in written)

    def _decided(self, decide: Callable[[Moment], Sequence[Write]]) -> list[tuple[str, Recorded]]:
        """Decide and commit; a refusal is asked for again where others have written meanwhile."""

        def plan() -> Sequence[Write]:
            try:
                return decide(self.now())
            except Refused:
                if not self.refresh():
                    raise
                return decide(self.now())

        try:
            return self._write(plan)
        except Refused as refusal:
            refusal.say_in(self.settings.units)
            raise

    def _write(self, plan: Callable[[], Sequence[Write]]) -> list[tuple[str, Recorded]]:
        give_up = steady_s() + GIVE_UP_S
        while True:
            writes = plan()
            if not writes:
                return []
            expected = {s: self.shop.versions.get(s, 0) for s, _ in writes}
            rows = [NewRow(stream, checked_bytes(event)) for stream, event in writes]
            keep_open = open_after(writes, self.shop.jobs)
            try:
                return self._committed(self.journal.append(rows, expected, open_streams=keep_open))
            except StaleVersion as stale:
                if steady_s() > give_up:
                    raise JournalBusy(
                        "Other benches write to the logbook without a pause. Nothing was "
                        "recorded; try again, or close one of them."
                    ) from stale
                self._learn_of(stale)

    def _learn_of(self, stale: StaleVersion) -> None:
        """Take in what another bench wrote to a stream since this one decided."""
        self._catch_up()
        known = self.shop.versions.get(stale.stream, 0)
        if known < stale.actual:  # it was closed when this bench was opened
            self._take(self.journal.read_stream(stale.stream, known))

    def _committed(self, stored: Sequence[StoredRow]) -> list[tuple[str, Recorded]]:
        """Fold in what was just committed, after what others had committed before it."""
        if stored[0].seq == self._seq + 1:
            self._seq = stored[-1].seq
        else:
            try:
                self._catch_up()
            except JournalError:
                # The act is recorded: an error now would have it done twice. What others wrote
                # comes with the next refresh, or its trouble is said then.
                self._seen = -1
        fresh = _recorded(stored)
        self.shop = grow(self.shop, fresh)
        self._tell()
        return fresh

    def _catch_up(self) -> bool:
        rows = self.journal.read_since(self._seq)
        self._take(rows)
        if rows:
            self._seq = rows[-1].seq
        return bool(rows)

    def _take(self, rows: Sequence[StoredRow]) -> None:
        if rows:
            self.shop = grow(self.shop, _recorded(self._with_earlier(rows)))
            self._tell()

    def _with_earlier(self, rows: Sequence[StoredRow]) -> Sequence[StoredRow]:
        """The rows, and before them what is missing of streams that were closed until now."""
        known, missing = dict(self.shop.versions), []
        for row in rows:
            if row.version > known.get(row.stream, 0) + 1:
                missing += self.journal.read_stream(row.stream, known.get(row.stream, 0))
                known[row.stream] = missing[-1].version
            known[row.stream] = max(known.get(row.stream, 0), row.version)
        if not missing:
            return rows
        return sorted({row.seq: row for row in (*missing, *rows)}.values())

    def _tell(self) -> None:
        if self.on_change is not None:
            self.on_change()


def _recorded(rows: Sequence[StoredRow]) -> list[tuple[str, Recorded]]:
    """Rows as events, read from their bytes: what is shown is what will be read again."""
    return [(row.stream, Recorded(row.version, ev.decode(row.data))) for row in rows]
