"""A running job is changed: worked out and shown first, then recorded as one event.

The other plan is made from the job's own text and parameters, or from a file that was edited, and
laid over what was done.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from benchmate.bench.service import Bench
from benchmate.bench.shelf.materials_for_job import checked, chosen_in
from benchmate.bench.starting.proofing import made_of, sources_of
from benchmate.bench.starting.start_like import values_of
from benchmate.bench.weights.scales import scales_of
from benchmate.bench.weights.will_weigh import aims, offer_of, offer_texts, will_weigh_text
from benchmate.job.deciding import changing
from benchmate.job.deciding import commands as cmd
from benchmate.job.deciding.differences import HAIR_G, differences, marked_by_hand
from benchmate.job.events.of_jobs import AmountChanged, Difference
from benchmate.job.state.state import JobState
from benchmate.job.weights.adjustments import will_weigh_of_job
from benchmate.job.words.distinct_names import told_apart
from benchmate.job.words.event_text import amount_lines, difference_lines
from benchmate.landing.adjusting.matching import NotReachable
from benchmate.landing.words import say_in
from benchmate.plan.address import slug
from benchmate.plan.plan import Plan
from benchmate.quantities import show_mass
from benchmate.refusal import Refused

if TYPE_CHECKING:
    from benchmate.procedure.file.document import Document

_MAKES = re.compile(r"(?m)^makes\s*=.*$")


@dataclass(frozen=True)
class Wish:
    """What is to be different. Everything left empty stays."""

    target_g: float | None = None
    tolerance_g: float | None = None
    piece: str = ""
    file: str = ""
    pieces: int | None = None
    materials: Mapping[str, str] = field(default_factory=dict)
    add: tuple[str, str, float] | None = None
    """Behind which step, what to do, and its hands-on seconds."""
    leave_out: str = ""
    move: tuple[str, str] | None = None
    """Which step, and behind which."""
    amount: tuple[str, str, float] | None = None
    """At which step, of what, and how much."""


@dataclass(frozen=True)
class Change:
    """A changed plan and what differs, before it is taken."""

    plan: Plan
    text: str | None
    differences: tuple[Difference, ...]
    amounts: tuple[AmountChanged, ...]
    weights: tuple[tuple[str, float, float], ...]
    """What each piece will weigh, before and after, in g."""
    reach: tuple[str, ...] = ()
    """What another target means: where each piece is going, and what can't be met any more."""

    @property
    def is_none(self) -> bool:
        """Whether nothing would change."""
        return not (self.differences or self.amounts)

    def lines(self) -> list[str]:
        """The difference with its consequences, in words."""
        said = [*difference_lines(self.differences), *amount_lines(self.amounts)]
        for piece, before, after in self.weights:
            if abs(after - before) >= HAIR_G:
                said.append(f"{piece} will weigh {show_mass(after)} instead of {show_mass(before)}")
        return [*said, *self.reach]


def change_of(bench: Bench, job: JobState, wish: Wish) -> Change:
    """What a wish would change; nothing is recorded. Raises Refused or ProcedureError."""
    if job.plan is None:
        raise Refused("This job has no plan that could be changed.")
    if not job.is_live:
        raise Refused(f"{job.title} is over; what it was stays as it was.")
    plan, text, made = _plan(bench, job, wish)
    found = differences(job.plan, plan, wish.move)
    if made is not None:
        found = marked_by_hand(made, plan, found, wish.move)
        found = (*found[0], *changing.moves_lost(job, plan)), found[1]
    facts, amounts = found
    reach: tuple[str, ...] = ()
    if wish.target_g is not None or wish.tolerance_g is not None:
        changed, say = _by(job, plan), say_in(bench.settings.units)
        offered = offer_of(bench, changed)
        far = offer_texts(offered) if isinstance(offered, NotReachable) else ()
        reach = (*(will_weigh_text(aim, say) for aim in aims(bench, changed)), *far)
    return Change(plan, text, facts, amounts, tuple(_weights(bench, job, plan)), reach)


