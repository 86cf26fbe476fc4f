"""One door for every decision: commands in, events for any stream out, or a refusal.

Pure like `decide`, which it asks about jobs: a writer whose journal moved on meanwhile asks again
with what is there now.
"""

from __future__ import annotations

import msgspec

from benchmate.job.deciding import commands as job_cmd
from benchmate.job.deciding.decide import decide
from benchmate.job.deciding.streams import air, dates
from benchmate.job.deciding.streams import commands as cmd
from benchmate.job.deciding.streams.lessons import lessons_of
from benchmate.job.deciding.streams.stock import stock_of
from benchmate.job.events import stored as ev
from benchmate.job.state.shop import DATES, JOB, LEARNED, SCALES, STORES, Shop, Write
from benchmate.job.state.state import JobState
from benchmate.landing.likely import Thresholds
from benchmate.moment import Moment
from benchmate.nearest import did_you_mean
from benchmate.quantities.worded import Worded, grams
from benchmate.refusal import Refused, UnknownAddress
from benchmate.shelf import FAMILIES, encode_material, impossible


def decide_in_job(
    shop: Shop, name: str, job: JobState | None, command: job_cmd.Command, now: Moment
) -> list[Write]:
    """What a job's command writes: its own events, what they teach, what they take from the shelf.

    `job` is given apart, since a closed one isn't in the shop. Raises Refused.
    """
    made = decide(job, command, now, shop.around)
    own: list[Write] = [(JOB + name, event) for event in made]
    return own + lessons_of(shop, job, made) + stock_of(job, made, shop.shelf.labels)


def decide_in_shop(shop: Shop, command: cmd.ShopCommand, now: Moment) -> list[Write]:
    """What any other command writes. Raises Refused with a sentence for the maker."""
    match command:
        case cmd.ReadAir():
            return air.read(shop, command, now)
        case cmd.CorrectAir():
            return air.correct(shop, command, now)
        case cmd.TakeBackAir():
            return air.take_back(shop, command, now)
        case cmd.LogAir():
            return air.log(shop, command, now)
        case cmd.DescribeScale():
            return [(SCALES, e) for e in _describe_scale(shop, command, now)]
        case cmd.CheckScale():
            return [(SCALES, _check_scale(shop, command, now))]
        case cmd.BeginScales():
            return [(SCALES, e) for e in _begin_scales(shop, command, now)]
        case cmd.SetRules():
            return [(SCALES, _set_rules(shop, command, now))]
        case cmd.DescribeMaterial():
            return [(STORES, e) for e in _describe_material(shop, command, now)]
        case cmd.EmptyMaterial():
            return [(STORES, _empty_material(shop, command, now))]
        case cmd.Learn():
            return [(LEARNED, e) for e in _learn(shop, command, now)]
        case cmd.DropWish():
            return [(LEARNED, e) for e in _drop_wish(shop, command, now)]
        case _:
            return [(DATES, e) for e in dates.decide_dates(shop, command, now)]


# Scales and verdicts -----------------------------------------------------------------------------


def _describe_scale(shop: Shop, c: cmd.DescribeScale, now: Moment) -> list[ev.ScaleDescribed]:
    if not c.division_g > 0:
        raise Refused("A division is more than nothing, for instance 1 g.")
    if c.repeatability_n is not None and c.repeatability_n < 2:
        raise Refused("Repeatability comes from at least two readings of one load, better ten.")
    described = ev.ScaleDescribed(
        happened=now,
        recorded=now,
        name=c.name,
        division_g=c.division_g,
        repeatability_g=c.repeatability_g,
        repeatability_n=c.repeatability_n,
        linearity_g=c.linearity_g,
        capacity_g=c.capacity_g,
    )
    record = shop.scales.get(c.name)
    there = record.described if record else None
    if there is None or there == c.before:
        return [described]
    if msgspec.structs.replace(there, happened=now, recorded=now) == described:
        return []  # Another bench has said the same.
    raise Refused(
        Worded(
            "{name} was described meanwhile: it counts in steps of {division}. Nothing was "
            "changed; describe it again where that is wrong.",
            name=c.name,
            division=grams(there.division_g),
        )
    )


