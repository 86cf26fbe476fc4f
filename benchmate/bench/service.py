"""The bench: it asks the core, commits to the journal, and only then shows the new state."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING

from benchmate.clock import Clock, SystemClock
from benchmate.job import events as ev
from benchmate.job.agenda import Agenda, agenda
from benchmate.job.moment import Moment
from benchmate.job.shop import CLOCK, JOB, LEARNED, Shop, grow
from benchmate.job.state import JobState, Recorded
from benchmate.journal import Journal, NewRow, StaleVersion, StoredRow
from benchmate.settings import Folders, Settings

if TYPE_CHECKING:
    from benchmate.job import commands as cmd

SHIFT_S = 2.0
"""From here on a shift of the wall clock against the boot clock is worth an event."""
TRIES = 20
"""How often a writer reads again and decides again before it gives up. Each lost race means that
somebody else's commit went through, so that even four busy writers are far from this."""

Write = tuple[str, ev.AnyEvent]
"""A stream and an event for it."""


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
        self.clock_note = ""
        """What opening found out about the wall clock, in a sentence."""
        self._seq = 0
        self._seen = 0

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
        bench = cls(journal, clock or SystemClock(), settings, folders)
        bench._seen = journal.data_version()
        bench._take(journal.read_open())
        if not read_only:
            bench.clock_note = bench.mind_clock()
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
        """Note a boot not seen before and a wall clock that was set; a sentence where it was."""
        now = self.now()
        if not self.shop.timeline.knows(now):
            base, shift = self.shop.timeline.boot_base(now)
            back_s = shift - self.shop.timeline.shift_s
            self.record(
                (CLOCK, ev.ClockBegan(happened=now, recorded=now, base_s=base, shift_s=shift))
            )
            if back_s < -SHIFT_S:
                return (
                    "The wall clock went back while this machine was off. Check the time: windows "
                    "count as if no time had passed meanwhile."
                )
            return ""
        shift = self.shop.timeline.drift_of(now)
        if abs(shift) <= SHIFT_S:
            return ""
        self.record((CLOCK, ev.ClockShifted(happened=now, recorded=now, shift_s=shift)))
        way = "forward" if shift > 0 else "back"
        return (
            f"The wall clock was set {way} by {abs(shift):.0f} s. Every window runs on as it was."
        )

    # Reading ---------------------------------------------------------------------------------

    def agenda(self, now: Moment | None = None) -> Agenda:
        """What needs hands now and later, and every live window."""
        return agenda(self.shop.live, self.shop.around, self.now_s(now))

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
        """Take in what another process has committed; whether there was anything."""
        version = self.journal.data_version()
        if version == self._seen:
            return False
        self._seen = version
        return self._catch_up()

    # Writing ---------------------------------------------------------------------------------

    def do(self, job: str, command: cmd.Command) -> tuple[Recorded, ...]:
        """Do a command: decided by the core, committed, then folded in.

        Raises Refused (nothing recorded) or JournalError (nothing recorded; say so and keep what
        was typed).
        """
        # Only who acts pays for loading the decisions: `next` reads all day long.
        from benchmate.job.decide import decide

        def plan() -> Sequence[Write]:
            now = self.now()
            state = self.job(job)
            made = decide(state, command, now, self.shop.around)
            return [(JOB + job, e) for e in made] + _lessons_of(state, made)

        written = self._write(plan)
        return tuple(r for stream, r in written if stream == JOB + job)

    def record(self, *writes: Write) -> tuple[Recorded, ...]:
        """Commit events of streams beside the jobs (air, scales, tins, learned values)."""
        return tuple(r for _, r in self._write(lambda: writes))

    def _write(self, plan: Callable[[], Sequence[Write]]) -> list[tuple[str, Recorded]]:
        for attempt in range(TRIES):
            writes = plan()
            if not writes:
                return []
            expected = {s: self.shop.versions.get(s, 0) for s, _ in writes}
            rows = [NewRow(stream, ev.encode(event)) for stream, event in writes]
            try:
                stored = self.journal.append(rows, expected, open_streams=_open(writes))
            except StaleVersion:
                if attempt == TRIES - 1:
                    raise
                self._catch_up()
                for stream in expected:
                    self._take(self.journal.read_stream(stream, self.shop.versions.get(stream, 0)))
                continue
            fresh = [
                (row.stream, Recorded(row.version, event))
                for row, (_, event) in zip(stored, writes, strict=True)
            ]
            if stored[0].seq > self._seq + 1:
                self._catch_up()
            self.shop = grow(self.shop, fresh)
            self._seq = max(self._seq, stored[-1].seq)
            self._tell()
            return fresh
        raise AssertionError("unreachable")

    def _catch_up(self) -> bool:
        rows = self.journal.read_since(self._seq)
        self._take(rows)
        return bool(rows)

    def _take(self, rows: Sequence[StoredRow]) -> None:
        fresh = [(r.stream, Recorded(r.version, ev.decode(r.data))) for r in rows]
        self.shop = grow(self.shop, fresh)
        if rows:
            self._seq = max(self._seq, rows[-1].seq)
            self._tell()

    def _tell(self) -> None:
        if self.on_change is not None:
            self.on_change()


def _open(writes: Sequence[Write]) -> Mapping[str, bool]:
    """Which of the streams stay open: jobs close with their last event."""
    out: dict[str, bool] = {}
    for stream, event in writes:
        if isinstance(event, (ev.Stopped, ev.Finished)):
            out[stream] = False
        elif isinstance(event, ev.TakenBack):
            out[stream] = True
        else:
            out.setdefault(stream, True)
    return out


def _lessons_of(state: JobState | None, made: Sequence[ev.JobEvent]) -> list[Write]:
    """What a job's events leave for later jobs of its procedure."""
    if state is None or state.plan is None:
        return []
    name, out = state.plan.procedure, []
    for e in made:
        kept: ev.AnyEvent | None = None
        if isinstance(e, ev.NextTime):
            kept = ev.NextTimeKept(
                happened=e.happened, recorded=e.recorded, procedure=name,
                file_step=e.file_step, text=e.text, job=state.job,
            )  # fmt: skip
        elif isinstance(e, (ev.Stopped, ev.Finished)):
            status = "finished" if isinstance(e, ev.Finished) else "stopped"
            kept = ev.JobEnded(
                happened=e.happened, recorded=e.recorded, procedure=name, job=state.job,
                status=status,
            )  # fmt: skip
        if kept is not None:
            out.append((LEARNED, kept))
    return out
