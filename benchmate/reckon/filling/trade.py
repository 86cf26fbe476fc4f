"""What the trade knows about weighting wood: cautions that hold wherever the matter comes up.

Common practice, no source, unless a line names one. Each sentence defers to the maker's data sheet.
"""

ACID_WOODS = ("oak", "chestnut")

LEAD_HANDLING = (
    "Lead dust and fume are poisonous: gloves, no dry sanding, wash hands; follow the data sheet "
    "and local rules."
)
LEAD_CORRODES = (
    "Lead in a closed void corrodes and swells with a water-borne glue or in an acid wood (oak, "
    "chestnut): seal it in resin and close with epoxy, or take another metal."
)
STEEL_SPARKS = (
    "Steel shot near a sander sparks: plan a clear cap of resin over it and don't sand into it."
)
GLUE_HOLDS_ON_WOOD = (
    "Wood glue holds on the wood around the pocket, not on resin or metal: count only that area."
)
POT_LIFE_BY_MASS = (
    "Pot life is the label's for its mass in the cup: a larger mix goes off sooner, a thin layer "
    "later; it is not scaled here."
)


def is_acid(wood: str) -> bool:
    """Whether a wood's acid attacks lead."""
    return any(name in wood.casefold() for name in ACID_WOODS)


def is_lead(metal: str) -> bool:
    """Whether a metal's name says that there is lead in it."""
    return "lead" in metal.casefold().replace("-", " ").split() and "free" not in metal.casefold()


def is_like_lead(density_g_cm3: float) -> bool:
    """Whether a shot's density is that of lead or its alloys, where no name is known."""
    return 10.8 <= density_g_cm3 <= 11.5


def cautions(
    metal: str,
    *,
    wood: str = "",
    glue_is_water_borne: bool = False,
    void_is_closed: bool = True,
    is_sanded: bool = False,
    cap_mm: float = 0.0,
) -> tuple[str, ...]:
    """Return the cautions for this metal in this piece, most grave first."""
    found: list[str] = []
    if is_lead(metal):
        if void_is_closed and (glue_is_water_borne or is_acid(wood)):
            found.append(LEAD_CORRODES)
        found.append(LEAD_HANDLING)
    is_steel = any(word in metal.casefold() for word in ("steel", "iron"))
    if is_steel and is_sanded and cap_mm <= 0.0:
        found.append(STEEL_SPARKS)
    return tuple(found)
