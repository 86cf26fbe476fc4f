"""What is said about days: the adopted sheet, pins, hours, deliveries, promises."""

from __future__ import annotations

from typing import Any

from msgspec.structs import replace

from benchmate.job.deciding.streams import commands as cmd
from benchmate.job.events import stored as ev
from benchmate.job.state.shop import Shop
from benchmate.moment import Moment
from benchmate.plan.address import matches
from benchmate.refusal import Refused, UnknownAddress


def decide_dates(shop: Shop, command: cmd.DatesCommand, now: Moment) -> list[ev.DayPlanned]:
    """The day sheet as it is after a command; nothing where it is so already. Raises Refused."""
    sheet = shop.dates or ev.DayPlanned(happened=now, recorded=now, dates={})
    match command:
        case cmd.AdoptDays():
            changes = _adopt(shop, command)
        case cmd.PinStep():
            changes = _pin(shop, sheet, command, now)
        case cmd.ChangeHours():
            changes = _hours(sheet, command, now)
        case cmd.AwaitDelivery():
            changes = _await(shop, sheet, command, now)
        case cmd.PromiseFinish():
            changes = _promise(shop, sheet, command, now)
    if all(getattr(sheet, name) == value for name, value in changes.items() if name != "changed"):
        return []
    return [replace(sheet, happened=now, recorded=now, **changes)]


def pending_step(shop: Shop, name: str) -> str:
    """The one step still to be done that a name means, in full. Raises UnknownAddress."""
    pending = [a for j in shop.live for a in j.steps if not j.is_settled(a)]
    meant = [a for a in pending if a == name] or [a for a in pending if matches(name, a)]
    if len(meant) == 1:
        return meant[0]
    if meant:
        raise UnknownAddress(f"“{name[:40]}” may be {meant[0]} or {meant[1]}: write it in full.")
    raise UnknownAddress(f"No step still to be done is called “{name[:60]}”.")


def _adopt(shop: Shop, c: cmd.AdoptDays) -> dict[str, Any]:
    """Only what is still to be done: a step done meanwhile has its own time."""
    pending = {a for j in shop.live for a in j.steps if not j.is_settled(a)}
    dates = {a: at for a, at in c.dates.items() if a.partition("~")[0] in pending}
    if not dates:
        raise Refused("There is nothing left to plan.")
    ends = {a: at for a, at in c.ends.items() if a in dates}
    done_by = {j: at for j, at in c.done_by.items() if j in shop.jobs}
    return {"dates": dates, "ends": ends, "done_by": done_by, "changed": "dates"}


def _pin(shop: Shop, sheet: ev.DayPlanned, c: cmd.PinStep, now: Moment) -> dict[str, Any]:
    step = pending_step(shop, c.step)
    others = {a: at for a, at in sheet.pins.items() if a != step}
    if c.at is None:
        return {"pins": others, "changed": "pin"}
    _ahead(c.at, now, "A step is pinned to a time to come.")
    return {"pins": {**others, step: c.at}, "changed": "pin"}


def _hours(sheet: ev.DayPlanned, c: cmd.ChangeHours, now: Moment) -> dict[str, Any]:
    if not c.hours.ends > c.hours.begins:
        raise Refused("That ends before it begins.")
    kept = tuple(h for h in sheet.hours if h.ends > now.wall_s)
    if c.undo:
        same = [h for h in kept if (h.begins, h.ends) == (c.hours.begins, c.hours.ends)]
        if not same:
            raise Refused("Nothing was said about those hours.")
        return {"hours": tuple(h for h in kept if h not in same), "changed": "hours"}
    _ahead(c.hours.ends, now, "Those hours are over.")
    others = tuple(h for h in kept if h != c.hours)
    return {"hours": (*others, c.hours), "changed": "hours"}


def _await(shop: Shop, sheet: ev.DayPlanned, c: cmd.AwaitDelivery, now: Moment) -> dict[str, Any]:
    others = {what: d for what, d in sheet.awaited.items() if what != c.what}
    if c.comes is None:
        if c.what not in sheet.awaited:
            raise Refused(f"No delivery of “{c.what[:40]}” is awaited.")
        return {"awaited": others, "changed": "delivery"}
    _ahead(c.comes, now, "A delivery comes at a time to come.")
    steps = tuple(pending_step(shop, s) for s in c.steps) or _that_use(shop, c.what)
    if not steps:
        raise Refused(f"No step still to be done uses “{c.what[:40]}”: say which steps wait.")
    delivery = ev.Delivery(comes=c.comes, steps=steps)
    return {"awaited": {**others, c.what: delivery}, "changed": "delivery"}


def _that_use(shop: Shop, what: str) -> tuple[str, ...]:
    """The steps still to be done whose amounts or words name a thing."""
    name = what.casefold()
    return tuple(
        step.address
        for job in shop.live
        for step in job.steps.values()
        if not job.is_settled(step.address)
        and any(
            name in text.casefold()
            for text in (step.do, *(t for a in step.amounts for t in (a.what, a.material)))
        )
    )


def _promise(shop: Shop, sheet: ev.DayPlanned, c: cmd.PromiseFinish, now: Moment) -> dict[str, Any]:
    if c.job not in {j.job for j in shop.live}:
        raise UnknownAddress(f"No job “{c.job[:40]}” is running.")
    others = {job: p for job, p in sheet.promises.items() if job != c.job}
    if c.by is not None:
        _ahead(c.by, now, "A job is promised for a time to come.")
        others[c.job] = ev.Promise(by=c.by, to=c.to)
    return {"promises": others, "changed": "promise"}


def _ahead(wall_s: float, now: Moment, refusal: str) -> None:
    if wall_s <= now.wall_s:
        raise Refused(refusal)
