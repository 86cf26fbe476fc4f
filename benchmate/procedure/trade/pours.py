"""Voids, layers and walls."""

from __future__ import annotations

from collections.abc import Iterator

from benchmate.fields.problem import Fault
from benchmate.procedure.bodies.bodies import Hollow, Worked
from benchmate.procedure.bodies.walls import Found
from benchmate.procedure.cautions import CUTS
from benchmate.procedure.trade.proof import GREEN, MEASURED_WALL, THIN_WALL, USUAL_WALL_MM, Proof
from benchmate.quantities import QuantityError, parse_limits, show_length, show_volume

SLACK = 1.03
"""A layer may be over by what a rim or a dome takes."""


def layers(proof: Proof) -> Iterator[Fault]:
    """Layers that hold more than the void."""
    for fill in proof.own_fills:
        shot = sum(la.shot_g for la in fill.layers) / fill.shot_density_g_cm3
        resin = (sum(la.resin_g for la in fill.layers) + fill.cap_g) / fill.resin_density_g_cm3
        room = max(shot / fill.packing if fill.packing else 0.0, shot + resin)
        if room > fill.void_ml * SLACK:
            wrong = (
                f"{len(fill.layers)} layers hold {show_volume(room)}, and the void of {fill.part} "
                f"holds {show_volume(fill.void_ml)}"
            )
            step = proof.steps[fill.layers[0].address]
            instead = 'write amount = "{shot of layer}" and "{resin of layer}", or make it deeper'
            yield Fault(proof.where(step, "amounts"), wrong, instead)


def never_filled(proof: Proof) -> Iterator[Fault]:
    """A void that nothing is poured into."""
    poured = {(f.part, f.void) for f in proof.of.plan.fills}
    for name, part in proof.own.items():
        for hollow in part.hollows:
            if (name, hollow.name) not in poured:
                wrong = f"nothing is poured into {_this(hollow)}"
                void = f', void = "{hollow.name}"' if hollow.name else ""
                instead = f'add a step use = "shot pour", part = "{name}"{void}'
                yield Fault(proof.part_at(name, part, hollow), wrong, instead)


def walls(proof: Proof) -> Iterator[Fault]:
    """A wall thinner than the void allows."""
    for name, part in proof.own.items():
        broken_out = [h for h in part.hollows if _is_open(proof.wall(name, h.name))]
        for hollow in part.hollows:
            # Two that run into each other are one mistake.
            if hollow not in broken_out[1:]:
                yield from _wall(proof, name, part, hollow)


def _is_open(wall: Found | None) -> bool:
    return wall is not None and wall.mm <= 0.0


def _wall(proof: Proof, name: str, part: Worked, hollow: Hollow) -> Iterator[Fault]:
    said, where = hollow.spec.wall, proof.part_at(name, part, hollow)
    try:
        wanted = parse_limits("length", said).least if said else USUAL_WALL_MM
    except QuantityError as error:
        yield Fault.said((*where, "wall"), error)
        return
    found = proof.wall(name, hollow.name)
    if found is None and said:
        wrong = f"how thick the wall is can't be reckoned in a {part.spec.shape}"
        instead = f'measure it: write check = {{ wall = "{said}" }} at a step'
        yield Fault((*where, "wall"), wrong, instead, MEASURED_WALL)
    if wanted is None or found is None or found.mm >= wanted - 1e-6:
        return
    wrong = f"the wall {found.where} is {show_length(found.mm)}, less than {show_length(wanted)}"
    if _is_open(found):
        wrong = f"there is no wall {found.where}"
    instead = "make the void smaller, or move it with at"
    # How thin it may be, the file itself says, or its maker knows; no wall at all is none.
    sure = THIN_WALL if not said and found.mm > 0.0 else ""
    yield Fault((*where, "wall") if said else where, wrong, instead, sure)


def _this(hollow: Hollow) -> str:
    return f"the void “{hollow.name}”" if hollow.name else "this void"


WETTEST_PCT = 20.0
"""What is called dry enough to work; glue and sizes want less (common practice, no source)."""


def green(proof: Proof) -> Iterator[Fault]:
    """Wood that will still shrink and move when it is glued or filled."""
    for name, part in proof.own.items():
        moisture = part.spec.moisture
        if part.spec.wood and moisture > WETTEST_PCT:
            wrong = f"wood at {moisture:g} % is green: it shrinks and moves as it dries"
            where = (*proof.place(name), "moisture")
            yield Fault(where, wrong, 'write what it has when it is worked, such as "9 %"', GREEN)


def cut_before_cure(proof: Proof) -> Iterator[Fault]:
    """An edge tool or a sander on a fill that isn't fully cured."""
    pours = {la.address for f in proof.own_fills for la in f.layers}
    for step in (s for s in proof.own_steps if s.act in CUTS):
        names = {w.name for w in proof.parts(step)}
        before = [step, *proof.before(step)]
        poured = [s for s in before if s.address in pours and s.part in names]
        cured = any(":cure" in w for s in before for w in s.waits_full)
        if poured and not cured:
            wrong = "this step works the fill before it has fully cured"
            yield Fault(proof.where(step, "waits_full"), wrong, 'write waits_full = "cure"')
