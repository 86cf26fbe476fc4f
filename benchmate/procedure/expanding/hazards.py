"""Cautions that follow from what a part is made of and filled with, at the steps that cut it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from benchmate.plan.plan import Fill
from benchmate.procedure.bodies.bodies import Worked
from benchmate.procedure.cautions import BY_ACT, CUTS, is_irritating
from benchmate.procedure.expanding.instances import Draft
from benchmate.reckon.filling.trade import is_lead


def hazards_of(
    draft: Draft, parts: Mapping[tuple[str, str], Worked], fills: Iterable[Fill]
) -> list[str]:
    """Names of cautions that the step needn't name: its act's own, dust that irritates, sparks,
    lead, rags."""
    spec = draft.flat.spec
    names = set(spec.part) if spec.part else {n for p, n in parts if p == draft.piece}
    specs = [w.spec for (p, n), w in parts.items() if n in names and p == draft.piece]
    no_wood = specs and all(s.metal for s in specs)
    found = ["oily rags"] if spec.rags else []
    found += [c for c in BY_ACT.get(draft.flat.act, ()) if c != "wood dust" or not no_wood]
    dusty = "wood dust" in (*spec.caution, *found)
    if dusty and any(is_irritating(s.wood) for s in specs):
        found.append("irritating wood")
    if draft.flat.act not in CUTS:
        return found
    for fill in fills:
        if fill.piece == draft.piece and fill.part in names:
            found += ["lead"] if is_lead(fill.shot) else []
            found += ["sparks"] if "steel" in fill.shot.casefold() and not fill.cap_g else []
    return found
