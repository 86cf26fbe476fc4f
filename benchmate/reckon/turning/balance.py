"""Where a piece balances, how it swings about a grip, how far it leans before it tips.

Parts lie along one line. A part's own inertia is about its own centre, across that line; the
parallel-axis term brings it to the centre of the whole or to the grip. What is taken out (a bore)
is a part of negative weight.

Source: statics; x̄ = Σ m x/Σ m, I = Σ (own + m (x − x0)²), tip = atan(half base/height),
added = m (target − x̄)/(at − target).
"""

from collections.abc import Sequence
from math import atan, degrees, fsum, isclose

import msgspec

from benchmate.quantities.worded import Worded, grams, millimetres
from benchmate.reckon.asking.fields import Fields
from benchmate.reckon.asking.frame import Given, Input, Reckoner, Refused, Result, Worked

MOST_PARTS = 1000


class Part(msgspec.Struct, frozen=True):
    """A part's weight, where its centre lies along the line, and its own inertia in g mm²."""

    name: str
    weight_g: float
    position_mm: float
    own_g_mm2: float = 0.0


class Balance(msgspec.Struct, frozen=True):
    """A whole: its weight, its centre along the line, its inertia about that centre."""

    total_g: float
    centre_mm: float
    inertia_g_mm2: float

    def about(self, place_mm: float) -> float:
        """The inertia about another place on the line."""
        return self.inertia_g_mm2 + self.total_g * (self.centre_mm - place_mm) ** 2

    def added_g(self, target_mm: float, at_mm: float) -> float:
        """What added at a place brings the centre to the target; raises Refused where it can't."""
        move, arm = target_mm - self.centre_mm, at_mm - target_mm
        if isclose(move, 0.0, abs_tol=1e-9):
            return 0.0
        if isclose(arm, 0.0, abs_tol=1e-12) or move * arm < 0.0:
            raise Refused(
                Worded(
                    "impossible: the piece balances at {centre}, and weight added at {at} lies on "
                    "the wrong side of {target}; add it beyond {target}, seen from {centre}",
                    centre=millimetres(self.centre_mm),
                    at=millimetres(at_mm),
                    target=millimetres(target_mm),
                )
            )
        return self.total_g * move / arm


def balance(parts: Sequence[Part]) -> Balance:
    """Return the whole of some parts; raises Refused when together they weigh nothing."""
    total_g = fsum(part.weight_g for part in parts)
    if total_g <= 0.0:
        raise Refused(
            Worded(
                "all parts together weigh {total}; a piece weighs more than nothing",
                total=grams(total_g),
            )
        )
    centre_mm = fsum(part.weight_g * part.position_mm for part in parts) / total_g
    inertia = fsum(
        part.own_g_mm2 + part.weight_g * (part.position_mm - centre_mm) ** 2 for part in parts
    )
    return Balance(total_g, centre_mm, inertia)


def tip_angle_deg(centre_height_mm: float, base_mm: float) -> float:
    """Return how far a piece leans over the edge of its base before it tips."""
    return degrees(atan(base_mm / 2.0 / centre_height_mm))


def read_parts(data: object) -> list[Part]:
    """Return the parts of a JSON list; raises Refused."""
    if not isinstance(data, list) or not data or len(data) > MOST_PARTS:
        raise Refused(
            "parts must be a list of 1 to 1000 objects like "
            '{"name": "head", "weight_g": 280, "position_mm": 20}'
        )
    return [_part(item, f"parts[{i}]") for i, item in enumerate(data, start=1)]


def _part(data: object, where: str) -> Part:
    fields = Fields(data, where)
    fields.only("name", "weight_g", "position_mm", "own_g_mm2")
    return Part(
        fields.word("name", default=where),
        fields.number("weight_g", low=-1e7, high=1e7),
        fields.number("position_mm", low=-1e6, high=1e6),
        fields.maybe("own_g_mm2", low=-1e15, high=1e15) or 0.0,
    )


def _pair(given: Given, one: str, other: str) -> tuple[float, float] | None:
    first, second = given.maybe(one), given.maybe(other)
    if (first is None) != (second is None):
        raise Refused(f"{one} and {other} belong together; give both or neither")
    return None if first is None or second is None else (first, second)


def _work(given: Given) -> Worked:
    whole = balance(read_parts(given.data("parts")))
    grip_mm = given.maybe("grip_mm")
    stand = _pair(given, "centre_height_mm", "base_mm")
    wish = _pair(given, "target_centre_mm", "added_at_mm")
    return Worked(
        {
            "total_g": whole.total_g,
            "centre_mm": whole.centre_mm,
            "inertia_centre_g_mm2": whole.inertia_g_mm2,
            "inertia_grip_g_mm2": None if grip_mm is None else whole.about(grip_mm),
            "tip_angle_deg": None if stand is None else tip_angle_deg(*stand),
            "added_g": None if wish is None else whole.added_g(*wish),
        }
    )


RECKONER = Reckoner(
    name="balance",
    title="Where a piece balances, how it swings, when it tips",
    inputs=(
        Input(
            "parts",
            "a list of objects with weight_g, position_mm of the centre along one "
            "line, and if known name and own_g_mm2, the part's inertia about its own centre; "
            "what is taken out has a weight below zero",
            takes="data",
        ),
        Input("grip_mm", "where the hand holds it", needed=False, low=-1e6, high=1e6),
        Input(
            "centre_height_mm",
            "height of the centre above the bench, for tipping",
            needed=False,
            above=0.0,
            high=1e5,
        ),
        Input(
            "base_mm",
            "width of the base, the centre over its middle",
            needed=False,
            above=0.0,
            high=1e5,
        ),
        Input("target_centre_mm", "where it should balance", needed=False, low=-1e6, high=1e6),
        Input("added_at_mm", "where weight would be added", needed=False, low=-1e6, high=1e6),
    ),
    results=(
        Result("total_g", "all parts"),
        Result("centre_mm", "where it balances"),
        Result("inertia_centre_g_mm2", "about the centre, across the line"),
        Result("inertia_grip_g_mm2", "about the grip", if_none="no grip given"),
        Result(
            "tip_angle_deg",
            "how far it leans before it tips",
            if_none="needs centre_height_mm and base_mm",
        ),
        Result(
            "added_g",
            "what added there brings it to balance at the target; impossible is "
            "refused with its reason",
            if_none="needs target_centre_mm and added_at_mm",
        ),
    ),
    formula="x̄ = Σmx/Σm; I = Σ(own + m (x − x0)²); tip = atan(base/(2 height)); "
    "added = m (target − x̄)/(at − target)",
    sources=("statics and the parallel-axis theorem",),
    limits=("One line: what lies beside it adds inertia that isn't counted.",),
    example={
        "parts": '[{"name": "handle", "weight_g": 90, "position_mm": 120}, '
        '{"name": "head", "weight_g": 310, "position_mm": 265}]',
        "grip_mm": "60",
        "target_centre_mm": "240",
        "added_at_mm": "270",
    },
    work=_work,
)
