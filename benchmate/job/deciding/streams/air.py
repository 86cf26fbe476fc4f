"""Decisions about the air: readings typed, put right, taken back, and what a file gave.

With each goes what it puts off again: an edge that had been said to have come is not derived any
more, so that it is an event.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Literal

import msgspec

from benchmate.air.followed.notices import Notice
from benchmate.air.log import AirLog
from benchmate.air.readings import Reading
from benchmate.air.slips import DoubtfulAir, doubt_of, is_impossible
from benchmate.job.deciding.streams import commands as cmd
from benchmate.job.events import stored as ev
from benchmate.job.state.shop import PLACE, Shop, Write
from benchmate.job.windows.agenda import agenda
from benchmate.job.windows.windows import Edge
from benchmate.moment import Moment
from benchmate.refusal import UnknownAddress


def read(shop: Shop, c: cmd.ReadAir, now: Moment) -> list[Write]:
    """A reading. Raises DoubtfulAir for one that looks like a slip, unless the maker said that it
    stands; only what was typed is asked about."""
    log, moment = shop.air_of(c.place), c.at or now
    reading = Reading(shop.timeline.at(moment), c.temperature_c, c.humidity_pct)
    event = ev.AirRead(
        happened=moment,
        recorded=now,
        temperature_c=c.temperature_c,
        humidity_pct=c.humidity_pct,
        source=c.source,
    )
    if c.source == cmd.TYPED:
        event = _asked(log, reading, event, stands=c.stands)
    return _written(shop, c.place, [event], log.plus(_as_read(reading, event)), now)


def correct(shop: Shop, c: cmd.CorrectAir, now: Moment) -> list[Write]:
    """Another reading for the moment of an older one. Raises as `read`, and UnknownAddress."""
    log = _without(shop, c.place, c.version)
    reading = Reading(shop.timeline.at(c.at), c.temperature_c, c.humidity_pct)
    event = ev.AirRead(
        happened=c.at,
        recorded=now,
        temperature_c=c.temperature_c,
        humidity_pct=c.humidity_pct,
        corrects=c.version,
    )
    event = _asked(log, reading, event, stands=c.stands)
    events: list[ev.AnyEvent] = [_gone(c.version, now), event]
    return _written(shop, c.place, events, log.plus(_as_read(reading, event)), now)


def take_back(shop: Shop, c: cmd.TakeBackAir, now: Moment) -> list[Write]:
    """A reading counts no more. Raises UnknownAddress."""
    log = _without(shop, c.place, c.version)
    return _written(shop, c.place, [_gone(c.version, now)], log, now)


def log(shop: Shop, c: cmd.LogAir, now: Moment) -> list[Write]:
    """What a file gave: it was looked at by whoever followed it, and isn't asked about."""
    events: list[ev.AnyEvent] = []
    if c.notice is not None:
        events.append(_silence(c.notice, now))
    events += (
        ev.AirRead(
            happened=r.at,
            recorded=now,
            temperature_c=r.temperature_c,
            humidity_pct=r.humidity_pct,
            source=c.source,
        )
        for r in c.readings
    )
    at = shop.timeline.at
    fresh = (Reading(at(r.at), r.temperature_c, r.humidity_pct) for r in c.readings)
    return _written(shop, c.place, events, shop.air_of(c.place).plus(*fresh), now)


def no_such_reading(place: str, number: int | None = None) -> UnknownAddress:
    """Where there is nothing to put right."""
    which = "" if number is None else f" number {number}"
    return UnknownAddress(f"There is no reading{which} of the air in {place} to put right.")


def _asked(log: AirLog, reading: Reading, event: ev.AirRead, *, stands: bool) -> ev.AirRead:
    """The event of a reading, with what speaks against it where the maker says that it stands."""
    doubt = doubt_of(log, reading)
    if doubt is None:
        return event
    if not stands or is_impossible(reading):
        raise DoubtfulAir(doubt, is_impossible=is_impossible(reading))
    beside = None
    if doubt.other is not None:
        beside = ev.Beside(
            temperature_c=doubt.other.temperature_c, before_s=reading.t_s - doubt.other.t_s
        )
    return msgspec.structs.replace(event, stands=True, beside=beside, schema=2)


def _as_read(reading: Reading, event: ev.AirRead) -> Reading:
    return reading._replace(is_doubtful=event.is_doubtful)


def _without(shop: Shop, place: str, version: int) -> AirLog:
    log = shop.air_of(place)
    if version not in {r.number for r in log.every}:
        raise no_such_reading(place, version)
    return log.without({version})


def _gone(version: int, now: Moment) -> ev.TakenBack:
    return ev.TakenBack(happened=now, recorded=now, versions=(version,))


def _silence(notice: Notice, now: Moment) -> ev.AirSilent:
    last, odd = notice.last, notice.reading
    return ev.AirSilent(
        happened=now,
        recorded=now,
        schema=2,
        source=notice.source,
        what=notice.what,
        why=notice.why,
        quiet_s=notice.quiet_s,
        temperature_c=odd.temperature_c if odd else None,
        humidity_pct=odd.humidity_pct if odd else None,
        beside=ev.Beside(
            temperature_c=last.temperature_c, before_s=odd.t_s - last.t_s if odd else 0.0
        )
        if last
        else None,
    )


def _written(
    shop: Shop, place: str, events: list[ev.AnyEvent], log: AirLog, now: Moment
) -> list[Write]:
    """Events after which a place's log is as given, and the edges that it puts off again."""
    backs = set_backs(shop, {place: log}, now)
    return [(PLACE + place, e) for e in (*events, *backs)]


def set_backs(shop: Shop, logs: Mapping[str, AirLog], now: Moment) -> list[ev.EdgeSetBack]:
    """One event for each edge that has come and, in these logs, is still to come."""
    around, now_s = shop.around, shop.timeline.at(now)
    newer = replace(around, air={**around.air, **logs})
    after = {v.address: v for v in agenda(shop.live, newer, now_s).windows}
    put_off = []
    for view in agenda(shop.live, around, now_s).windows:
        then = after.get(view.address)
        for name, edge in then.edges.items() if then is not None else ():
            old = view.edges.get(name)
            if old is not None and old.at <= now_s < edge.at:
                put_off.append(_put_off(view.address, name, old, edge, now, now_s))
    return put_off


def _put_off(
    window: str, name: str, old: Edge, edge: Edge, now: Moment, now_s: float
) -> ev.EdgeSetBack:
    return ev.EdgeSetBack(
        happened=now,
        recorded=now,
        schema=2,
        window=window,
        edge=name,
        at=now.shifted(old.at - now_s),
        until=now.shifted(edge.at - now_s),
        sure=sureness(edge),
    )


def sureness(edge: Edge) -> Literal["label", "about", "latest"]:
    """How an edge's time is known: the label's own, the middle of a range, or its end."""
    if edge.kind == "label":
        return "label"
    return "latest" if edge.at >= edge.latest else "about"