def _check_scale(shop: Shop, c: cmd.CheckScale, now: Moment) -> ev.ScaleChecked:
    if c.name not in shop.scales:
        named = c.name or "NAME"
        raise Refused(f"Describe the scale first: benchmate scale {named} --division 1g")
    return ev.ScaleChecked(
        happened=now, recorded=now, name=c.name, nominal_g=c.nominal_g, reading_g=c.reading_g
    )


def _begin_scales(
    shop: Shop, c: cmd.BeginScales, now: Moment
) -> list[ev.ScaleDescribed | ev.VerdictRules]:
    """What changes a verdict is an event: a setting changed later changes no old verdict."""
    begun: list[ev.ScaleDescribed | ev.VerdictRules] = []
    if c.division_g is not None and not shop.scales:
        begun.append(
            ev.ScaleDescribed(happened=now, recorded=now, name=c.name, division_g=c.division_g)
        )
    if c.near_fraction is not None and shop.rules is None:
        begun.append(ev.VerdictRules(happened=now, recorded=now, near_fraction=c.near_fraction))
    return begun


def _set_rules(shop: Shop, c: cmd.SetRules, now: Moment) -> ev.VerdictRules:
    old = shop.rules or ev.VerdictRules(happened=now, recorded=now)
    new = ev.VerdictRules(
        happened=now,
        recorded=now,
        inside_p=old.inside_p if c.inside_p is None else c.inside_p,
        outside_p=old.outside_p if c.outside_p is None else c.outside_p,
        near_fraction=old.near_fraction if c.near_fraction is None else c.near_fraction,
    )
    if not 0.0 < new.near_fraction <= 1.0:
        raise Refused("“Just inside” begins at a share of the tolerance: above 0 %, at most 100 %.")
    try:
        Thresholds(new.inside_p, new.outside_p, new.near_fraction)
    except ValueError as error:
        raise Refused(str(error)) from error
    return new


# The shelf ---------------------------------------------------------------------------------------


def _describe_material(
    shop: Shop, c: cmd.DescribeMaterial, now: Moment
) -> list[ev.MaterialDescribed]:
    material = c.material
    if not material.name.strip():
        raise Refused("A material needs a name.")
    if material.family and material.family not in FAMILIES:
        raise Refused(
            f"There is no kind “{material.family}”.{did_you_mean(material.family, FAMILIES)}"
        )
    for _, wrong in impossible(material):
        raise Refused(f"{material.name}: {wrong}.")
    label, there = encode_material(material), shop.shelf.labels.get(material.name)
    if there not in (None, c.before):
        if there == label:
            return []
        raise Refused(
            f"The label of {material.name} was typed meanwhile. Nothing was changed; look at "
            "it, and type what is wrong once more."
        )
    return [ev.MaterialDescribed(happened=now, recorded=now, name=material.name, label=label)]


def _empty_material(shop: Shop, c: cmd.EmptyMaterial, now: Moment) -> ev.MaterialGone:
    if c.name not in shop.shelf.labels:
        raise UnknownAddress(f"There is no material “{c.name[:40]}” on the shelf.")
    return ev.MaterialGone(happened=now, recorded=now, name=c.name)


# Lessons -----------------------------------------------------------------------------------------


def _learn(shop: Shop, c: cmd.Learn, now: Moment) -> list[ev.Learned]:
    """What another bench has taken over to the same value meanwhile isn't taken over twice."""
    known = shop.lessons.values
    fresh = (
        ev.Learned(
            happened=now,
            recorded=now,
            procedure=c.procedure,
            key=v.key,
            value=v.value,
            old=v.old,
            n=v.n,
            scatter=v.scatter,
        )
        for v in c.values
    )
    return [e for e in fresh if not _same_lesson(known.get((e.procedure, e.key)), e)]


def _same_lesson(known: ev.Learned | None, new: ev.Learned) -> bool:
    return known is not None and (known.value, known.old) == (new.value, new.old)


def _drop_wish(shop: Shop, c: cmd.DropWish, now: Moment) -> list[ev.NextTimeDropped]:
    """Nothing where it is gone already."""
    if c.wish not in shop.lessons.wishes:
        return []
    return [
        ev.NextTimeDropped(
            happened=now,
            recorded=now,
            procedure=c.wish.procedure,
            file_step=c.wish.file_step,
            text=c.wish.text,
            into=c.into,
        )
    ]
