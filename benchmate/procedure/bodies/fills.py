"""What goes into each void: packing, layers, and the clear cap, by the ready reckoners."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass

from benchmate.fields.problem import Fault
from benchmate.plan.plan import Fill, Layer
from benchmate.procedure.bodies.bodies import Hollow, Worked
from benchmate.procedure.expanding.instances import Draft, Layout
from benchmate.procedure.expanding.placeholders import sole_name
from benchmate.procedure.expanding.roles import Roles
from benchmate.quantities import QuantityError, parse_mass_g
from benchmate.reckon.asking.frame import Refused
from benchmate.reckon.filling.fill import fill
from benchmate.reckon.filling.packing import one_size


@dataclass(frozen=True)
class ShotAndResin:
    """Which materials a pour takes, by the names the procedure gives them."""

    shot: str
    resin: str


def shot_and_resin_of(draft: Draft, roles: Roles) -> ShotAndResin | None:
    """The materials of a step that pours a layer, None where it is none."""
    if draft.scope != "layer":
        return None
    by_kind = {
        t.kind: a.material for a in draft.flat.spec.amounts if (t := roles.material(a.material))
    }
    shot, resin = by_kind.get("shot"), by_kind.get("resin")
    return ShotAndResin(shot, resin) if shot and resin else None


def work_out_fills(
    layout: Layout,
    parts: Mapping[tuple[str, str], Worked],
    roles: Roles,
    learned: Mapping[str, float],
    faults: list[Fault],
) -> list[Fill]:
    """The fill of every void that is poured; numbers of layers and caps go into their drafts."""
    fills = []
    for flat in layout.flats:
        for piece in layout.pieces:
            mine = [d for d in layout.of[flat.key] if d.piece == piece]
            for target in dict.fromkeys(d.target for d in mine):
                pours = [d for d in mine if d.target == target]
                poured = shot_and_resin_of(pours[0], roles)
                if poured is None:
                    continue
                found = _fill_of(layout, pours, poured, parts, roles, learned, faults)
                if found is not None:
                    fills.append(found)
    return fills


def _fill_of(
    layout: Layout,
    pours: list[Draft],
    poured: ShotAndResin,
    parts: Mapping[tuple[str, str], Worked],
    roles: Roles,
    learned: Mapping[str, float],
    faults: list[Fault],
) -> Fill | None:
    first = pours[0]
    where = first.flat.where
    worked = parts.get((first.piece, first.part))
    if worked is None:
        return None
    hollow = worked.hollow(first.void)
    if hollow is None:
        wrong = f"the part “{first.part}” has no void to pour into"
        faults.append(Fault(where, wrong, "write void = { … } at the part"))
        return None
    densities = [roles.value(r, "density_g_cm3") for r in (poured.shot, poured.resin)]
    size = roles.value(poured.shot, "size_mm")
    if None in (*densities, size):
        faults.append(Fault(where, "shot or resin has no density or size", "name another material"))
        return None
    try:
        return _filled(layout, pours, poured, hollow, densities, size, learned, roles)
    except Refused as error:
        faults.append(Fault.said(where, error))
        return None


def _layer(
    draft: Draft,
    poured: ShotAndResin,
    void_ml: float,
    reckoned: tuple[float, float],
    by_weight: bool,
) -> Layer:
    """One layer, its shot and resin as reckoned or as the file says."""
    draft.numbers |= {"shot of layer": reckoned[0], "resin of layer": reckoned[1]}
    shot_g, resin_g = _typed_or(draft, poured, *reckoned)
    return Layer(
        address=draft.address,
        void_ml=void_ml,
        shot_g=shot_g,
        resin_g=resin_g,
        by_weight=by_weight,
    )


def _filled(
    layout: Layout,
    pours: list[Draft],
    poured: ShotAndResin,
    hollow: Hollow,
    densities: list[float],
    size: float,
    learned: Mapping[str, float],
    roles: Roles,
) -> Fill:
    first = pours[0]
    packing = one_size(size, hollow.gap_mm, "poured")
    fraction = learned.get(f"packing/{first.where}", packing.fraction)
    caps = _caps(layout, first)
    if caps and hollow.spec.cap <= 0.0:
        raise Refused(
            'this pour has a cap, and the void leaves no room for one; write cap = "none" at the '
            'pour, or cap = "1.5 mm" at the void'
        )
    cap_ml = hollow.spec.cap * hollow.mouth_mm2 / 1000.0 if caps else 0.0
    reserve = hollow.spec.reserve / 100.0
    planned = fraction * (1.0 - reserve)
    found = fill(hollow.volume_ml, planned, densities[0], densities[1], len(pours), cap_ml)
    wet = learned.get(f"resin/{first.where}", 100.0) / 100.0
    layers = [
        _layer(draft, poured, layer.volume_ml, (layer.shot_g, layer.resin_g * wet), reserve > 0.0)
        for draft, layer in zip(pours, found.layers, strict=True)
    ]
    for draft in caps:
        draft.numbers["resin of cap"] = found.cap.resin_g
    shot = roles.material(poured.shot)
    staged = any(
        f.spec.cups == "layer by layer" for f in layout.flats if f.group == first.flat.group
    )
    return Fill(
        piece=first.piece,
        part=first.part,
        void_ml=hollow.volume_ml,
        void_u_ml=hollow.u_ml,
        packing=fraction,
        packing_u=packing.u,
        shot=shot.name if shot else poured.shot,
        shot_density_g_cm3=densities[0],
        resin_density_g_cm3=densities[1],
        layers=tuple(layers),
        cap_g=found.cap.resin_g,
        way="staged" if staged else "one mix",
        gap_mm=hollow.gap_mm,
        deep_mm=hollow.deep_mm,
        void=first.void,
    )


def _caps(layout: Layout, pour: Draft) -> list[Draft]:
    """What closes the same void."""
    mine = (f for f in layout.flats if f.group == pour.flat.group)
    near = (d for f in mine for d in layout.of[f.key] if d.piece == pour.piece)
    return [d for d in near if d.target == pour.target and _is_cap(d)]


def _typed_or(
    draft: Draft, poured: ShotAndResin, shot_g: float, resin_g: float
) -> tuple[float, float]:
    """The layer's grams: what the file itself gives stands before what was reckoned."""
    found = {poured.shot: shot_g, poured.resin: resin_g}
    for item in draft.flat.spec.amounts:
        if item.material in found and sole_name(item.amount) is None:
            with suppress(QuantityError):
                found[item.material] = parse_mass_g(item.amount)
    return found[poured.shot], found[poured.resin]


def _is_cap(draft: Draft) -> bool:
    return any(sole_name(a.amount) == "resin of cap" for a in draft.flat.spec.amounts)
