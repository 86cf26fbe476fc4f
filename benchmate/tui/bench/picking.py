"""What the bench shows and whose keys these are: the piece picked, the job in hand."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.screen import Screen

from benchmate.bench import Bench
from benchmate.bench.next_line import clock_of
from benchmate.job.state.state import JobState
from benchmate.job.windows.agenda import Act, Agenda
from benchmate.job.words.phrases import holds_clocks
from benchmate.tui.bench.hand import Hand
from benchmate.tui.present.bench.nextact import Clock
from benchmate.tui.present.bench.pieces import act_of, pieces
from benchmate.tui.present.bench.words import short_act


class Picking(Screen[None]):
    """Digits pick a piece; what is recorded goes to the job in hand, or it is asked for."""

    BINDINGS: ClassVar[list[BindingType]] = [
        *[
            Binding(
                str(n),
                f"pick({n})",
                "other piece",
                id=f"piece-{n}",
                show=False,
                tooltip=f"Show what piece {n} needs",
            )
            for n in range(1, 10)
        ],
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
        Binding(
            "0",
            "pick(0)",
            "most urgent",
            id="piece-0",
            show=False,
            tooltip="Back to what is most urgent",
        ),
    ]

    @property
    def bench(self) -> Bench:
        """The app's bench."""
        return self.app.bench  # type: ignore[attr-defined, no-any-return]

    @property
    def hand(self) -> Hand:
        """What the screens of the bench share."""
        return self.app.hand  # type: ignore[attr-defined, no-any-return]

    @property
    def shown(self) -> Act | None:
        """The act that the glove key does."""
        return self.hand.shown

    @property
    def clock(self) -> Clock:
        """Turns places on the time line into the wall times people read."""
        return clock_of(self.bench)  # type: ignore[no-any-return]

    def look(self) -> None:
        """Show everything anew."""
        raise NotImplementedError

    def say(self, text: str, *, alarm: bool = False) -> None:
        """One sentence for the maker, until the next."""
        self.hand.say(text, self.bench.now_s(), alarm=alarm)
        self.hand.act_of_mine()
        self.look()

    def choose(
        self,
        question: str,
        options: Sequence[str],
        answered: Sequence[Callable[[], object]],
        *,
        body: Sequence[str] = (),
        again: str = "",
    ) -> None:
        """Put a question with a few answers; `answered` holds what each one calls."""
        from benchmate.tui.prompts.choose import Choose

        def chosen(n: int | None) -> None:
            self.hand.act_of_mine()
            if n is None:
                self.look()
            else:
                answered[n]()

        self.app.push_screen(Choose(question, options, body=body, again=again), chosen)

    # The job in hand -------------------------------------------------------------------------

    @property
    def job_in_hand(self) -> JobState | None:
        """The job of the act shown, else of the piece picked, else the only one that runs.

        None where that doesn't tell. Clocks without a job are no job that things are written into
        unless one of them is what is shown or picked.
        """
        shop = self.bench.shop
        name = self.shown.job if self.shown else self.hand.picked[0] if self.hand.picked else ""
        found = shop.jobs.get(name)
        if found is not None and found.is_live:
            return found
        jobs = self.running
        return jobs[0] if len(jobs) == 1 else None

    @property
    def running(self) -> list[JobState]:
        """The jobs that run, but for the clocks without one."""
        return [j for j in self.bench.shop.live if not holds_clocks(j)]

    def with_job(
        self,
        then: Callable[[JobState], object],
        nothing: str,
        jobs: Sequence[JobState] | None = None,
        names: Sequence[str] = (),
    ) -> None:
        """Go on with the job in hand; where that can't be told, ask which of `jobs` is meant.

        `nothing` is said where there is none. `names`: what the jobs are called in the question.
        """
        job = self.job_in_hand if jobs is None else None
        found = self.running if jobs is None else list(jobs)
        if job is None and len(found) == 1:
            job = found[0]
        if job is not None:
            then(job)
        elif not found:
            self.say(nothing)
        else:
            self.choose(
                "Which job?", names or [j.title for j in found], [partial(then, j) for j in found]
            )

    # The piece picked ------------------------------------------------------------------------

    def chosen(self, found: Agenda) -> Act | None:
        """The act to show: of the piece picked, else the most urgent.

        A piece that needs no hands now stays picked, with no act: its job is in hand.
        """
        if self.hand.picked is None:
            return found.next
        job = self.bench.shop.jobs.get(self.hand.picked[0])
        if job is None or not job.is_live or self.hand.picked[1] in job.spoiled:
            self.hand.picked = None
            return found.next
        return act_of(found, *self.hand.picked)

    def action_pick(self, n: int) -> None:
        """Show another piece, by its place among all pieces; 0 is the most urgent of all."""
        every = pieces(self.bench.shop.live)
        if n == 0:
            self.hand.picked = None
        elif n > len(every):
            self.say(f"There is no piece {n}.")
            return
        else:
            self.hand.picked = (every[n - 1].job, every[n - 1].name)
        self.say("")

    def action_pick_next(self, by: int) -> None:
        """The next piece in the order of the digits, round to the first."""
        every = [(p.job, p.name) for p in pieces(self.bench.shop.live)]
        if not every:
            self.say("There is no piece.")
            return
        act = self.shown
        now = self.hand.picked or ((act.job, act.piece) if act is not None else None)
        at = every.index(now) + by if now in every else 0 if by > 0 else -1
        self.hand.picked = every[at % len(every)]
        self.say("")

    def waits(self, found: Agenda, job: JobState, piece: str) -> str:
        """When a piece that needs no hands now will need some."""
        if job.status == "paused":
            return "paused; p brings the job back."
        if holds_clocks(job):
            return "started from tins, without a job."
        if job.plan is None:
            return "it runs without a plan."
        mine = (a for a in found.later if a.job == job.job and a.piece in (piece, ""))
        later = next(mine, None)
        if later is None:
            held = found.holding(job, piece)
            if held is None:
                return "nothing for hands now."
            if held.step is None:
                return f"waits until you say what happened: {short_act(job, held)}."
            return f"waits: first {short_act(job, held)}."
        return f"nothing for hands before {self.clock(later.ready_at)}, {short_act(job, later)}."
