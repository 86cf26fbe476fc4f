"""Glue where it doesn't hold, and what it does to what is inside."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import suppress

from benchmate.fields.problem import Fault
from benchmate.plan.plan import Step
from benchmate.procedure.bodies.bodies import Worked
from benchmate.procedure.bodies.placing import AXIS, extent_of, side_of
from benchmate.procedure.bodies.shapes import deep_of
from benchmate.procedure.cautions import is_oily
from benchmate.procedure.file.schema import FileNeed
from benchmate.procedure.trade.proof import WATER_GLUES, Proof
from benchmate.quantities import QuantityError, parse_length_mm, show_area, show_length
from benchmate.reckon.filling.trade import is_acid, is_lead


def joints(proof: Proof) -> list[Step]:
    """The steps of the first piece in which parts are glued."""
    return [s for s in proof.own_steps if proof.flat(s).spec.glues]


def of_one_part(proof: Proof) -> Iterator[Fault]:
    """A joint in which nothing but one part is glued."""
    for step in joints(proof):
        names = proof.flat(step).spec.part
        parts = list({p.name: p for p in proof.parts(step)}.values())
        if not names or len(parts) != 1 or parts[0].spec.count > 1:
            continue
        twice = f" (“{names[0]}” is named twice)" if len(names) > 1 else ""
        others = [n for n in proof.own if n != parts[0].name]
        wrong = f"one part is glued, {parts[0].name}, and a joint takes two{twice}"
        example = f'write of = ["{parts[0].name}", "{others[0] if others else "…"}"]'
        yield Fault(proof.where(step, "part"), wrong, example)


def filled_face(proof: Proof) -> Iterator[Fault]:
    """A wood glue on more than the wood around a filled void."""
    poured = {(f.piece, f.part) for f in proof.of.plan.fills}
    for step in joints(proof):
        area = proof.flat(step).spec.area
        if area is None or not any(t.kind in WATER_GLUES for t in proof.materials(step)):
            continue
        named = [p for p in proof.parts(step) if p.name in proof.flat(step).spec.part]
        if any(p.tenon is not None and p.tenon.fits for p in named):
            continue  # It is glued in its mortise, not on the face.
        for part in named:
            if (step.piece, part.name) not in poured or part.largest_face_mm2 <= 0.0:
                continue
            wood = part.joint_mm2
            if wood * 1.02 < area <= part.largest_face_mm2 * 1.02:
                wrong = (
                    f"{show_area(area)} of joint takes in the filled face of {part.name}: glue "
                    f"doesn't hold on resin or metal, and the wood around it is {show_area(wood)}"
                )
                yield Fault(proof.where(step, "area"), wrong, "leave area out, or use epoxy")


def lead(proof: Proof) -> Iterator[Fault]:
    """Lead closed in with a water-borne glue, or in an acid wood."""
    for fill in proof.own_fills:
        if not is_lead(fill.shot):
            continue
        for step in joints(proof):
            if any(t.carrier == "water" for t in proof.materials(step)):
                wrong = f"lead in {fill.part} with a water-borne glue corrodes and swells"
                instead = "close it with epoxy, or take another metal"
                yield Fault(proof.where(step, "material"), wrong, instead)
        wood = proof.own[fill.part].spec.wood
        if is_acid(wood):
            wrong = f"lead in {wood} corrodes: the wood's acid attacks it"
            where = ("parts", fill.part, "wood")
            yield Fault(where, wrong, "take another metal or another wood")


def oily(proof: Proof) -> Iterator[Fault]:
    """An oily wood glued without a face made fresh just before."""
    for step in joints(proof):
        woods = [w.spec.wood for w in proof.parts(step) if is_oily(w.spec.wood)]
        if woods and not any("fresh" in w for w in step.within):
            wrong = f"{woods[0]} is oily: glue doesn't hold on it unless its face is fresh"
            yield Fault(proof.where(step), wrong, 'write surface = "wiped" or "freshly planed"')


def unmixed(proof: Proof) -> Iterator[Fault]:
    """Two parts of a glue or resin that no step has mixed."""
    for step in proof.steps.values():
        flat = proof.flat(step)
        parts = [t for t in proof.materials(step) if t.ratio is not None]
        if not (flat.block or flat.spec.glues):
            continue
        if not parts or step.act not in ("spread", "poured", "coated"):
            continue
        mixed = [s for s in proof.before(step) if s.act == "mixed"]
        if step.mix or any(t in proof.materials(s) for s in mixed for t in parts):
            continue
        wrong = f"{parts[0].name} comes in two parts, and no step mixes them"
        instead = 'add a step with act = "mixed" and serves = "…" before it'
        if flat.block == "wedged tenon":
            instead = 'write way = "epoxy", which mixes it'
        yield Fault(proof.where(step, "material"), wrong, instead)


def _thick_mm(part: Worked) -> float:
    """Across a part as it lies in clamps: its least size, through all layers of a body."""
    if not part.spec.size:
        return 0.0
    return part.spec.size[2] if part.built else min(part.spec.size) * part.spec.count


def short_clamps(proof: Proof) -> Iterator[Fault]:
    """Clamps that don't open as far as flat parts are thick that are laid on each other."""
    for step in joints(proof):
        flat, parts = proof.flat(step), list({w.name: w for w in proof.parts(step)}.values())
        inside = {name for w in parts for name in w.built}
        parts = [w for w in parts if w.name not in inside]
        if flat.spec.area is not None or any(w.spec.shape != "block" for w in parts):
            continue
        thick = sum(map(_thick_mm, parts))
        first = next(f for f in proof.of.flats.values() if f.group == flat.group and f.first)
        for opens in _openings(first.needs):
            if thick > opens:
                wrong = (
                    f"clamps that open {show_length(opens)} don't reach over "
                    f"{show_length(thick)} of parts"
                )
                where = (*flat.where, *(("clamp_size",) if flat.block else ()))
                yield Fault(where, wrong, f'write clamp_size = "{thick + 20:.0f} mm" or more')
                break


def _openings(needs: Iterable[FileNeed]) -> Iterator[float]:
    for need in needs:
        if need.kind == "clamp" and need.size:
            with suppress(QuantityError):
                yield parse_length_mm(need.size)


AIR_MM = 1.0
"""Left below a tenon for glue, so that the shoulder seats (common practice, no source)."""


def bottoming(proof: Proof) -> Iterator[Fault]:
    """A tenon that is as long as its blind mortise is deep: the shoulder stays open."""
    for name, part in proof.own.items():
        tenon = part.tenon
        found = (_blind_mm(w, tenon.fits) for w in proof.own.values()) if tenon is not None else ()
        deep = next((d for d in found if d is not None), None)
        if tenon is None or deep is None or tenon.size_mm[-1] <= deep - AIR_MM + 1e-6:
            continue
        wrong = (
            f"a tenon of {show_length(tenon.size_mm[-1])} bottoms in “{tenon.fits}”, which is "
            f"{show_length(deep)} deep"
        )
        sizes = " x ".join(f"{v:g}" for v in (*tenon.size_mm[:-1], deep - AIR_MM))
        where = (*proof.place(name), "tenon")
        yield Fault(where, wrong, f'write size = "{sizes} mm" in it, or make the mortise deeper')


def _blind_mm(part: Worked, name: str) -> float | None:
    """How deep a part's mortise of that name is; None where it has none, or it goes through."""
    cut = next((c for c in part.spec.minus if name and c.name == name), None)
    if cut is None:
        return None
    along = AXIS[side_of(part.spec, cut)]
    deep = cut.down + deep_of(cut)
    return deep if deep < extent_of(part.spec)[along] - 0.01 else None
