"""Digits pick a piece; what is recorded goes to its job."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from benchmate.bench.short import short_act
from benchmate.job.state.state import JobState
from benchmate.job.windows.agenda import Act, Agenda
from benchmate.job.words.phrases import bound_text, holds_clocks
from benchmate.refusal import Refused
from benchmate.tui.bench.desk import Desk
from benchmate.tui.present.bench.weights.pieces import act_of, pieces

LENGTH = 7
"""Letters of a label's code after the first."""


class _Labelled(NamedTuple):
    """A part that has a label."""

    job: str
    piece: str
    name: str


class Picking:
    """The piece picked."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk

    def chosen(self, found: Agenda) -> Act | None:
        """The step to show: of the piece picked, else the most urgent.

        A piece that has nothing to do now stays picked, with no step: its job is in hand. A
        weight that was put off comes last.
        """
        hand = self.desk.hand
        if hand.picked is None:
            return self._most_urgent(found)
        job = self.desk.bench.shop.jobs.get(hand.picked[0])
        if job is None or not job.is_live or hand.picked[1] in job.spoiled:
            hand.picked = None
            return self._most_urgent(found)
        return act_of(found, *hand.picked)

    def _most_urgent(self, found: Agenda) -> Act | None:
        off = self.desk.hand.put_off
        return next((a for a in found.ready if a.address not in off), found.next)

    def pick(self, n: int) -> None:
        """Show another piece, by its place among all pieces; 0 is the most urgent of all."""
        hand, every = self.desk.hand, pieces(self.desk.bench.shop.live)
        if n > len(every):
            self.desk.say(f"There is no piece {n}.")
            return
        hand.picked = (every[n - 1].job, every[n - 1].name) if n else None
        self.desk.say("")

    def find_label(self) -> None:
        """Pick the piece whose label is typed or scanned. The key itself is the code's first
        letter, and the question owns what follows until Enter."""
        from benchmate.papers.codes import FIND, found, plain

        def submit(text: str) -> str:
            typed = plain(text)
            code = typed if typed.startswith(FIND) and len(typed) > LENGTH else FIND + typed
            parts = {f"{a.job}/{a.piece}/{a.name}": a for a in self._parts()}
            address = found(code, parts)
            if not address:
                raise Refused(
                    f"No open job has a label {typed[:12]}. Look at it and type it again."
                )
            part = parts[address]
            self.desk.hand.picked = (part.job, part.piece)
            return f"{part.piece}, {part.name}: label found."

        self.desk.question("Which label? Type or scan its code.", submit)

    def _parts(self) -> Iterator[_Labelled]:
        for job in self.desk.bench.shop.live:
            for part in job.plan.parts if job.plan is not None else ():
                yield _Labelled(job.job, part.piece, part.name)

    def pick_next(self, by: int) -> None:
        """The next piece in the order of the digits, round to the first."""
        hand = self.desk.hand
        every = [(p.job, p.name) for p in pieces(self.desk.bench.shop.live)]
        if not every:
            self.desk.say("There is no piece.")
            return
        act = hand.shown
        now = hand.picked or ((act.job, act.piece) if act is not None else None)
        at = every.index(now) + by if now in every else 0 if by > 0 else -1
        hand.picked = every[at % len(every)]
        self.desk.say("")

    def waits(self, found: Agenda, job: JobState, piece: str) -> str:
        """When a piece that has nothing to do now will have something."""
        if job.status == "paused":
            return "paused; o resumes the job."
        if holds_clocks(job):
            return "clocks from the shelf, without a job."
        if job.plan is None:
            return "it has no plan."
        mine = (a for a in found.later if a.job == job.job and a.piece in (piece, ""))
        later = next(mine, None)
        if later is None:
            held = found.holding(job, piece)
            if held is None:
                return "nothing to do just now."
            if held.step is None:
                return f"waits until you say what happened: {short_act(job, held)}."
            return f"waits: first {short_act(job, held)}."
        if later.gives_way is not None:
            return f"{bound_text(later, self.desk.clock)}."
        return f"nothing to do until {self.desk.clock(later.ready_at)}: {short_act(job, later)}."
