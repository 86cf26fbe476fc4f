"""Where a piece of the plan balances: its parts and fills along its length.

A part says where it lies: `starts` gives the place of its first end, when it runs along the piece,
`middle` that of its middle line, when it stands across. Parts count as they are when they are done;
a fill is taken as even through its void.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot
from typing import TYPE_CHECKING

from benchmate.plan.plan import PieceBalance
from benchmate.procedure.bodies.bodies import Hollow, Worked, voids_of
from benchmate.procedure.bodies.cutting import body_json
from benchmate.procedure.bodies.finishing import finished_form
from benchmate.procedure.file.part_schema import Part as PartSpec
from benchmate.procedure.sought.goals import DRILL, PACKING, WOOD, fill_g, packing_g, void_g
from benchmate.reckon.asking.frame import Refused
from benchmate.reckon.solids import Body, shape_from_json
from benchmate.reckon.solids.second import inertia
from benchmate.reckon.turning.balance import Balance, Part, balance

if TYPE_CHECKING:
    from benchmate.procedure.expanding.expand import Expansion


@dataclass(frozen=True)
class Balanced:
    """Where a piece balances, in mm from its beginning, how it swings, and how surely."""

    whole: Balance
    doubts_mm: dict[str, float]
    parts: tuple[Part, ...]

    @property
    def centre_mm(self) -> float:
        """Where it balances."""
        return self.whole.centre_mm

    @property
    def u_mm(self) -> float:
        """All doubts together."""
        return hypot(*self.doubts_mm.values())


def balance_of(made: Expansion, piece: str) -> Balanced | None:
    """Where a piece balances; None where the file doesn't say where each part lies."""
    parts = {name: worked for (p, name), worked in made.parts.items() if p == piece}
    lumps: list[Part] = []
    doubts: list[tuple[str, float, float]] = []
    for name, worked in parts.items():
        if worked.built:
            continue  # Its parts have its weight, each at its own place.
        body = _when_done(worked)
        place = _place(worked, body)
        if place is None:
            return None
        lumps.append(Part(name, worked.mass_g - worked.off_g, place, _own(worked, body)))
        doubts.append((WOOD, worked.u_g, place))
    for fill in (f for f in made.plan.fills if f.piece == piece):
        worked = parts[fill.part]
        hollow = worked.hollow(fill.void)
        at = None if hollow is None else _hollow_place(worked, hollow)
        if at is None:
            return None
        lumps.append(Part(f"fill of the {fill.where}", fill_g(fill), at))
        doubts.append((PACKING, packing_g(fill), at))
        doubts.append((DRILL, void_g(fill, worked.density_g_cm3), at))
    if not lumps:
        return None
    whole = balance(lumps)
    by_kind: dict[str, float] = {}
    for what, u_g, at in doubts:
        # More weight at a place moves the centre by its share of the way there.
        moved = u_g * (at - whole.centre_mm) / whole.total_g
        by_kind[what] = hypot(by_kind.get(what, 0.0), moved)
    return Balanced(whole, {w: u for w, u in by_kind.items() if u >= 0.05}, tuple(lumps))


def balances_of(made: Expansion) -> tuple[PieceBalance, ...]:
    """The balance of every piece whose parts all say where they lie."""
    found = []
    for piece, sheet in made.sheets.items():
        balanced = balance_of(made, piece)
        if balanced is None:
            continue
        head, whole = sheet.head, balanced.whole
        found.append(
            PieceBalance(
                piece=piece,
                centre_mm=whole.centre_mm,
                u_mm=balanced.u_mm,
                wanted_mm=head.balance.value if head.balance else None,
                tolerance_mm=head.balance.tolerance if head.balance else None,
                weight_g=whole.total_g,
                inertia_g_mm2=whole.inertia_g_mm2,
                grip_mm=head.grip,
                inertia_grip_g_mm2=None if head.grip is None else whole.about(head.grip),
            )
        )
    return tuple(found)


def _place(worked: Worked, body: Body | None) -> float | None:
    """Where the part's own centre lies along the piece."""
    spec = worked.spec
    if spec.middle is not None:
        return spec.middle
    if spec.starts is None or body is None:
        return None
    return spec.starts + body.centre[0]


def _when_done(worked: Worked) -> Body | None:
    """The part in its finished sizes, voids cut; as it is weighed where they are the same."""
    spec, form = worked.spec, finished_form(worked.spec)
    if form is spec or not isinstance(form, PartSpec):
        return worked.body
    try:
        return shape_from_json(body_json(form, voids_of(spec).values()), worked.name)
    except Refused:
        return worked.body


def _hollow_place(worked: Worked, hollow: Hollow) -> float | None:
    spec = worked.spec
    if spec.middle is not None:
        return spec.middle
    centre = hollow.centre_in(spec)
    return None if spec.starts is None else spec.starts + centre[0]


def _own(worked: Worked, body: Body | None) -> float:
    """The part's inertia about its own centre, across the piece's length, in g mm²."""
    if body is None:
        return 0.0
    # Swung in the plane of its length and height, so about its width, standing across or not.
    return worked.density_g_cm3 / 1000.0 * worked.spec.count * inertia(body.second)[1]
