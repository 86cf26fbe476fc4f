"""Cups: which pours one mix serves, and what is weighed into it.

One cup takes as many pours as its largest mass allows and as can be poured within its pot life by
hands-on time, in the order of the work: piece by piece, or layer by layer, where each layer has
its own cup. A pot life is for the label's mass; a larger cup is shortened by the window's rule.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import groupby

from benchmate.fields.problem import Fault
from benchmate.plan.address import slug
from benchmate.plan.plan import Amount, Mix
from benchmate.procedure.expanding.instances import Draft, Layout, scope_of
from benchmate.procedure.expanding.roles import Roles
from benchmate.procedure.file.flat import FlatStep
from benchmate.reckon.asking.frame import Refused
from benchmate.reckon.filling.mixing import ratio_by_weight

USABLE = 0.9
"""Share of the pot life that is planned on: the rest is for a cup that warms."""


@dataclass
class Cup:
    """One mix and the drafts that pour from it, in order."""

    draft: Draft
    served: list[Draft]
    record: Mix | None = None
    total_g: float = 0.0


@dataclass
class Limits:
    """What bounds one cup."""

    largest_g: float | None
    time_s: float | None
    loss: float


def work_out_cups(
    layout: Layout, roles: Roles, learned: Mapping[str, float], faults: list[Fault]
) -> list[Cup]:
    """All cups of the job; their drafts join the layout, and each pour knows its cup."""
    cups: list[Cup] = []
    for flat in [f for f in layout.flats if scope_of(f) == "mix"]:
        where, role = flat.where, next(iter(flat.spec.material), "")
        served = [d for f in layout.flats if _is_served(f, flat) for d in layout.of[f.key]]
        if served and role in roles.lacks:
            continue
        if not served or role not in roles:
            wrong = "a mix needs the steps it serves and a material"
            faults.append(Fault(where, wrong, 'write serves = ["pour"] and material = "resin"'))
            continue
        by_layer = flat.spec.cups == "layer by layer"
        order = {d.address: i for i, d in enumerate(_in_order(layout, served, by_layer=by_layer))}
        served.sort(key=lambda d: order[d.address])
        limits = _limits(roles, role, flat.spec.loss, learned, flat.key)
        how = flat.spec.cups
        for number, group in enumerate(_grouped(served, limits, role, how), start=1):
            draft = layout.add(Draft(flat, "", "", number, 0))
            cups.append(_cup(draft, group, limits, role, roles, faults))
        _number(cups, flat.key)
    return cups


def _is_served(flat: FlatStep, mix: FlatStep) -> bool:
    """Whether a step pours from a mix: named by it, and in the same block or both in the file."""
    names = [slug(name) for name in mix.spec.serves]
    near = flat.group == mix.group if mix.block else not flat.block
    return near and (flat.local in names or flat.key in names)


def _number(cups: list[Cup], key: str) -> None:
    mine = [c for c in cups if c.draft.flat.key == key]
    for cup in mine:
        cup.draft.last = len(mine)
        for pour in cup.served:
            pour.numbers["cup"] = str(cup.draft.n)


def _in_order(layout: Layout, served: list[Draft], *, by_layer: bool) -> list[Draft]:
    pieces = {p: i for i, p in enumerate(layout.pieces)}
    flats = {f.key: i for i, f in enumerate(layout.flats)}

    def place(draft: Draft) -> tuple[int, ...]:
        piece, step = pieces.get(draft.piece, 0), flats[draft.flat.key]
        return (step, draft.n, piece) if by_layer else (piece, step, draft.n)

    return sorted(served, key=place)


def _limits(roles: Roles, role: str, loss: float, learned: Mapping[str, float], key: str) -> Limits:
    lives = [w.closes_s for w in roles.windows(role, "mixed") if w.closes_s is not None]
    largest = roles.value(role, "largest_mix_g")
    share = learned.get(f"loss/{key}", loss) / 100.0
    return Limits(largest, min(lives) * USABLE if lives else None, share)


def _grouped(served: list[Draft], limits: Limits, role: str, how: str) -> list[list[Draft]]:
    """The pours cup by cup. A piece's pours (a layer's) share a cup wherever they fit into one:
    a piece that was begun from one cup is better finished from it. Pieces share one too, as far
    as it goes, unless each is to have its own."""
    groups: list[list[Draft]] = []
    by_layer, apart = how == "layer by layer", how in ("layer by layer", "one each")
    for _, alike in groupby(served, key=_layer if by_layer else _piece):
        bundle = list(alike)
        if groups and not apart and _fits([*groups[-1], *bundle], limits, role):
            groups[-1] += bundle
        else:
            groups += _split(bundle, limits, role)
    return groups


def _split(bundle: list[Draft], limits: Limits, role: str) -> list[list[Draft]]:
    groups: list[list[Draft]] = [[]]
    for draft in bundle:
        if groups[-1] and not _fits([*groups[-1], draft], limits, role):
            groups.append([])
        groups[-1].append(draft)
    return groups


def _resin_g(draft: Draft, role: str) -> float:
    """What a pour takes from the cup: amounts are named after their material's name in the file."""
    named = {
        item.what or item.material for item in draft.flat.spec.amounts if item.material == role
    }
    return sum(a.amount for a in draft.amounts if a.what in named)


