"""A scale that types, played by the emulator: every form with every fault, then a pour."""

from __future__ import annotations

import asyncio
from itertools import product
from random import Random

import pytest

from benchmate.tui.prompts.weigh_live import LOOK_S
from tests.faults.work import Campaign, Work
from tests.scale_driven import FAULTS, DrivenScale
from tests.scale_emulator import FORMS
from tests.tui.weighed_job import LOOKS_S, WeighedJob


def played(form: str, fault: str, seed: int) -> DrivenScale:
    """Put on, pour, take off, at random, with a fault at random moments."""
    chance = Random(f"{form} {fault} {seed}")
    scale = DrivenScale(form, rate_hz=chance.choice([5.0, 10.0, 25.0]), seed=seed)
    scale.advance(2.0)
    for _ in range(8):
        if fault and chance.random() < 0.7:
            scale.fault(fault, chance.uniform(0.2, 4.0))
        match chance.randrange(4):
            case 0:
                scale.emulator.put(chance.uniform(1.0, 400.0))
            case 1:
                scale.emulator.put(chance.uniform(1.0, 120.0), seconds=chance.uniform(0.5, 4.0))
            case 2:
                scale.emulator.take_off()
            case _:
                scale.emulator.tare()
        for _ in range(chance.randrange(4)):
            scale.advance(chance.uniform(0.1, 0.6))
            if fault:
                scale.fault(fault, chance.uniform(0.2, 2.0))
        scale.advance(chance.uniform(0.5, 3.0))
    scale.advance(6.0)
    return scale


def whole_jobs(work: Work) -> None:
    """A job of the demo at the bench: every form with every fault; in short one form with all."""
    every = [(form, (fault,)) for form, fault in product(FORMS, ("", *FAULTS))]
    for number, (form, faults) in enumerate([("plain", FAULTS)] if work.short else every):
        with work.part("job") as home, pytest.MonkeyPatch.context() as patch:
            job = WeighedJob(home, form, faults, work.seed + number)
            job.look_s = LOOKS_S if work.short else LOOK_S
            asyncio.run(job.run(patch))
            for wrong in job.wrong:
                work.wrong(f"{form}, {' '.join(faults)}: {wrong}")
            work.did("whole jobs")
            for what, times in job.counts.items():
                work.did(what, times)


def run(work: Work) -> None:
    whole_jobs(work)
    for number, (form, fault) in zip(
        range(work.count), _round(list(product(FORMS, ("", *FAULTS)))), strict=False
    ):
        scale = played(form, fault, work.seed + number)
        steady, never, moved = scale.wrong()
        work.hold(not never, f"{form}, {fault or 'sound'}, number {number}: {never} wrong")
        work.hold(not moved, f"{form}, {fault or 'sound'}, number {number}: {moved} while moving")
        work.hold(steady > 0, f"{form}, {fault or 'sound'}, number {number}: never steady")
        work.did("runs")
        work.did("lines", len(scale.emulator.sent))
        work.did("steady values", steady)


def _round(of: list[tuple[str, str]]) -> list[tuple[str, str]]:
    return of * 200


CAMPAIGN = Campaign(
    "scale",
    "No weight is taken that the scale did not show at rest just then; a new zero is asked about.",
    "an emulated scale in six forms, each sound, with lines cut, glued, dribbled and after "
    "garbage, silent, unplugged and at a wrong speed, while things are put on, poured, tared "
    "and taken off at random; and a whole job of the demo weighed at the bench with each",
    4_800,
    48,
    run,
    mended=(
        "a line that was sent twice at once counted as two looks at the scale: a slow drift was "
        "called steady (seed 20, number 26)",
        "a scale that came back from its plug read nothing with the piece on it, and that could be "
        "taken for its weight (seed 1)",
    ),
    left=("a maker who says that nothing went in while the scale was gone, though it did",),
)
