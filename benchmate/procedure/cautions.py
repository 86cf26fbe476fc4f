"""Cautions by name, with their full text in this one place.

The usual caution of the trade, not a safety plan: each defers to the maker's data sheet, to local
codes and to licensed practice. A procedure may add its own under [cautions].
"""

from __future__ import annotations

CAUTIONS: dict[str, str] = {
    "wood dust": (
        "Wear a fitted dust mask and eye protection, run the dust extraction, and clean up with a "
        "vacuum, not with air. Wood dust harms the lungs, and some is listed as a cause of cancer; "
        "follow the local limits."
    ),
    "irritating wood": (
        "This species irritates skin, eyes or lungs in some people. Cover the skin, wear a mask, "
        "and stop when it itches or wheezes; see a doctor, and read the data on the species."
    ),
    "epoxy": (
        "Uncured epoxy and its hardener make some people allergic for life. Gloves and eye "
        "protection, skin covered, air moving; wash with soap, never with solvent. The data sheet "
        "of this resin decides."
    ),
    "part-cured epoxy dust": (
        "Don't sand epoxy before it is fully cured: dust of half-cured resin sensitises skin and "
        "lungs. Wait for the full cure on the data sheet, then sand with mask and extraction."
    ),
    "exotherm": (
        "Curing resin heats itself, a full cup more than a thin layer; it can smoke and burn. Mix "
        "no more than the data sheet allows, pour it out early, and stand a hot cup outdoors on "
        "something that doesn't burn."
    ),
    "mix ratio": (
        "Weigh both parts by the ratio on your own material; a wrong ratio never cures, and more "
        "hardener is not faster."
    ),
    "isocyanates": (
        "This glue or finish gives off isocyanates: they can cause asthma for life. Ventilate, "
        "gloves, the breathing protection that the data sheet names; local rules may ask for "
        "training first."
    ),
    "cyanoacrylate": (
        "It bonds skin and eyes in seconds and its vapour stings; on cotton or wool it heats up "
        "and can burn. Eye protection, no cotton gloves, air moving; the data sheet says what to "
        "do for skin."
    ),
    "solvent vapour": (
        "Solvent vapour burns and makes dizzy, and it creeps along the floor: open the windows, no "
        "flames, no sparks, no heater or pilot light in the room, and no sander running. The data "
        "sheet names the mask."
    ),
    "sparks": (
        "Steel shot or a ferrule under a sander or grinder throws sparks: clear dust, rags and "
        "solvent first, turn the dust extraction to where nothing can glow in its bag; follow the "
        "machine's manual."
    ),
    "lead": (
        "Lead dust and fume are poisonous, most of all for children: gloves, no dry sanding, no "
        "food in the shop, wash before you eat, keep the clothes apart. The data sheet and local "
        "rules say what else, and how waste is handed in."
    ),
    "oily rags": (
        "Rags with drying oil heat themselves and catch fire: lay them out singly outdoors to dry, "
        "or keep them under water in a closed metal can; dispose of them by local rules."
    ),
    "rotating machines": (
        "Gloves off, sleeves, hair and cords tied back at every machine that turns; eye and face "
        "protection on, and follow the machine's manual."
    ),
    "buffing wheel": (
        "Gloves off. Buff below the middle of the wheel so that what it grabs flies to the floor; "
        "face shield, small pieces held so that no edge meets the wheel first; follow the "
        "machine's manual."
    ),
    "heavy on the lathe": (
        "A weighted or unbalanced piece pulls hard: slowest speed first, tailstock up, stand out "
        "of its line, and stay below what the manuals of lathe and chuck allow."
    ),
    "round stock on a bandsaw": (
        "Round stock rolls into the blade and is thrown: hold it in a cradle or a clamped jig, "
        "never by hand alone, and follow the machine's manual."
    ),
    "drilling brass": (
        "Brass grabs a sharp drill and spins: clamp the work, take the hook off the cutting edges, "
        "drill slowly, back the far side up. Its chips are needles. Follow the machine's manual; "
        "old brass holds lead, and its data sheet says so."
    ),
    "routing a deep void": (
        "Take a deep void in many shallow passes, work clamped, cutter guarded; bore out most of "
        "it first. Gloves off, face protection on; follow the machine's manual."
    ),
    "heavy piece": (
        "It is heavier than it looks, and a dropped one breaks a foot: work over the bench, and "
        "ship it by local rules for heavy goods."
    ),
    "hot tools": (
        "Let a scraper, drill or wheel cool before you touch it, and don't heat a cured fill: the "
        "resin's data sheet says at what heat it fumes."
    ),
    "mains wiring": (
        "Lamp wiring is mains wiring: let it be done and tested by whoever may do it where you "
        "are, with approved parts, cord grip and earthing as the code asks."
    ),
    "sharp edges": (
        "A chisel or knife slips towards the other hand: keep it behind the edge, clamp the work, "
        "and follow what the tool's maker says."
    ),
}

CUTS = ("sanded", "turned", "planed", "filed", "ground", "scraped", "shaped", "flushed", "routed")
"""Acts that make dust of what they work on."""

IRRITATING = (
    "walnut",
    "oak",
    "locust",
    "redcedar",
    "cedar",
    "cocobolo",
    "rosewood",
    "padauk",
    "iroko",
    "teak",
    "wenge",
    "ebony",
    "yew",
    "olive",
    "mahogany",
    "satinwood",
)
"""Woods that trade lists name as irritating or sensitising (common practice, no source)."""

OILY = ("cocobolo", "rosewood", "teak", "iroko", "olive", "ipe", "lignum", "padauk", "bubinga")
"""Woods whose oil keeps glue off unless they are wiped or freshly planed (common practice)."""


def is_irritating(wood: str) -> bool:
    """Whether the usual lists name this wood as irritating."""
    return any(name in wood.casefold() for name in IRRITATING)


def is_oily(wood: str) -> bool:
    """Whether this wood is to be wiped or planed just before gluing."""
    return any(name in wood.casefold() for name in OILY)
