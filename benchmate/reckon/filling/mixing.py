"""Resin to mix: parts A and B, how many cups, how many layers a cup lasts.

By weight A:B = (v_A d_A):(v_B d_B) for a ratio by volume. Cups are equal, and as few as the largest
mix, the pouring rate and the pot life allow. A pot life belongs to the label's mass in the cup; it
is never scaled by a formula here.
"""

import msgspec

from benchmate.quantities.worded import Worded, whole_grams
from benchmate.reckon.asking.frame import Given, Input, Reckoner, Refused, Result, Worked
from benchmate.reckon.asking.rounding import guarded_ceil, guarded_floor
from benchmate.reckon.filling.trade import POT_LIFE_BY_MASS

MOST_MIXES = 10_000


class Mixes(msgspec.Struct, frozen=True):
    """How many equal cups, what goes in each, and how many layers one lasts (None: not known)."""

    mixes: int
    a_g: float
    b_g: float
    layers_per_mix: int | None = None


def ratio_by_weight(
    ratio: float, by: str, density_a_g_cm3: float | None, density_b_g_cm3: float | None
) -> float:
    """Return grams of A per gram of B; raises Refused when a ratio by volume lacks a density."""
    if by == "weight":
        return ratio
    if density_a_g_cm3 is None or density_b_g_cm3 is None:
        raise Refused(
            "a ratio by volume needs density_a_g_cm3 and density_b_g_cm3 from the data sheet"
        )
    return ratio * density_a_g_cm3 / density_b_g_cm3


def mixed_density_g_cm3(
    a_per_b: float, density_a_g_cm3: float | None, density_b_g_cm3: float | None
) -> float:
    """Return the density of the fresh mix, its volumes added up; raises Refused without both."""
    if density_a_g_cm3 is None or density_b_g_cm3 is None:
        raise Refused(
            "resin_ml needs density_a_g_cm3 and density_b_g_cm3 to become grams; or give resin_g"
        )
    return (a_per_b + 1.0) / (a_per_b / density_a_g_cm3 + 1.0 / density_b_g_cm3)


def layers_in_time(
    pot_life_min: float | None, work_min_per_layer: float | None, mixing_min: float
) -> int | None:
    """Return how many layers one cup lasts, None when a time isn't known.

    Raises Refused when not even one layer is done before the cup goes off.
    """
    if pot_life_min is None or work_min_per_layer is None:
        return None
    working_min = pot_life_min - mixing_min
    layers = guarded_floor(working_min / work_min_per_layer)
    if layers < 1:
        raise Refused(
            f"one layer takes {work_min_per_layer:.4g} min and the mix stays liquid for "
            f"{max(0.0, working_min):.4g} min after mixing: pour thinner layers or take a slower "
            "hardener"
        )
    return layers