def _layer(draft: Draft) -> tuple[str, int]:
    return (draft.flat.key, draft.n)


def _piece(draft: Draft) -> str:
    return draft.piece


def _fits(pours: list[Draft], limits: Limits, role: str) -> bool:
    grams = sum(_resin_g(d, role) for d in pours) / (1.0 - limits.loss)
    if limits.largest_g is not None and grams > limits.largest_g:
        return False
    return limits.time_s is None or sum(map(hands_of, pours)) <= limits.time_s


def hands_of(draft: Draft) -> float:
    """Hands-on seconds of a step."""
    return 300.0 if draft.flat.spec.hands is None else draft.flat.spec.hands


def _cup(
    draft: Draft, served: list[Draft], limits: Limits, role: str, roles: Roles, faults: list[Fault]
) -> Cup:
    needed = sum(_resin_g(d, role) for d in served) / (1.0 - limits.loss)
    least = draft.flat.spec.least or 0.0
    total = max(needed, least if limits.largest_g is None else min(least, limits.largest_g))
    a_g, b_g = _parts(role, total, roles, draft, faults)
    draft.numbers |= {
        "part a in cup": a_g,
        "part b in cup": b_g,
        "cup total": total,
        "cup": str(draft.n),
    }
    material = roles.material(role)
    name = material.name if material else ""
    draft.amounts = [Amount(what=f"{role}, part A", amount=a_g, material=name)]
    if b_g:
        draft.amounts.append(Amount(what=f"{role}, part B", amount=b_g, material=name))
    draft.pieces = frozenset(d.piece for d in served)
    for pour in served:
        pour.mix = draft
    record = Mix(
        address=draft.address,
        serves=tuple(d.address for d in served),
        total_g=total,
        a_g=a_g,
        b_g=b_g,
        a_name="part A",
        b_name="part B",
    )
    return Cup(draft, served, record, total)


def _parts(
    role: str, total: float, roles: Roles, draft: Draft, faults: list[Fault]
) -> tuple[float, float]:
    ratio = roles.value(role, "ratio")
    if ratio is None:
        return total, 0.0
    try:
        a_per_b = ratio_by_weight(
            ratio[0] / ratio[1],
            roles.value(role, "ratio_by") or "weight",
            roles.value(role, "density_a_g_cm3"),
            roles.value(role, "density_b_g_cm3"),
        )
    except Refused as error:
        faults.append(Fault(draft.flat.where, str(error), "add the densities to the material"))
        return total, 0.0
    b_g = total / (1.0 + a_per_b)
    return total - b_g, b_g
