"""A scale that types, played by the emulator: every form with every fault, then a pour."""

from __future__ import annotations

from itertools import product
from random import Random

from tests.faults.work import Campaign, Work
from tests.scale_driven import FAULTS, DrivenScale
from tests.scale_emulator import FORMS


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


def run(work: Work) -> None:
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
    "No weight counts as steady that the scale did not show, at rest, just then.",
    "an emulated scale in six forms, each sound, with lines cut, glued, dribbled and after "
    "garbage, silent, unplugged and at a wrong speed, while things are put on, poured, tared "
    "and taken off at random",
    4_800,
    48,
    run,
)
