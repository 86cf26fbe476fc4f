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


_ONE_PART = ("wood glue", "hide glue", "polyurethane glue")
_QUICK = ("contact adhesive", "cyanoacrylate", "resin")
GLUE = Wanted((*_ONE_PART, "epoxy glue"), "a glue for clamps", "yellow wood glue")
ANY_GLUE = Wanted((*GLUE.kinds, *_QUICK), "a glue", "yellow wood glue")
ONE_PART = Wanted(_ONE_PART, "a glue of one part", "yellow wood glue")
CONTACT = Wanted(("contact adhesive",), "a contact adhesive", "contact adhesive")
TACK = Wanted(("cyanoacrylate",), "a cyanoacrylate", "cyanoacrylate")
FINISH = Wanted(("oil", "film finish", "lathe polish"), "a finish", "hard oil")
ANY_FINISH = Wanted((*FINISH.kinds, "wax", "epoxy glue", "resin"), "a finish", "hard oil")
SHOT = Wanted(("shot",), "shot", "steel 2 mm")
RESIN = Wanted(("resin",), "a casting resin", "slow casting epoxy")
SHEET = Wanted(("sheet",), "felt, leather or cloth", "felt 2 mm")
MIXED = Wanted(
    ("resin", "hardener", "epoxy glue", "film finish", "polyurethane glue"),
    "a resin or a glue of two parts",
    "two-part epoxy glue",
)
WAX = Wanted(("wax", "oil", "lathe polish"), "a wax", "paste wax")

_BY_ACT = {
    "spread": GLUE,
    "closed": ONE_PART,
    "clamped": GLUE,
    "driven": GLUE,
    "wedged": GLUE,
    "joined": CONTACT,
    "tacked": TACK,
    "coated": FINISH,
    "mixed": MIXED,
    "poured": RESIN,
    "capped": RESIN,
    "waxed": WAX,
}
"""Of a block's steps, which count on the times that such a material has."""
_BY_AMOUNT = {
    "shot of layer": SHOT,
    "resin of layer": RESIN,
    "resin of cap": RESIN,
    "glue of joint": ANY_GLUE,
    "finish of coat": ANY_FINISH,
    "weight of sheet": SHEET,
}
_BARE = ("shot", "tape")
"""Kinds that are said without an article."""


def check_kinds(flats: list[FlatStep], roles: Roles, faults: list[Fault]) -> None:
    """Names whose material is of another kind: a fault each, and then they stand for nothing."""
    asked = [(role, wanted, flat) for flat in flats for role, wanted in _asked_of(flat)]
    # What is asked for most closely says best what to name.
    for role, wanted, flat in sorted(asked, key=lambda each: len(each[1].kinds)):
        material = roles.material(role)
        if material is None or material.kind in wanted.kinds or not material.kind:
            continue
        who = f"“{flat.block}”" if flat.block else f"the step “{flat.local}”"
        wrong = f"{material.name} is {_a(material.kind)}, and {who} wants {wanted.words}"
        if material.name == material.kind:
            wrong = f"{who} wants {wanted.words}, and {material.name} is none"
        faults.append(Fault(("materials", role), wrong, f'name one, such as "{wanted.example}"'))
        roles.drop(role)


def _asked_of(flat: FlatStep) -> Iterator[tuple[str, Wanted]]:
    # A sentence of the maker's own may spread an oil or mix a glue with water; a block's can't.
    wanted = _BY_ACT.get(flat.act) if flat.block or flat.spec.serves else None
    by_amount = [(a.material, _BY_AMOUNT.get(sole_name(a.amount) or "")) for a in flat.spec.amounts]
    if flat.spec.glues and not flat.block:
        wanted = ANY_GLUE
    if flat.act == "coated" and any(asked is ANY_GLUE for _, asked in by_amount):
        wanted = CONTACT if flat.block else ANY_GLUE
    if wanted is not None:
        yield from ((role, wanted) for role in flat.spec.material)
    yield from ((role, asked) for role, asked in by_amount if asked is not None and role)


def _a(kind: str) -> str:
    return kind if kind in _BARE else f"{'an' if kind[0] in 'aeio' else 'a'} {kind}"
