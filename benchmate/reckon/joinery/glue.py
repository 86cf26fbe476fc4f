"""How much glue a joint takes.

Source: mass = spread x area x faces; what stays in the pot or is squeezed out is a share of the
whole that is mixed or poured, so the sum is divided by what is left of the whole.
"""

from benchmate.reckon.asking.frame import Given, Input, Reckoner, Result, Worked

_G_M2_PER_G_CM2 = 10_000.0


def glue_g(area_cm2: float, spread_g_m2: float, faces: int = 1, waste_share: float = 0.0) -> float:
    """Return the glue to pour or mix; `waste_share` is of that whole, 0 to below 1."""
    return spread_g_m2 * area_cm2 / _G_M2_PER_G_CM2 * faces / (1.0 - waste_share)


def _work(given: Given) -> Worked:
    faces = given.count("faces")
    notes = (
        ("Both faces are spread: the label's figure must be for one face, not for the joint.",)
        if faces > 1
        else ()
    )
    amount_g = glue_g(
        given.number("area_cm2"), given.number("spread_g_m2"), faces, given.number("waste_share")
    )
    return Worked({"glue_g": amount_g}, notes)


RECKONER = Reckoner(
    name="glue",
    title="How much glue a joint takes",
    inputs=(
        Input("area_cm2", "area of the joint", above=0.0, high=1e6),
        Input(
            "spread_g_m2",
            "glue on a face, from the label",
            above=0.0,
            high=5000.0,
            source_low=80.0,
            source_high=400.0,
            beyond="wood glues usually ask for 150 to 250 g/m² (common practice)",
        ),
        Input("faces", "faces that are spread", takes="count", default=1, low=1, high=50),
        Input(
            "waste_share",
            "of the whole, left in the pot and squeezed out",
            default=0.0,
            low=0.0,
            high=0.99,
        ),
    ),
    results=(Result("glue_g", "to pour or mix"),),
    formula="glue = spread x area x faces/(1 − waste)",
    sources=("mass = spread x area", "usual spreads: common practice, no source"),
    limits=("End grain drinks more: size it first, or spread it twice.",),
    example={"area_cm2": "450", "spread_g_m2": "180", "waste_share": "0.2"},
    work=_work,
    curve=("area_cm2", "glue_g"),
)
