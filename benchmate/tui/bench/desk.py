"""What the bench's groups of keys work on: the bench, what is in hand, and how things are asked."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, Protocol

from benchmate.bench import Bench
from benchmate.bench.errors import JournalError
from benchmate.bench.next_line import clock_of
from benchmate.job.state.state import JobState
from benchmate.job.windows.agenda import Act
from benchmate.job.words.phrases import holds_clocks
from benchmate.localtime import parse_when, show_when
from benchmate.refusal import Refused, TooCold
from benchmate.tui.bench.hand import Hand
from benchmate.tui.host import Host
from benchmate.tui.lazy_import import Later
from benchmate.tui.present.bench.nextact import Clock
from benchmate.tui.present.lines import Line, line

if TYPE_CHECKING:
    from benchmate.job.deciding import commands as cmd
    from benchmate.tui.prompts.ask import Ask, Live, Submit
else:
    cmd = Later("benchmate.job.deciding.commands")

AT_ONCE = "That came all at once, with other keys: nothing was recorded. Press again."


class View(Protocol):
    """The screen that a desk stands on: near or far."""

    @property
    def host(self) -> Host:
        """The app."""
        ...

    def look(self) -> None: ...


class Desk:
    """One for each screen of the bench; what they share is in `hand`."""

    def __init__(self, view: View) -> None:
        self._view = view

    @property
    def host(self) -> Host:
        """The app."""
        return self._view.host

    @property
    def bench(self) -> Bench:
        """The app's bench."""
        return self.host.bench

    @property
    def hand(self) -> Hand:
        """What the screens of the bench share."""
        return self.host.hand

    @property
    def shown(self) -> Act | None:
        """The step that the glove key does."""
        return self.hand.shown

    @property
    def clock(self) -> Clock:
        """Turns places on the time line into the wall times people read."""
        return clock_of(self.bench)  # type: ignore[no-any-return]

    def look(self) -> None:
        """Show everything anew."""
        self._view.look()

    def when(self, text: str) -> Line:
        """A typed time as the clock shows it, while it is being typed."""
        now = self.bench.now().wall_s
        return line(" ", show_when(parse_when(text, now), now))

    # Saying and asking -----------------------------------------------------------------------

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

        self.host.push_screen(Choose(question, options, body=body, again=again), chosen)

    def ask(self, screen: Ask) -> None:
        """Put a question; its answer is said on the bench."""
        self.host.push_screen(screen, self._answered)

    def _answered(self, text: str | None) -> None:
        self.hand.act_of_mine()
        if text:
            self.say(text)
            self.after_an_act()
        else:
            self.look()

    def question(
        self,
        question: str,
        submit: Submit,
        *,
        prefill: str = "",
        live: Live | None = None,
        begun: bool = False,
    ) -> None:
        """Put a question with one line to type; `begun`: the prefill is being typed already."""
        from benchmate.tui.prompts.ask import Ask

        def anew(text: str) -> None:
            self.question(question, submit, prefill=text, live=live, begun=True)

        self.ask(Ask(question, submit, prefill=prefill, live=live, begun=begun, anew=anew))

    def reason(
        self, question: str, job: JobState, make: Callable[[str], cmd.Command], done: str
    ) -> None:
        """A reason, and the command that it makes."""

        def submit(text: str) -> str:
            self.bench.do(job.job, make(text))
            return done

        self.question(question, submit)

    # Doing -----------------------------------------------------------------------------------

    def do(self, job: str, command: cmd.Command, done: str) -> bool:
        """Do a command and say so; on a refusal say why. Nothing is shown before it is kept, and
        nothing is kept that came in a burst nobody asked for."""
        if self.host.gate.in_burst:
            self.say(AT_ONCE)
            return False
        try:
            self.bench.do(job, command)
        except TooCold as question:
            self.ask_anyway(str(question), job, command, done)
            return False
        except (Refused, JournalError) as error:
            self.say(str(error), alarm=isinstance(error, JournalError))
            return False
        self.say(done)
        return True

    def ask_anyway(self, question: str, job: str, command: cmd.Command, done: str) -> None:
        """Too cold for it: leave it, or record it all the same."""

        def anyway() -> None:
            if self.do(job, replace(command, anyway=True), done):  # type: ignore[call-arg]
                self.after_an_act()

        options = ("Stop, and warm it first", "Record it all the same")
        self.choose(question, options, (self.look, anyway))

    def after_an_act(self) -> None:
        """A picked piece gives way to what would spoil while it is worked on."""
        found = self.bench.agenda()
        if self.hand.picked is not None and found.next is not None and found.next.spoils:
            self.hand.picked = None
            self.hand.act_of_mine()
            self.look()

    # The job in hand -------------------------------------------------------------------------

    @property
    def job(self) -> JobState | None:
        """The job of the step shown, else of the piece picked, else the only one that runs.

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
        job = self.job if jobs is None else None
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
