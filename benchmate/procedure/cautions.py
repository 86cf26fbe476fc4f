"""Cautions by name, with their full text in this one place.

The usual caution of the trade, not a safety plan: each defers to the maker's data sheet, to local
codes and to licensed practice. A procedure may add its own under [cautions].
"""

from __future__ import annotations

CAUTIONS: dict[str, str] = {
    "wood dust": (
        "Mask and eye protection on, extraction running. Wood dust harms the lungs, and some is "
        "listed as a cause of cancer: clean up with a vacuum, not with air, and follow the local"
        " limits."
    ),
    "irritating wood": (
        "Cover your skin, wear a mask: this wood irritates. In some people it is skin, in some "
        "eyes or lungs: stop if you itch or wheeze and see a doctor; read up on the species."
    ),
    "epoxy": (
        "Gloves and eyes covered: epoxy can make you allergic. That lasts for life: cover your "
        "skin, keep air moving, wash with soap, never solvent. Follow the resin's data sheet."
    ),
    "part-cured epoxy dust": (
        "Don't sand epoxy before it is fully cured. Its dust can make skin and lungs allergic: "
        "wait for the full cure on the data sheet, then sand with mask and extraction."
    ),
    "exotherm": (
        "Pour early: a full cup of resin can heat until it smokes. Mix no more than the data "
        "sheet allows, and stand a hot cup outside on something that won't burn."
    ),
    "mix ratio": (
        "Weigh both parts to the ratio on your own label. Off ratio it won't cure; extra "
        "hardener won't speed it up."
    ),
    "isocyanates": (
        "Ventilate, wear gloves: isocyanates can cause asthma. This glue or finish gives them "
        "off, and the asthma is for life. Wear the mask that the data sheet names; local rules "
        "may ask for training first."
    ),
    "cyanoacrylate": (
        "Eye protection, no cotton gloves: it bonds in seconds. It glues skin and eyes, its "
        "vapour stings, and on cotton or wool it can heat up and burn. Keep air moving; the data"
        " sheet says what to do for skin."
    ),
    "solvent vapour": (
        "Open the windows: solvent vapour can catch fire. It makes you dizzy and creeps along "
        "the floor. No flame, spark, heater, pilot light or sander. The data sheet names the "
        "mask."
    ),
    "sparks": (
        "Clear dust and rags away: steel under a sander sparks. Solvent too, and turn the dust "
        "collector off: a spark can smoulder in the bag. Follow the machine's manual."
    ),
    "lead": (
        "Gloves on, no dry sanding: lead dust is poisonous. So is its fume, most of all for "
        "children. No food in the shop, wash before you eat, keep the clothes apart. The data "
        "sheet and local rules say what else, and how to hand in waste."
    ),
    "oily rags": (
        "Spread oily rags out singly: they can catch fire. They heat by themselves: dry them "
        "outdoors, or keep them under water in a lidded metal can; dispose of them by local "
        "rules."
    ),
    "rotating machines": (
        "Gloves off; tie back sleeves, hair and cords. At every machine that turns eye and face "
        "protection on. Follow the machine's manual."
    ),
    "buffing wheel": (
        "Gloves off, face shield on. Buff below the middle of the wheel, so that what it grabs "
        "flies to the floor, and never let an edge meet the wheel first. Follow the machine's "
        "manual."
    ),
    "heavy on the lathe": (
        "Slowest speed first, tailstock up: the piece pulls hard. It is weighted or unbalanced: "
        "stand out of its line, and stay below what the manuals of lathe and chuck allow."
    ),
    "round stock on a bandsaw": (
        "Hold round stock in a cradle or a clamped jig. By hand alone it rolls into the blade "
        "and is thrown. Follow the machine's manual."
    ),
    "drilling brass": (
        "Clamp the work: brass grabs a sharp drill and spins. Take the hook off the cutting "
        "edges, drill slowly, back up the far side. Its chips are needles. Most free-cutting "
        "brass contains lead: wash your hands. Follow the machine's manual."
    ),
    "routing a deep void": (
        "Take a deep void in many shallow passes, work clamped. Guard the cutter, and bore out "
        "most of it first. Gloves off, face protection on. Follow the machine's manual."
    ),
    "heavy piece": (
        "Work over the bench: it is heavier than it looks. Dropped, it can break a foot. Ship it"
        " by local rules for heavy goods."
    ),
    "hot tools": (
        "Let a scraper, drill or wheel cool before you touch it. Don't heat a cured fill: the "
        "resin's data sheet says at what heat it gives off fumes."
    ),
    "mains wiring": (
        "Leave mains wiring to someone qualified where you live. A lamp's is done and tested "
        "with approved parts, cord grip and earth (ground) to code."
    ),
    "sharp edges": (
        "Keep both hands behind the edge and clamp the work. Follow what the tool's maker says."
    ),
}

CUTS = ("sanded", "turned", "planed", "filed", "ground", "scraped", "shaped", "flushed", "routed")
"""Acts that make dust of what they work on."""

BY_ACT = {
    "sanded": ("wood dust",),
    "turned": ("wood dust", "rotating machines"),
    "routed": ("wood dust", "rotating machines"),
}
"""What holds of an act wherever it is done, whether its step says so or not."""

_IRRITATING = """
    walnut oak locust redcedar cedar cocobolo rosewood padauk iroko teak wenge ebony yew olive
    mahogany satinwood
"""
IRRITATING = tuple(_IRRITATING.split())
"""Woods that trade lists name as irritating or sensitising (common practice, no source)."""

OILY = ("cocobolo", "rosewood", "teak", "iroko", "olive", "ipe", "lignum", "padauk", "bubinga")
"""Woods whose oil keeps glue off unless they are wiped or freshly planed (common practice)."""


def is_irritating(wood: str) -> bool:
    """Whether the usual lists name this wood as irritating."""
    return any(name in wood.casefold() for name in IRRITATING)


def is_oily(wood: str) -> bool:
    """Whether this wood is to be wiped or planed just before gluing."""
    return any(name in wood.casefold() for name in OILY)
