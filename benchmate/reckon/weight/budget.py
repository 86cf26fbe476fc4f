"""What a piece will weigh, part by part, and where its uncertainty comes from.

Each part is a weight, or a volume times a density. Parts from one board or one tin err together in
their density, so theirs add up before squaring; everything else is independent.

Sources: GUM 5.1.2 (independent terms) and 5.2.2 (terms that err together); a piece of wood of mass
m at moisture M gains m/(100 + M) for one per cent more, since moisture counts on the dry mass.
"""

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from benchmate.quantities import quote, show_number
from benchmate.reckon.asking.fields import Fields
from benchmate.reckon.asking.frame import (
    Given,
    Input,
    Plain,
    Reckoner,
    Refused,
    Result,
    WithU,
    Worked,
)

_MOST_PARTS = 200
_BY_VOLUME = ("volume_ml", "density_g_cm3", "u_volume_ml", "u_density_g_cm3")
_BY_WEIGHT = ("weight_g", "u_g")
_ALWAYS = ("name", "count", "stock", "moisture_pct")


@dataclass(frozen=True)
class Part:
    """One part, or `count` like it: its weight and what is uncertain in it, all in g.

    `u_own_g` is this part's alone (weight, or volume); `u_density_g` comes from its density, which
    parts of the same `stock` share. `moisture_pct` is None for what isn't wood.
    """

    name: str
    mass_g: float
    u_own_g: float = 0.0
    u_density_g: float = 0.0
    stock: str | None = None
    moisture_pct: float | None = None

    @property
    def u_g(self) -> float:
        """The part's own standard uncertainty."""
        return math.hypot(self.u_own_g, self.u_density_g)

    @property
    def per_pct_moisture_g(self) -> float:
        """What one per cent more moisture adds; zero for what isn't wood."""
        return 0.0 if self.moisture_pct is None else self.mass_g / (100.0 + self.moisture_pct)


def total_mass_g(parts: Sequence[Part], off_g: float = 0.0, on_g: float = 0.0) -> float:
    """All parts, less what is still to come off, with what is still to go on.

    Raises Refused when more is to come off than there is, or nothing weighs anything.
    """
    before_g = math.fsum(part.mass_g for part in parts) + on_g
    if before_g <= 0.0:
        raise Refused("The parts weigh nothing at all; give their volume and density, or weight")
    if off_g >= before_g:
        raise Refused(
            f"{show_number(off_g, 1)} g can't come off a piece of {show_number(before_g, 1)} g"
        )
    return before_g - off_g


def total_u_g(parts: Sequence[Part], u_off_g: float = 0.0, u_on_g: float = 0.0) -> float:
    """The standard uncertainty of the sum; densities within one stock err together."""
    together: defaultdict[str, float] = defaultdict(float)
    alone = [u_off_g, u_on_g]
    for part in parts:
        alone.append(part.u_own_g)
        if part.stock is None:
            alone.append(part.u_density_g)
        else:
            together[part.stock] += part.u_density_g
    return math.hypot(*alone, *together.values())


def read_parts(data: object) -> tuple[Part, ...]:
    """The parts from a JSON list; raises Refused with the part that is wrong."""
    if not isinstance(data, list | tuple) or not 0 < len(data) <= _MOST_PARTS:
        raise Refused(
            "parts must be a list of 1 to 200 objects with volume_ml and density_g_cm3, or weight_g"
        )
    return tuple(_part(Fields(item, f"parts[{n}]"), n) for n, item in enumerate(data, start=1))


def _part(fields: Fields, number: int) -> Part:
    by_weight = "weight_g" in fields.data
    fields.only(*_ALWAYS, *(_BY_WEIGHT if by_weight else _BY_VOLUME))
    count = fields.maybe("count", low=1, high=1000) or 1.0
    if count != int(count):
        raise Refused(f"{fields.where}.count must be a whole number; {count:g} is not")
    if by_weight:
        mass_g = fields.number("weight_g", low=0.0, high=1e6)
        u_own, u_density = fields.maybe("u_g", low=0.0, high=1e6) or 0.0, 0.0
    else:
        volume = fields.number("volume_ml", low=0.0, high=1e6)
        density = fields.number("density_g_cm3", low=0.0, high=23.0)
        mass_g = volume * density
        u_own = density * (fields.maybe("u_volume_ml", low=0.0, high=1e6) or 0.0)
        u_density = volume * (fields.maybe("u_density_g_cm3", low=0.0, high=23.0) or 0.0)
    return Part(
        _text(fields, "name") or f"part {number}",
        count * mass_g,
        # Each of several like parts is measured for itself, but all are of one density.
        math.sqrt(count) * u_own,
        count * u_density,
        _text(fields, "stock"),
        fields.maybe("moisture_pct", low=0.0, high=200.0),
    )


def _text(fields: Fields, key: str) -> str | None:
    if key not in fields.data:
        return None
    text = " ".join(fields.word(key).split())
    if not text or len(text) > 80 or not text.isprintable():
        raise Refused(f"{fields.where}.{key} can't be {quote(text)}; give it a short name")
    return text