def take_change(bench: Bench, job: JobState, change: Change, reason: str) -> None:
    """Go on by the changed plan. Raises Refused where nothing would change, or without a reason."""
    if change.is_none:
        raise Refused("That changes nothing: the plan is so already.")
    if not reason.strip():
        raise Refused("Say why the plan is changed; you will want to know next time.")
    bench.do(
        job.job,
        cmd.ChangePlan(
            plan=change.plan,
            amounts=change.amounts,
            differences=change.differences,
            reason=reason.strip(),
            text=change.text,
        ),
    )


def _plan(bench: Bench, job: JobState, wish: Wish) -> tuple[Plan, str | None, Plan | None]:
    """One change after the other, each on what the ones before made. Where the plan is made anew,
    its text, and it before the maker's own changes."""
    text: str | None = None
    made: Plan | None = None
    if wish.file or wish.pieces is not None or wish.materials:
        plan, text = _expanded(bench, job, wish)
        made = changing.laid_over(job, changing.carried(job, plan))
        job = _by(job, made)
    if wish.target_g is not None or wish.tolerance_g is not None:
        job = _by(job, changing.with_target(job, wish.target_g, wish.tolerance_g, wish.piece))
    if wish.leave_out:
        job = _by(job, changing.without_step(job, wish.leave_out))
    if wish.add is not None:
        after, do, hands_s = wish.add
        job = _by(job, changing.with_step(job, after, do, slug(do)[:40], hands_s))
    if wish.move is not None:
        job = _by(job, changing.moved_behind(job, *wish.move))
    if wish.amount is not None:
        job = _by(job, changing.with_amount(job, *wish.amount))
    assert job.plan is not None
    return job.plan, text, made


def _by(job: JobState, plan: Plan) -> JobState:
    return replace(job, plan=plan)


def _expanded(bench: Bench, job: JobState, wish: Wish) -> tuple[Plan, str]:
    """The job's procedure expanded anew: its own text or an edited file, its parameters, other
    materials or another number of pieces."""
    assert job.plan is not None
    text, name = job.text, f"{job.plan.procedure}.toml"
    if wish.file:
        path = Path(wish.file).expanduser()
        text, name = _text_of(path), str(path)
    document = _loaded(bench, text, name)
    values, _ = values_of(job.plan, {**document.parameters, **document.woods})
    pieces = wish.pieces
    if any(d.kind.startswith("piece") for c in job.changes for d in c.differences):
        pieces = pieces or len(job.plan.pieces)
    if pieces is not None:
        text, values = _for_pieces(text, document.raw.get("makes"), values, pieces)
        document = _loaded(bench, text, name)
    chosen, _ = chosen_in(bench, job.plan)
    chosen = checked(bench, document, {**chosen, **wish.materials})
    sources = sources_of(bench, document, job.job, values, chosen)
    # A job of long ago may be changed though its file wouldn't be started any more.
    plan = made_of(document, sources, judge=bool(wish.file)).plan
    return told_apart(plan, bench.shop.live), text


def _text_of(path: Path) -> str:
    from benchmate.procedure.finding import read_text

    try:
        return read_text(path)
    except OSError as error:
        why = (error.strerror or "").lower()
        raise Refused(f"{path} can't be read: {why}.") from None


def _loaded(bench: Bench, text: str, name: str) -> Document:
    from benchmate.procedure.file.document import load
    from benchmate.procedure.finding import library

    return load(text, name, library(bench.folders.procedures.parent))


def _for_pieces(
    text: str, makes: object, values: Mapping[str, Any], pieces: int
) -> tuple[str, dict[str, Any]]:
    """The text or the parameter that says how many pieces, with another number."""
    if isinstance(makes, str) and makes.startswith("{"):
        return text, {**values, makes.strip("{} "): pieces}
    line = f"makes = {pieces}"
    if _MAKES.search(text):
        return _MAKES.sub(line, text, count=1), dict(values)
    return f"{line}\n{text}", dict(values)


def _weights(bench: Bench, job: JobState, plan: Plan) -> list[tuple[str, float, float]]:
    scales = scales_of(bench)
    before = {one.address or one.piece: one.mass_g for one in will_weigh_of_job(job, scales)}
    after = will_weigh_of_job(_by(job, plan), scales)
    return [
        (one.piece, before[one.address or one.piece], one.mass_g)
        for one in after
        if (one.address or one.piece) in before
    ]
