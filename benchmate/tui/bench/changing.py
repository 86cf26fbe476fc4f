"""Changing the plan of the job in hand: each way asks, shows what differs, and waits for a key."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import TYPE_CHECKING

from benchmate.bench.errors import JournalError
from benchmate.job.state.state import JobState
from benchmate.job.words.phrases import in_job, piece_label
from benchmate.plan.plan import Amount, Step
from benchmate.refusal import Refused
from benchmate.tui.bench.desk import Desk
from benchmate.tui.lazy_import import Later

if TYPE_CHECKING:
    from benchmate.bench.starting import changing
    from benchmate.bench.starting import wish_typed as typed
    from benchmate.bench.starting.changing import Change, Wish
    from benchmate.bench.weights import measured_void as measuring
    from benchmate.job.deciding import changing as deciding
else:
    changing = Later("benchmate.bench.starting.changing")
    measuring = Later("benchmate.bench.weights.measured_void")
    typed = Later("benchmate.bench.starting.wish_typed")
    deciding = Later("benchmate.job.deciding.changing")

CHANGED = "The plan is changed."
NONE_LEFT = "No step is left that this could be done to."


class Changing:
    """What is to be different, asked for a way at a time."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk

    def menu(self, job: JobState) -> None:
        """The ways in which a running job can be changed."""
        ways: list[tuple[str, Callable[[JobState], object]]] = [
            ("Another target or tolerance", self._target),
            ("A void as you measured it", self._void),
            ("Another material", self._material),
            ("Another amount at a step", self._amount),
            ("More pieces, or fewer", self._pieces),
            ("One more step", self._add),
            ("A step at another place", self._move),
            ("Leave a step out", self._leave_out),
            ("Take the edited file over from here on", self._file),
        ]
        self.desk.choose(
            in_job(job, "What is to be different?"),
            [text for text, _ in ways],
            [partial(do, job) for _, do in ways],
        )

    # Each way --------------------------------------------------------------------------------

    def _target(self, job: JobState) -> None:
        asked = "New target? (840 g; 840 g +/- 6 g; or of one piece: B=840 g)"
        self._typed(job, asked, partial(typed.target, job))

    def _void(self, job: JobState) -> None:
        """A void measured before the pour: room and amounts before and after, then taken."""
        desk = self.desk

        def shown(text: str) -> str:
            lines = measuring.words_of(measuring.measured(job, text), desk.bench.settings.units)
            desk.host.call_later(self._ask_take, lines[0], lines[1:], partial(take, text))
            return ""

        def take(text: str) -> None:
            try:
                measuring.take_measured(desk.bench, job, text)
            except (Refused, JournalError) as error:
                desk.say(str(error), alarm=isinstance(error, JournalError))
            else:
                desk.say(CHANGED)
                desk.after_an_act()

        asked = "Which piece's void, and what it measured? (A=46 mm; A=31 mm wide; A=98.4 g water)"
        desk.question(in_job(job, asked), shown)

    def _pieces(self, job: JobState) -> None:
        now = len(job.plan.pieces) if job.plan else 0
        self._typed(job, f"How many pieces in all? Now {now}.", typed.pieces)

    def _file(self, job: JobState) -> None:
        prefill = typed.file_of(self.desk.bench, job)
        self._typed(job, "Which file?", lambda text: changing.Wish(file=text.strip()), prefill)

    def _material(self, job: JobState) -> None:
        materials = job.plan.materials if job.plan else ()

        def named(role: str) -> None:
            asked = f"Which material is the {role} from here on?"
            self._typed(job, asked, lambda text: changing.Wish(materials={role: text.strip()}))

        self.desk.choose(
            in_job(job, "Which one?"),
            [f"{m.role}: {m.material}" for m in materials],
            [partial(named, m.role) for m in materials],
        )

    def _amount(self, job: JobState) -> None:
        found = [(s, a) for s in self._open(job) for a in s.amounts]

        def much(step: Step, amount: Amount) -> None:
            asked = f"How much {amount.what}? Planned {amount.amount:.1f} {amount.unit}."
            self._typed(job, asked, partial(typed.amount, step.address, amount.what))

        names = [f"{self._name(job, s)}: {a.what}, {a.amount:.1f} {a.unit}" for s, a in found]
        self._of(job, "Which amount?", names, [partial(much, s, a) for s, a in found])

    def _add(self, job: JobState) -> None:
        def said(text: str) -> str:
            if not text.strip():
                raise Refused("Say what is to be done.")
            self.desk.host.call_later(self._step, job, "Behind which step?", partial(added, text))
            return ""

        def added(text: str, step: Step) -> None:
            self._show(job, changing.Wish(add=(step.address, text.strip(), typed.HANDS_S)))

        self.desk.question(in_job(job, "What is to be done?"), said)

    def _move(self, job: JobState) -> None:
        def behind(step: Step) -> None:
            self._step(job, "Behind which step?", partial(moved, step), but=step)

        def moved(step: Step, after: Step) -> None:
            self._show(job, changing.Wish(move=(step.address, after.address)))

        self._step(job, "Which step is to be moved?", behind)

    def _leave_out(self, job: JobState) -> None:
        def left_out(step: Step) -> None:
            self._show(job, changing.Wish(leave_out=step.address))

        self._step(job, "Which step is to be left out?", left_out)

    # What they share -------------------------------------------------------------------------

    def _open(self, job: JobState) -> list[Step]:
        """Steps at which nothing was done."""
        touched = deciding.touched(job)
        steps = job.plan.steps if job.plan else ()
        return [s for s in steps if s.address not in touched and s.piece not in job.spoiled]

    def _name(self, job: JobState, step: Step) -> str:
        piece = piece_label(job, step.piece) if step.piece else ""
        return ": ".join(text for text in (piece, step.short or step.do) if text)

    def _step(
        self,
        job: JobState,
        asked: str,
        then: Callable[[Step], object],
        but: Step | None = None,
    ) -> None:
        steps = [s for s in self._open(job) if s is not but]
        names = [self._name(job, s) for s in steps]
        self._of(job, asked, names, [partial(then, s) for s in steps])

    def _of(
        self, job: JobState, asked: str, names: Sequence[str], then: Sequence[Callable[[], object]]
    ) -> None:
        if names:
            self.desk.choose(in_job(job, asked), names, then)
        else:
            self.desk.say(NONE_LEFT)

    def _typed(
        self, job: JobState, asked: str, read: Callable[[str], Wish], prefill: str = ""
    ) -> None:
        def submit(text: str) -> str:
            change = typed.change_wished(self.desk.bench, job, read(text))
            self.desk.host.call_later(self._confirm, job, change)
            return ""

        self.desk.question(in_job(job, asked), submit, prefill=prefill)

    def _show(self, job: JobState, wish: Wish) -> None:
        try:
            change = typed.change_wished(self.desk.bench, job, wish)
        except Refused as refused:
            self.desk.say(str(refused))
        else:
            self._confirm(job, change)

    def _confirm(self, job: JobState, change: Change) -> None:
        """The difference with what follows from it, before it is taken with a reason."""

        def why(text: str) -> str:
            changing.take_change(self.desk.bench, job, change, text)
            return CHANGED

        ask = partial(self.desk.question, in_job(job, "Why is it changed?"), why)
        self._ask_take(in_job(job, "Change the plan so?"), change.lines(), ask)

    def _ask_take(self, asked: str, body: Sequence[str], take: Callable[[], object]) -> None:
        self.desk.choose(asked, ("Change it", "Keep the plan"), (take, self.desk.look), body=body)
