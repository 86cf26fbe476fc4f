"""Where each ready reckoner lives. Only the module of the one asked for is loaded."""

from importlib import import_module

from benchmate.nearest import or_nearest
from benchmate.quantities import quote
from benchmate.reckon.asking.frame import Reckoner, Refused

WHERE: dict[str, str] = {
    "wood-density": "wood.wood",
    "solid": "solids.solid",
    "metal": "filling.metal",
    "packing": "filling.packing",
    "fill": "filling.fill",
    "fill-height": "filling.fill_height",
    "target-void": "filling.target",
    "budget": "weight.budget",
    "resin-mix": "filling.mixing",
    "wall": "wall.wall",
    "weight": "weight.weight",
    "cure": "heat.cure",
    "exotherm": "heat.exotherm",
    "moisture": "wood.moisture",
    "dew-point": "wood.dewpoint",
    "tenon": "joinery.tenon",
    "taper": "joinery.taper",
    "wedge": "joinery.wedge",
    "spacer": "joinery.spacer",
    "glue": "joinery.glue",
    "clamps": "joinery.clamps",
    "finish": "coats.finish",
    "lathe": "turning.lathe",
    "balance": "turning.balance",
    "drills": "joinery.drills",
    "board": "wood.board",
    "path": "scheduling.path",
    "scale-class": "weight.scale_class",
}
"""Name → module below `benchmate.reckon`, in the order in which they are listed."""


def names() -> tuple[str, ...]:
    """Return the names of all reckoners, in the order of the work; loads none of them."""
    return tuple(WHERE)


def find(name: str) -> Reckoner:
    """Return the reckoner of that name; raises Refused with the nearest right one."""
    module = WHERE.get(name)
    if module is None:
        raise Refused(f"there is no calculator {quote(name)}{or_nearest(name, WHERE)}")
    reckoner: Reckoner = import_module(f"benchmate.reckon.{module}").RECKONER
    return reckoner


def all_of_them() -> tuple[Reckoner, ...]:
    """Return every reckoner; loads them all."""
    return tuple(find(name) for name in WHERE)
