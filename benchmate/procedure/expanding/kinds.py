"""Whether each name of [materials] stands for a material of the kind that its steps work with.

Said once, at the name: every window and amount of a wrong one would be missing too.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from benchmate.fields.problem import Fault
from benchmate.procedure.expanding.placeholders import sole_name
from benchmate.procedure.expanding.roles import Roles
from benchmate.procedure.file.flat import FlatStep


class Wanted(NamedTuple):
    """What a step works with: its kinds, in words, and one of them."""

    kinds: tuple[str, ...]
    words: str
    example: str


_WET = ("wood glue", "hide glue", "polyurethane glue", "epoxy glue", "cyanoacrylate", "resin")
GLUE = Wanted((*_WET, "contact adhesive"), "a glue", "yellow wood glue")
FINISH = Wanted(
    ("oil", "film finish", "lathe polish", "wax", "contact adhesive", "epoxy glue", "resin"),
    "a finish",
    "hard oil",
)
SHOT = Wanted(("shot",), "shot", "steel 2 mm")
RESIN = Wanted(("resin",), "a casting resin", "slow casting epoxy")
SHEET = Wanted(("sheet",), "felt, leather or cloth", "felt 2 mm")
MIXED = Wanted(
    ("resin", "hardener", "epoxy glue", "film finish", "polyurethane glue"),
    "a resin or a glue of two parts",
    "slow casting epoxy",
)
WAX = Wanted(("wax", "oil", "lathe polish"), "a wax", "paste wax")

_BY_ACT = {
    "spread": GLUE,
    "closed": GLUE,
    "clamped": GLUE,
    "driven": GLUE,
    "wedged": GLUE,
    "joined": GLUE,
    "tacked": GLUE,
    "coated": FINISH,
    "mixed": MIXED,
    "poured": RESIN,
    "capped": RESIN,
    "waxed": WAX,
}
_BY_AMOUNT = {
    "shot of layer": SHOT,
    "resin of layer": RESIN,
    "resin of cap": RESIN,
    "glue of joint": GLUE,
    "finish of coat": FINISH,
    "weight of sheet": SHEET,
}
_BARE = ("shot", "tape")
"""Kinds that are said without an article."""


def check_kinds(flats: list[FlatStep], roles: Roles, faults: list[Fault]) -> None:
    """Names whose material is of another kind: a fault each, and then they stand for nothing."""
    for flat in flats:
        for role, wanted in _asked_of(flat):
            material = roles.material(role)
            if material is None or material.kind in wanted.kinds or not material.kind:
                continue
            who = f"“{flat.block}”" if flat.block else f"the step “{flat.local}”"
            wrong = f"{material.name} is {_a(material.kind)}, and {who} wants {wanted.words}"
            faults.append(
                Fault(("materials", role), wrong, f'name one, such as "{wanted.example}"')
            )
            roles.drop(role)


def _asked_of(flat: FlatStep) -> Iterator[tuple[str, Wanted]]:
    by_act = _BY_ACT.get(flat.act)
    # A sentence of the maker's own may spread an oil or mix a glue with water; a block's can't.
    if by_act is not None and (flat.block or flat.spec.glues or flat.spec.serves):
        yield from ((role, by_act) for role in flat.spec.material)
    for amount in flat.spec.amounts:
        wanted = _BY_AMOUNT.get(sole_name(amount.amount) or "")
        if wanted is not None and amount.material:
            yield amount.material, wanted


def _a(kind: str) -> str:
    return kind if kind in _BARE else f"{'an' if kind[0] in 'aeio' else 'a'} {kind}"
