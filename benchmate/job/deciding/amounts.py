"""Decisions about what is said of an act after it was marked: used, mixed, left in the cup."""

from __future__ import annotations

from benchmate.job.deciding import commands as cmd
from benchmate.job.deciding.guards import check_mass
from benchmate.job.events import stored as ev
from benchmate.job.state.state import JobState
from benchmate.job.weights.cups import in_cup_g
from benchmate.moment import Moment
from benchmate.plan.address import matches
from benchmate.refusal import BadWeight, NotNow, Refused, UnknownAddress


def say_amounts(job: JobState, c: cmd.SayAmounts, now: Moment) -> list[ev.JobEvent]:
    """What was really used or mixed, and what stayed in the cup, of an act that is done.

    Raises NotNow where it isn't done, and BadWeight for more left than went in.
    """
    where = done_at(job, c.address)
    if not c.used and c.left_g is None:
        raise Refused("Say what is left in the cup, or how much was used.")
    for amount in c.used:
        check_mass(amount.amount, amount.what)
        if amount.amount <= 0.0:
            raise BadWeight(
                f"{amount.what} of {amount.amount:g} {amount.unit} can't be; say what was used."
            )
    if c.left_g is not None:
        _check_left(job, where, c)
    return [
        ev.AmountsSaid(
            happened=c.at or now, recorded=now, address=where, used=c.used, left_g=c.left_g
        )
    ]


def done_at(job: JobState, address: str) -> str:
    """The one act that is done at that address, or at a tail of it."""
    found = [a for a in job.done if a == address] or [a for a in job.done if matches(address, a)]
    if len(found) == 1:
        return found[0]
    if found:
        raise UnknownAddress(f"“{address}” could be any of {', '.join(found[:3])}. Say more.")
    if any(matches(address, a) for a in job.steps):
        raise NotNow(
            f"{address} isn't done yet: say that it is done first, with --used and --left."
        )
    raise UnknownAddress(f"There is no step “{address[:60]}” in {job.title}.")


def _check_left(job: JobState, address: str, c: cmd.SayAmounts) -> None:
    left = c.left_g or 0.0
    check_mass(left, "What is left")
    if left < 0.0:
        raise BadWeight("Less than nothing can't be left in a cup; weigh it less its tare.")
    went_in = sum(a.amount for a in c.used if a.unit == "g") or in_cup_g(job, address)
    if went_in is not None and left > went_in:
        raise BadWeight(
            f"{left:g} g left is more than the {went_in:g} g that went in. Take the empty cup's "
            "weight off, or say how much was mixed."
        )