def _row(name: str, mass_g: float, u_g: float, total_g: float, variance_g2: float) -> Plain:
    return {
        "part": name,
        "weight_g": mass_g,
        "u_g": u_g,
        "share_pct": 100.0 * mass_g / total_g,
        "u_share_pct": 100.0 * u_g * u_g / variance_g2 if variance_g2 > 0.0 else 0.0,
    }


def _rows(given: Given, parts: Sequence[Part], total_g: float) -> list[Plain]:
    rows = [(part.name, part.mass_g, part.u_g) for part in parts]
    for key, sign, name in (("off", -1.0, "still to come off"), ("on", 1.0, "still to go on")):
        mass_g, u_g = given.number(f"still_{key}_g"), given.number(f"u_{key}_g")
        if mass_g or u_g:
            rows.append((name, sign * mass_g, u_g))
    alone = math.fsum(u_g * u_g for _, _, u_g in rows)
    return [_row(name, mass_g, u_g, total_g, alone) for name, mass_g, u_g in rows]


def _notes(parts: Sequence[Part], total_u: float) -> list[str]:
    notes = []
    if not any(part.moisture_pct is not None for part in parts):
        notes.append("No part has moisture_pct, so what moisture does isn't told.")
    bare = [part.name for part in parts if part.u_g == 0.0 and part.mass_g > 0.0]
    if bare:
        notes.append(f"Without a u, taken as exact: {', '.join(bare[:5])}.")
    most = max(parts, key=lambda part: part.u_g)
    if most.u_g > 0.5 * total_u > 0.0:
        notes.append(f"The largest doubt is {most.name}: weigh it, and the total is surer.")
    return notes


def _work(given: Given) -> Worked:
    parts = read_parts(given.data("parts"))
    total_g = total_mass_g(parts, given.number("still_off_g"), given.number("still_on_g"))
    total_u = total_u_g(parts, given.number("u_off_g"), given.number("u_on_g"))
    wood = [part for part in parts if part.moisture_pct is not None]
    moisture_g = math.fsum(part.per_pct_moisture_g for part in wood) if wood else None
    return Worked(
        {
            "total_g": WithU(total_g, total_u),
            "shares": _rows(given, parts, total_g),
            "moisture_1pct_g": moisture_g,
        },
        tuple(_notes(parts, total_u)),
    )


def _weight_input(key: str, meaning: str) -> Input:
    return Input(key, meaning, default=0.0, low=0.0, high=1e6)


RECKONER = Reckoner(
    name="budget",
    title="What the piece will weigh, part by part",
    inputs=(
        Input(
            "parts",
            "a list of objects: volume_ml and density_g_cm3 (with u_volume_ml, "
            "u_density_g_cm3), or weight_g (with u_g); and name, count, stock (parts of "
            "one board or tin share their density's error), moisture_pct for wood",
            takes="data",
        ),
        _weight_input("still_off_g", "wood still to come off"),
        _weight_input("u_off_g", "standard uncertainty of that"),
        _weight_input("still_on_g", "what is still to go on (finish, felt)"),
        _weight_input("u_on_g", "standard uncertainty of that"),
    ),
    results=(
        Result("total_g", "the finished weight", has_u=True),
        Result(
            "shares",
            "of each part: weight_g, u_g, share_pct of the weight, u_share_pct of "
            "the sum of squared u, each taken alone",
            unit="",
        ),
        Result(
            "moisture_1pct_g",
            "what the piece gains when its wood takes up one per cent of moisture",
        ),
    ),
    formula=(
        "total = Σ(V ρ or m) − off + on; u² = Σ(ρ u_V)² + Σ u_m² + Σ_stock(Σ V u_ρ)²; "
        "moisture: Σ m/(100 + M)"
    ),
    sources=(
        "GUM (JCGM 100) 5.1.2 and 5.2.2",
        "moisture content on the dry mass: Wood Handbook, chapter 4",
    ),
    limits=(
        "u is a standard uncertainty; a plus-or-minus bound a counts as a/√3.",
        "Wood of a species spreads by about 10 %; give that as u_density_g_cm3 unless the "
        "blank was weighed.",
    ),
    example={
        "parts": '[{"name": "block", "volume_ml": 549, "density_g_cm3": 0.62, '
        '"u_density_g_cm3": 0.062, "stock": "walnut board", "moisture_pct": 8}, '
        '{"name": "cover", "volume_ml": 42, "density_g_cm3": 0.62, '
        '"u_density_g_cm3": 0.062, "stock": "walnut board", "moisture_pct": 8}, '
        '{"name": "fill", "volume_ml": 99, "density_g_cm3": 5.1, "u_volume_ml": 1.5, '
        '"u_density_g_cm3": 0.1}, {"name": "felt", "weight_g": 4, "u_g": 0.5}]',
        "still_off_g": "6",
        "u_off_g": "1.5",
        "still_on_g": "9",
        "u_on_g": "2",
    },
    work=_work,
)
