"""How big the void must be for a piece to come out at a weight.

A mass balance: what is cut from the body goes at the body's density, what is filled in comes at
the fill's. An impossible wish is refused with what could be reached.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from benchmate.quantities import show_number
from benchmate.quantities.worded import Worded, millilitres
from benchmate.reckon.asking.fields import Fields
from benchmate.reckon.asking.frame import Given, Input, Plain, Reckoner, Refused, Result, Worked
from benchmate.reckon.filling.fill import (
    PACKING_INPUT,
    RESIN_DENSITY_INPUT,
    SHOT_DENSITY_INPUT,
    mixed_density_g_cm3,
)
from benchmate.reckon.filling.metal import find_metal
from benchmate.reckon.filling.outline import OUTLINE_MEANING, Outline, read_outline
from benchmate.reckon.filling.trade import GLUE_HOLDS_ON_WOOD, LEAD_CORRODES, is_like_lead
from benchmate.reckon.solids import shape_from_json
from benchmate.reckon.solids.levels import areas_by_depth

SHOTS = ("steel shot", "brass", "copper", "bismuth-tin shot", "chilled lead shot", "tungsten shot")
_ROUNDING = 1e-6
"""A pocket that is too small by no more than a typed number is rounded isn't too small."""
_SPREAD = 0.10
"""Coefficient of variation of density within a species (Wood Handbook, chapter 4)."""


@dataclass(frozen=True)
class Wish:
    """A piece and the weight it should have: the body without its void, and what else counts."""

    target_g: float
    body_ml: float
    body_g_cm3: float
    other_g: float = 0.0
    still_off_g: float = 0.0
    still_on_g: float = 0.0

    @property
    def unfilled_g(self) -> float:
        """The finished weight without any void."""
        body_g = self.body_ml * self.body_g_cm3
        return body_g + self.other_g + self.still_on_g - self.still_off_g

    def reached_g(self, void_ml: float, fill_g_cm3: float) -> float:
        """The finished weight with a void of that size, filled to its mouth."""
        return self.unfilled_g + void_ml * (fill_g_cm3 - self.body_g_cm3)


@dataclass(frozen=True)
class Pocket:
    """Where the void is cut: its outline from the mouth down, and how deep it may go."""

    outline: Outline
    deepest_mm: float
    thickness_mm: float

    @property
    def most_ml(self) -> float:
        """What it holds when cut as deep as it may be."""
        return self._from_mouth().volume_to_ml(self.deepest_mm)

    def depth_mm(self, void_ml: float) -> float:
        """How deep the pocket must be cut to hold that much."""
        return self._from_mouth().height_of_mm(void_ml)

    def _from_mouth(self) -> Outline:
        """The outline upside down: a pocket is cut from its mouth, a fill stands on the bottom."""
        end = self.outline.points[-1][0]
        turned = tuple((end - depth, area) for depth, area in reversed(self.outline.points))
        return replace(self.outline, points=turned)


def needed_void_ml(wish: Wish, fill_g_cm3: float) -> float:
    """The void that brings the piece to its target when it is filled.

    Raises Refused when the fill can't change the weight that way, or the void outgrows the body.
    """
    missing_g = wish.target_g - wish.unfilled_g
    if missing_g < 0.0:
        raise Refused(
            f"Without any fill the piece weighs {_g(wish.unfilled_g)} already, {_g(-missing_g)} "
            "over the target; take wood off, take lighter wood, or raise the target"
        )
    gain = fill_g_cm3 - wish.body_g_cm3
    if gain <= 0.0:
        raise Refused(
            f"The fill, {fill_g_cm3:.3g} g/cm³, is no denser than the body; it adds no weight"
        )
    void_ml = missing_g / gain
    if void_ml >= wish.body_ml:
        most_g = wish.reached_g(wish.body_ml, fill_g_cm3)
        raise Refused(
            f"The fill would need {show_number(void_ml, 1)} ml and the whole body has "
            f"{show_number(wish.body_ml, 1)}; less than {_g(most_g)} can be reached"
        )
    return void_ml