def split(
    resin_g: float,
    a_per_b: float,
    *,
    largest_g: float | None = None,
    layers: int | None = None,
    layers_per_mix: int | None = None,
) -> Mixes:
    """Return equal cups for `resin_g`, as few as the largest mix and the layers in time allow.

    Raises Refused for more cups than anybody mixes.
    """
    mixes = 1 if largest_g is None else max(1, guarded_ceil(resin_g / largest_g))
    if layers is not None and layers_per_mix is not None:
        mixes = max(mixes, -(-layers // layers_per_mix))
        layers_per_mix = min(layers_per_mix, -(-layers // mixes))
    if mixes > MOST_MIXES:
        raise Refused(f"that is {mixes} mixes; check resin and max_mix_g")
    each_g = resin_g / mixes
    b_g = each_g / (1.0 + a_per_b)
    return Mixes(mixes, each_g - b_g, b_g, layers_per_mix)


def largest_mix_g(given: Given) -> float | None:
    """Return the largest cup in g: the maker's, and what can be poured before it goes off.

    Raises Refused where mixing takes the whole pot life.
    """
    limits = [given.maybe("max_mix_g")]
    rate, pot_life = given.maybe("pour_rate_g_per_min"), given.maybe("pot_life_min")
    if rate is not None and pot_life is not None:
        working_min = pot_life - given.number("mixing_min")
        if working_min <= 0.0:
            raise Refused("mixing takes the whole pot life; nothing of the mix could be poured")
        limits.append(rate * working_min)
    return min((limit for limit in limits if limit is not None), default=None)


def work(given: Given) -> Worked:
    """Answer `resin-mix`."""
    density_a, density_b = given.maybe("density_a_g_cm3"), given.maybe("density_b_g_cm3")
    a_per_b = ratio_by_weight(given.number("ratio"), given.word("by"), density_a, density_b)
    needed_g = _needed_g(given, a_per_b) / (1.0 - given.number("loss_pct") / 100.0)
    per_mix = layers_in_time(
        given.maybe("pot_life_min"), given.maybe("work_min_per_layer"), given.number("mixing_min")
    )
    found = split(
        needed_g,
        a_per_b,
        largest_g=largest_mix_g(given),
        layers=given.count("layers") if given.has("layers") else None,
        layers_per_mix=per_mix,
    )
    return Worked(
        {
            "mixes": found.mixes,
            "a_g": found.a_g,
            "b_g": found.b_g,
            "layers_per_mix": found.layers_per_mix,
        },
        tuple(_notes(given, found, a_per_b)),
    )


def _needed_g(given: Given, a_per_b: float) -> float:
    resin_g, resin_ml = given.maybe("resin_g"), given.maybe("resin_ml")
    if (resin_g is None) == (resin_ml is None):
        both = (
            "neither resin_ml nor resin_g is"
            if resin_g is None
            else "resin_ml and resin_g are both"
        )
        raise Refused(f"{both} given; give one of them")
    if resin_g is not None:
        return resin_g
    density = mixed_density_g_cm3(
        a_per_b, given.maybe("density_a_g_cm3"), given.maybe("density_b_g_cm3")
    )
    return (resin_ml or 0.0) * density


def _notes(given: Given, found: Mixes, a_per_b: float) -> list[str]:
    notes = []
    if given.word("by") == "volume":
        notes.append(f"By weight that is {a_per_b:.4g} of A to 1 of B; weighing is surer.")
    if given.has("pot_life_min"):
        notes.append(POT_LIFE_BY_MASS)
    label_g, cup_g = given.maybe("label_mass_g"), found.a_g + found.b_g
    if label_g is not None and cup_g > label_g:
        notes.append(
            Worded(
                "A cup of {cup} is more than the label's {label}: it goes off sooner.",
                cup=whole_grams(cup_g),
                label=whole_grams(label_g),
            )
        )
    notes.append("Never change the ratio to change the speed; the rest stays soft.")
    return notes


def _density_input(part: str) -> Input:
    return Input(
        f"density_{part.casefold()}_g_cm3",
        f"density of part {part}",
        needed=False,
        low=0.5,
        high=3.0,
    )


RECKONER = Reckoner(
    name="resin-mix",
    title="How much of each part to mix, in how many cups",
    inputs=(
        Input("resin_ml", "mixed resin needed", needed=False, above=0.0, high=1e5),
        Input("resin_g", "the same by weight", needed=False, above=0.0, high=1e5),
        Input("ratio", "A to B, as 100:30 or 2:1", takes="ratio", low=0.01, high=100.0),
        Input(
            "by",
            "whether the ratio is by weight or by volume",
            takes="choice",
            choices=("weight", "volume"),
        ),
        _density_input("A"),
        _density_input("B"),
        Input("max_mix_g", "largest mix allowed", needed=False, above=0.0, high=1e5),
        Input(
            "pot_life_min",
            "how long the label says a mix stays liquid",
            needed=False,
            above=0.0,
            high=2880.0,
        ),
        Input(
            "label_mass_g",
            "the mass in the cup that the label's pot life is for",
            needed=False,
            above=0.0,
            high=1e5,
        ),
        Input(
            "work_min_per_layer",
            "how long one layer takes to pour",
            unit="min",
            needed=False,
            above=0.0,
            high=2880.0,
        ),
        Input(
            "loss_pct", "share of the mix that stays in the cup", default=0.0, low=0.0, high=90.0
        ),
        Input(
            "layers",
            "how many layers there are in all",
            takes="count",
            needed=False,
            low=1,
            high=1000,
        ),
        Input(
            "mixing_min",
            "time that mixing takes from the pot life",
            default=0.0,
            low=0.0,
            high=120.0,
        ),
        Input(
            "pour_rate_g_per_min", "how fast it can be poured", needed=False, above=0.0, high=1e5
        ),
    ),
    results=(
        Result("mixes", "cups to mix, all alike", unit=""),
        Result("a_g", "part A in each"),
        Result("b_g", "part B in each"),
        Result(
            "layers_per_mix",
            "layers that one cup lasts; none when the times aren't given",
            unit="",
            if_none="not known: give pot_life_min and work_min_per_layer",
        ),
    ),
    formula="by weight A/B = (v_A d_A)/(v_B d_B); mix = need/(1 - loss); cups = ceil(mix/"
    "largest); largest = min(max mix, rate x (pot life - mixing)); layers = floor((pot life - "
    "mixing)/work per layer)",
    sources=(
        "definition of the ratio; an epoxy maker's page gives 3:1 by volume as 3.5:1 by weight",
        "a cup limited by pot life and pouring rate: common practice",
    ),
    limits=(
        POT_LIFE_BY_MASS,
        "Volumes of A and B are added as they are; the shrinkage on cure is not in it.",
    ),
    example={
        "resin_g": "260",
        "ratio": "100:30",
        "by": "weight",
        "max_mix_g": "150",
        "pot_life_min": "25",
        "label_mass_g": "100",
        "work_min_per_layer": "8",
        "loss_pct": "5",
    },
    work=work,
    curve=("resin_g", "mixes"),
)
