"""The bench's foot put together: weighings and heading, the offer, later acts, the course."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from benchmate.job.state.shop import Shop
from benchmate.job.state.state import JobState
from benchmate.job.windows.agenda import Act, Agenda
from benchmate.job.words.phrases import piece_label
from benchmate.plan.address import piece_address
from benchmate.plan.plan import PiecePlan
from benchmate.quantities import Units
from benchmate.tui.present.bench.foot import joined, later, later_list, weighed
from benchmate.tui.present.bench.layout import Rooms
from benchmate.tui.present.bench.nextact import Clock
from benchmate.tui.present.bench.weights.judging import Judge
from benchmate.tui.present.bench.weights.landing import (
    falls_short,
    last_chance_line,
    offer_lines,
    will_weigh_line,
)
from benchmate.tui.present.lines import Line, Span, beside, crop, first_fitting, line, spread, width

if TYPE_CHECKING:
    from benchmate.landing.outlook import LastChance
    from benchmate.landing.will_weigh import WillWeigh
    from benchmate.tui.present.bench.weights.landing import Offer


@dataclass(frozen=True)
class Landing:
    """What is known of the weights of the job in hand."""

    all_will_weigh: Sequence[WillWeigh] = ()
    offer: Offer | None = None
    chances: Sequence[LastChance] = ()


@dataclass(frozen=True)
class Footing:
    """Everything the foot shows, for one moment."""

    shop: Shop
    units: Units
    clock: Clock
    found: Agenda
    act: Act | None
    judge: Judge
    landing: Landing = Landing()

    def lines(self, room: Rooms, cells: int) -> list[Line]:
        """The foot's rows."""
        if room.wide:
            return self._wide(room.foot, cells)
        return self._narrow(room.foot, cells)

    @property
    def _job(self) -> JobState | None:
        return self.shop.jobs.get(self.act.job) if self.act else None

    def _narrow(self, most: int, cells: int) -> list[Line]:
        last = later(self.shop.jobs, self.found.later, self.clock, cells)
        offer = self._offer(cells)
        head = self._will_weigh()
        some = weighed(self.shop.live, self.judge, self.units, cells, most)
        top = joined(some[0], head, cells) if some else [(Span(" "), *head)] if head else []
        out = [*top, *([offer] if offer else [])][: most - 1]
        out += some[1 : most - len(out)] if some else []
        return [*out[: most - 1], last]

    def _will_weigh(self) -> Line:
        """Of the piece in hand."""
        job, act = self._job, self.act
        if job is None or act is None:
            return ()
        found = self._heading_of(job, act.piece)
        plan = _piece(job, act.piece)
        if found is None or plan is None:
            return ()
        whose = piece_label(job, act.piece) if job.plan and len(job.plan.pieces) > 1 else ""
        return will_weigh_line(found, plan.target_g, plan.tolerance_g, self.units, whose)

    def _offer(self, cells: int) -> Line:
        """The adjustment on offer, else the warning of the last chance."""
        job, act = self._job, self.act
        if job is None or act is None:
            return ()
        if self.landing.offer is not None:
            does = "see why" if falls_short(self.landing.offer) else "accept"
            key = line(Span("f", "key"), f"  {does} ")
            room = cells - width(key) - 3
            said = first_fitting(offer_lines(self.landing.offer, self.units), room)
            return spread((Span(" "), *said), key, cells)
        chance = last_chance_line(self.landing.chances, piece_address(job.job, act.piece))
        return crop((Span(" "), *chance), cells) if chance else ()

    def _wide(self, most: int, cells: int) -> list[Line]:
        half = cells * 11 // 20
        offer = self._offer(cells)
        later_rows = max(2, min(4, most // 3, len(self.found.later) or 1))
        upper = most - later_rows - (1 if offer else 0)
        left = weighed(self.shop.live, self.judge, self.units, half - 2, upper)
        right = self._all_will_weigh(upper)
        made = beside(left, right, half, cells)[:upper]
        made += [()] * (upper - len(made))
        made += [offer] if offer else []
        return [*made, *later_list(self.shop.jobs, self.found.later, self.clock, cells, later_rows)]

    def _heading_of(self, job: JobState, piece: str) -> WillWeigh | None:
        mine = piece_address(job.job, piece)
        return next((h for h in self.landing.all_will_weigh if h.address == mine), None)

    def _all_will_weigh(self, most: int) -> list[Line]:
        """Of every piece of the job in hand."""
        job = self._job
        if job is None or job.plan is None:
            return []
        out = []
        for piece in job.plan.pieces:
            found = self._heading_of(job, piece.name)
            if found is not None:
                label = piece_label(job, piece.name)
                rest = will_weigh_line(found, piece.target_g, piece.tolerance_g, self.units)
                out.append(line(f"{label}  ", *rest))
        return out[:most]


def _piece(job: JobState, name: str) -> PiecePlan | None:
    return next((p for p in job.plan.pieces if p.name == name), None) if job.plan else None