def fitted_depth_mm(wish: Wish, pocket: Pocket, void_ml: float, fill_g_cm3: float) -> float:
    """How deep the pocket must be cut; raises Refused when that is deeper than it may be."""
    if void_ml > pocket.most_ml * (1.0 + _ROUNDING):
        most_g = wish.reached_g(pocket.most_ml, fill_g_cm3)
        raise Refused(
            f"The void must hold {show_number(void_ml, 1)} ml, and this pocket holds "
            f"{show_number(pocket.most_ml, 1)} ml at its deepest, "
            f"{show_number(pocket.deepest_mm, 1)} mm; {_g(most_g)} is the most it reaches"
        )
    return pocket.depth_mm(min(void_ml, pocket.most_ml))


@dataclass(frozen=True)
class Reach:
    """A metal that can bring the piece to its target, and how."""

    metal: str
    density_g_cm3: float
    void_ml: float
    depth_mm: float | None


def metals_that_reach(
    wish: Wish, pocket: Pocket | None, packing: float, resin_g_cm3: float
) -> list[Reach]:
    """The metals and shot in use whose fill, packed alike, reaches the target; lightest first."""
    found = []
    for name in SHOTS:
        shot_g_cm3 = find_metal(name)[1].density_g_cm3
        fill_g_cm3 = mixed_density_g_cm3(packing, shot_g_cm3, resin_g_cm3)
        try:
            void_ml = needed_void_ml(wish, fill_g_cm3)
            depth = fitted_depth_mm(wish, pocket, void_ml, fill_g_cm3) if pocket else None
        except Refused:
            continue
        found.append(Reach(name, shot_g_cm3, void_ml, depth))
    return found


def _g(weight_g: float) -> str:
    return f"{show_number(weight_g, 1)} g"


def _wish(given: Given) -> Wish:
    body = given.data("body")
    if body is None:
        volume, density = given.number("volume_ml"), given.number("density_g_cm3")
    elif given.has("volume_ml") or given.has("density_g_cm3"):
        raise Refused("body is given, and volume_ml or density_g_cm3 too; give the body once")
    else:
        fields = Fields(body, "body")
        fields.only("volume_ml", "density_g_cm3")
        volume = fields.number("volume_ml", above=0.0, high=1e6)
        density = fields.number("density_g_cm3", low=0.05, high=23.0)
    others = (given.number(key) for key in ("other_g", "still_off_g", "still_on_g"))
    wish = Wish(given.number("target_g"), volume, density, *others)
    if wish.still_off_g >= volume * density:
        raise Refused(f"still_off_g takes {_g(wish.still_off_g)} off a body of that weight or less")
    return wish


def _outline(data: object) -> Outline:
    if isinstance(data, Mapping) and "shape" in data:
        return Outline(areas_by_depth(shape_from_json(data, "outline")))
    return read_outline(data)


def _pocket(given: Given) -> Pocket | None:
    thickness, wall = given.maybe("thickness_mm"), given.number("wall_mm")
    if not given.has("outline"):
        if thickness is not None or wall > 0.0:
            raise Refused("outline is missing; without it neither depth nor wall can be told")
        return None
    outline = _outline(given.data("outline"))
    if thickness is None:
        return Pocket(outline, outline.depth_mm, outline.depth_mm + wall)
    deepest = min(outline.depth_mm, thickness - wall)
    if deepest <= 0.0:
        raise Refused(
            f"A wall of {wall:.4g} mm leaves nothing to cut in {thickness:.4g} mm of wood"
        )
    return Pocket(outline, deepest, thickness)


def _spread_note(wish: Wish, pocket: Pocket | None, void_ml: float, fill_g_cm3: float) -> str:
    """What ten per cent of the wood's density does to the void."""
    lighter = replace(wish, body_g_cm3=wish.body_g_cm3 * (1.0 - _SPREAD))
    more_ml = (lighter.target_g - lighter.unfilled_g) / (fill_g_cm3 - lighter.body_g_cm3) - void_ml
    held = pocket is None or void_ml + more_ml <= pocket.most_ml
    tail = "" if held else ", which this pocket doesn't hold"
    return Worded(
        "Wood 10 % lighter would need {more} more{tail}; weigh the blank first.",
        more=millilitres(more_ml),
        tail=tail,
    )


def _refused_with_metals(
    error: Refused, wish: Wish, pocket: Pocket | None, packing: float, resin_g_cm3: float
) -> Refused:
    able = [reach.metal for reach in metals_that_reach(wish, pocket, packing, resin_g_cm3)]
    return Refused(f"{error}; {', '.join(able)} could reach it") if able else error


