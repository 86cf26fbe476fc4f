"""The keys that matter with gloves on. Each asks the bench; nothing is decided here."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from benchmate.bench.errors import JournalError
from benchmate.bench.short import short_act
from benchmate.job.deciding.to_hand import missing_for, need_key, need_text
from benchmate.job.events.stored import TakenBack
from benchmate.job.state.state import JobState
from benchmate.job.windows.agenda import Act
from benchmate.job.words.phrases import bound_text, done_text
from benchmate.plan.plan import Need
from benchmate.quantities.worded import in_units
from benchmate.refusal import Refused, RestsOn
from benchmate.tui.bench.asking import Asking
from benchmate.tui.bench.desk import AT_ONCE, Desk
from benchmate.tui.bench.hand import Press
from benchmate.tui.lazy_import import Later

if TYPE_CHECKING:
    from benchmate.job.deciding import commands as cmd
    from benchmate.job.deciding import doubts as doubting
    from benchmate.job.deciding import taking_back
    from benchmate.job.weights.drift import Remark
else:
    doubting = Later("benchmate.job.deciding.doubts")
    cmd = Later("benchmate.job.deciding.commands")
    taking_back = Later("benchmate.job.deciding.taking_back")


TO_HAND = "All to hand. Do the step shown, then press again."
CHANGED = "The step has just changed. Look, then press again."
TOO_SOON = "Pressed again within 1½ s: that counts once."


class Acting:
    """Does the step that is shown, and undoes it."""

    def __init__(self, desk: Desk, asking: Asking) -> None:
        self.desk, self.asking = desk, asking

    def glove(self) -> None:
        """Do the step that is shown. A second press at once, or a held key, does nothing; nor does
        a press from before what is shown was there to be read."""
        desk, hand = self.desk, self.desk.hand
        now_s = desk.bench.now_s()
        match hand.presses.press(now_s):
            case Press.HELD:
                return
            case Press.TOO_SOON:
                desk.say(TOO_SOON)
                return
            case Press.COUNTS:
                pass
        gate = desk.host.gate
        if hand.changed_under_the_finger(now_s) or hand.came_before_it(gate.pressed_s):
            hand.presses.forget()
            desk.say(CHANGED)
            return
        act = hand.shown
        if act is None:
            self._ask_likely()
        elif act.kind == "do" and act.step is not None:
            self.do_shown(act)
        else:
            self.asking.about(act)

    def _ask_likely(self) -> None:
        """Nothing is sure to be ready: ask about what likely is, or what had better wait, once."""
        desk, picked = self.desk, self.desk.hand.picked
        later = desk.bench.agenda().later
        mine = [a for a in later if picked is None or (a.job, a.piece) == picked]
        act = next((a for a in mine if a.likely_since is not None or a.gives_way), None)
        if act is None or act.step is None:
            desk.say("Nothing to do just now.")
            return
        job = desk.bench.shop.jobs[act.job]
        done = f"Recorded: {done_text(job, act.step)}."

        def ready() -> None:
            if desk.do(act.job, cmd.MarkDone(address=act.address, anyway=True), done):
                desk.after_an_act()

        question = bound_text(act, desk.clock)
        desk.choose(
            f"{question[:1].upper()}{question[1:]}.",
            (
                "Wait" if act.gives_way else "Wait, or read the air (a)",
                f"{'' if act.gives_way else 'A test says it’s ready: '}"
                f"I did it ({short_act(job, act)})",
            ),
            (desk.look, ready),
        )

    @property
    def asks(self) -> bool:
        """Whether the glove key would ask before anything is recorded."""
        act = self.desk.shown
        return act is not None and act.kind != "do"

    def do_shown(self, act: Act) -> None:
        """Mark the step done, and go on to what spoils something before the picked piece. First
        ask what stands in the way: things not to hand, and answers that look wrong."""
        desk, step = self.desk, act.step
        job = desk.bench.shop.jobs[act.job]
        missing = missing_for(job, step) if step is not None else ()
        doubts = self._doubts(job, act)
        if desk.host.gate.in_burst:
            desk.say(AT_ONCE)
        elif doubts:
            self._ask_doubts(act, doubts)
        elif missing:
            self._ask_to_hand(act, missing)
        else:
            done = f"Recorded: {done_text(job, step) if step else act.address}."
            if desk.do(act.job, cmd.MarkDone(address=act.address), done):
                desk.after_an_act()

    def _doubts(self, job: JobState, act: Act) -> tuple[Remark, ...]:
        if act.step is None:
            return ()
        return doubting.doubts_before(job, act.step, self.desk.host.thoughts.to_see(job))

    def _ask_doubts(self, act: Act, doubts: tuple[Remark, ...]) -> None:
        """What is out of limits, once, before what can't be undone is built on it."""
        desk = self.desk
        job = desk.bench.shop.jobs[act.job]
        units = desk.bench.settings.units

        def go_on() -> None:
            keys = tuple(d.key for d in doubts)
            if desk.do(act.job, cmd.See(keys=keys), "OK. It stays on the job card."):
                self.do_shown(act)

        desk.choose(
            "From here there’s no going back. Go on as it is?",
            ("No: put it right first", "Yes, go on with it"),
            (desk.look, go_on),
            body=[f"▲ {self._where(job, d)}{in_units(d.text, units)}" for d in doubts],
        )

    def _where(self, job: JobState, remark: Remark) -> str:
        from benchmate.job.words.phrases import place_label

        place = place_label(job, remark.address)
        return f"{place}: " if place else ""

    def _ask_to_hand(self, act: Act, missing: tuple[Need, ...]) -> None:
        desk = self.desk

        def to_hand() -> None:
            for need in missing:
                if not desk.do(act.job, cmd.Tick(what=need_key(need)), TO_HAND):
                    return

        desk.choose(
            "From here there’s no going back, or a clock starts. Is all this to hand?",
            ("All to hand", "Not yet"),
            (to_hand, desk.look),
            body=[f"[ ] {need_text(need)}" for need in missing],
        )

    # Undoing ---------------------------------------------------------------------------------

    def undo(self) -> None:
        """Undo the last entry of the job in hand; ask where others rest on it."""
        desk = self.desk
        if desk.job is not None and (desk.shown or desk.hand.picked):
            self._undo(desk.job)
            return
        found = [(j, r) for j in desk.bench.shop.live if (r := taking_back.newest(j)) is not None]
        desk.with_job(
            self._undo,
            "Nothing to undo.",
            [j for j, _ in found],
            [f"{j.title}: {taking_back.describe(r, j)}" for j, r in found],
        )

    def _undo(self, job: JobState, *, along: bool = False) -> None:
        desk = self.desk
        if desk.host.gate.in_burst:
            desk.say(AT_ONCE)
            return
        try:
            made = desk.bench.do(job.job, cmd.TakeBack(along=along))
        except RestsOn as question:
            all_of_them: Callable[[], None] = partial(self._undo, job, along=True)
            desk.choose(str(question), ("Cancel", "Undo all of them"), (desk.look, all_of_them))
        except (Refused, JournalError) as error:
            desk.say(str(error), alarm=isinstance(error, JournalError))
        else:
            gone = {v for r in made if isinstance(r.event, TakenBack) for v in r.event.versions}
            names = "; ".join(
                taking_back.describe(r, job) for r in job.records if r.version in gone
            )
            desk.hand.put_off.clear()
            desk.say(f"Undone: {names or job.title}. It corrects the record, not the wood.")