def _work(given: Given) -> Worked:
    wish, pocket = _wish(given), _pocket(given)
    packing, resin = given.number("packing_fraction"), given.number("resin_density_g_cm3")
    fill_g_cm3 = mixed_density_g_cm3(packing, given.number("shot_density_g_cm3"), resin)
    depth = None
    try:
        void_ml = needed_void_ml(wish, fill_g_cm3)
        if pocket is not None:
            depth = fitted_depth_mm(wish, pocket, void_ml, fill_g_cm3)
    except Refused as error:
        raise _refused_with_metals(error, wish, pocket, packing, resin) from error
    left = None if pocket is None or depth is None else pocket.thickness_mm - depth
    metals: list[Plain] = [
        {
            "metal": reach.metal,
            "density_g_cm3": reach.density_g_cm3,
            "void_ml": reach.void_ml,
            "depth_mm": reach.depth_mm,
        }
        for reach in metals_that_reach(wish, pocket, packing, resin)
    ]
    notes = [_spread_note(wish, pocket, void_ml, fill_g_cm3), GLUE_HOLDS_ON_WOOD]
    if is_like_lead(given.number("shot_density_g_cm3")):
        notes.append(LEAD_CORRODES)
    if pocket is None:
        notes.append("Without an outline of the pocket depth and wall aren't told.")
    return Worked(
        {"void_ml": void_ml, "depth_mm": depth, "wall_left_mm": left, "metals": metals},
        tuple(notes),
    )


RECKONER = Reckoner(
    name="target-void",
    title="Void size for a target weight",
    inputs=(
        Input("target_g", "the finished weight wanted", low=0.0, high=1e6),
        Input(
            "body",
            'the body without its void: {"volume_ml": …, "density_g_cm3": …}',
            takes="data",
            needed=False,
        ),
        Input(
            "volume_ml",
            "volume of the body without its void, instead of body",
            needed=False,
            above=0.0,
            high=1e6,
        ),
        Input(
            "density_g_cm3",
            "density of the body, instead of body (see wood-density)",
            needed=False,
            low=0.05,
            high=23.0,
        ),
        Input("other_g", "other parts of the finished piece", default=0.0, low=0.0, high=1e6),
        Input(
            "still_off_g",
            "wood still to come off the body (sanding, turning)",
            default=0.0,
            low=0.0,
            high=1e6,
        ),
        Input(
            "still_on_g", "what is still to go on (finish, felt)", default=0.0, low=0.0, high=1e6
        ),
        PACKING_INPUT,
        SHOT_DENSITY_INPUT,
        RESIN_DENSITY_INPUT,
        Input(
            "outline",
            OUTLINE_MEANING + ", or one shape as in solid; as deep as it may be cut",
            takes="data",
            needed=False,
        ),
        Input(
            "thickness_mm",
            "wood from the pocket's mouth to the face behind it; unless given, the "
            "outline's depth and wall_mm",
            needed=False,
            above=0.0,
            high=1e4,
        ),
        Input(
            "wall_mm", "the least wall to be left behind the pocket", default=0.0, low=0.0, high=1e4
        ),
    ),
    results=(
        Result("void_ml", "the void that must be cut, filled to its mouth"),
        Result(
            "depth_mm", "how deep that is in the outline", if_none="not asked: no outline given"
        ),
        Result(
            "wall_left_mm",
            "wood left behind the pocket",
            if_none="not asked: no thickness or outline given",
        ),
        Result(
            "metals",
            "the metals that reach the target when packed alike, each with its void and depth",
            unit="",
        ),
    ),
    formula=(
        "void = (target − other − still on + still off − body volume × body density) / "
        "(packing × shot + (1 − packing) × resin − body density)"
    ),
    sources=("mass balance; densities of metals as in the reckoner metal",),
    limits=(
        "The void is filled to its mouth; for a clear cap, count its resin under other_g and "
        "take its depth off the outline.",
        "What still comes off is taken from wood, not from the fill.",
    ),
    example={
        "target_g": "850 g",
        "body": '{"volume_ml": 648, "density_g_cm3": 0.62}',
        "other_g": "12",
        "still_off_g": "6",
        "still_on_g": "9",
        "packing_fraction": "0.6",
        "shot_density_g_cm3": "7.8",
        "outline": '{"length_mm": 80, "width_mm": 36, "depth_mm": 50}',
        "wall_mm": "5",
    },
    work=_work,
    curve=("target_g", "depth_mm"),
)
