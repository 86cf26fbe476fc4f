"""What helps a pour that would get too warm: each piece of advice with its numbers worked out."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

from benchmate.quantities.worded import Worded, whole_celsius, whole_grams
from benchmate.reckon.heat.kinetics import Kinetics
from benchmate.reckon.heat.pour_lumps import CupOfMix, LayerInVoid, cup_course, void_course

COLDEST_START_C = 10.0
DENSEST_PACKING = 0.62
"""Shot can't be packed tighter than this by pouring and tapping (random close packing is 0.64)."""


def smaller_mix(cup: CupOfMix, law: Kinetics) -> list[str]:
    """The largest mix that stays cool enough even when it is forgotten in the cup."""

    def too_warm(share: float) -> bool:
        return cup_course(replace(cup, mass_g=cup.mass_g * share), law).peak_c > cup.bears_c

    share = _largest(too_warm, 0.1)
    if share is None:
        return ["No smaller mix would stay cool in a cup: spread it out flat, or pour it at once."]
    mixes = math.ceil(1.0 / share - 1e-9)
    return [
        Worded(
            "Smaller mixes: {mixes} of {each} would stay below {bears} even in the cup.",
            mixes=str(mixes),
            each=whole_grams(cup.mass_g / mixes),
            bears=whole_celsius(cup.bears_c),
        )
    ]


def more_shot(cup: CupOfMix, layer: LayerInVoid, law: Kinetics) -> list[str]:
    """More shot before the resin in the same room: less resin, and more metal to warm."""
    volume = layer.volume_ml

    def packed(packing: float) -> LayerInVoid:
        return replace(
            layer,
            shot_g=packing * volume * layer.shot_density_g_cm3,
            resin_g=(1.0 - packing) * volume * layer.resin_density_g_cm3,
        )

    now = layer.shot_g / layer.shot_density_g_cm3 / volume
    if now > DENSEST_PACKING - 0.01:
        return []

    def too_warm(share: float) -> bool:
        # share 1 is the packing as it is, 0 the densest there is.
        found = void_course(cup, packed(DENSEST_PACKING + share * (now - DENSEST_PACKING)), law)
        return found.peak_c > layer.bears_c

    share = _largest(too_warm, 0.0)
    best = packed(DENSEST_PACKING + (share or 0.0) * (now - DENSEST_PACKING))
    peak_c = void_course(cup, best, law).peak_c
    return [
        Worded(
            "More shot first: {amounts} in the same room would reach about {peak}{still}.",
            amounts=_amounts(best),
            peak=whole_celsius(peak_c),
            still=_still(peak_c, layer),
        )
    ]


def shallower(cup: CupOfMix, layer: LayerInVoid, law: Kinetics) -> list[str]:
    """A part of the layer at a time, each left to cool before the next."""

    def part(share: float) -> LayerInVoid:
        return replace(layer, resin_g=layer.resin_g * share, shot_g=layer.shot_g * share)

    share = _largest(lambda s: void_course(cup, part(s), law).peak_c > layer.bears_c, 0.15)
    if share is None:
        return []
    layers = math.ceil(1.0 / share - 1e-9)
    thin = part(1.0 / layers)
    return [
        Worded(
            "Shallower layers: {layers} of {amounts}, each let cool first, would reach about"
            " {peak}.",
            layers=str(layers),
            amounts=_amounts(thin),
            peak=whole_celsius(void_course(cup, thin, law).peak_c),
        )
    ]


def cooler(cup: CupOfMix, layer: LayerInVoid, law: Kinetics) -> list[str]:
    """A cooler start of mix, shot and shop, if the shop can be that cool."""
    warmest = min(cup.start_c, layer.shop_c)
    span = warmest - COLDEST_START_C
    if span <= 1.0:
        return []

    def peak_c(start_c: float) -> float:
        cold = replace(layer, shop_c=start_c)
        return void_course(replace(cup, start_c=start_c), cold, law).peak_c

    share = _largest(lambda s: peak_c(COLDEST_START_C + s * span) > layer.bears_c, 0.0)
    start_c = COLDEST_START_C + (share or 0.0) * span
    reached = peak_c(start_c)
    return [
        Worded(
            "A cooler start: mix, shot and shop at {start} would reach about {peak}{still}; see the"
            " sheet for the lowest working temperature.",
            start=whole_celsius(start_c),
            peak=whole_celsius(reached),
            still=_still(reached, layer),
        )
    ]


def _amounts(layer: LayerInVoid) -> str:
    resin = Worded("{resin} of resin", resin=whole_grams(layer.resin_g))
    if not layer.shot_g:
        return resin
    return Worded("{shot} of shot and {resin}", shot=whole_grams(layer.shot_g), resin=resin)


def _still(peak_c: float, layer: LayerInVoid) -> str:
    return ", still too warm alone" if peak_c > layer.bears_c + 0.5 else ""


def _largest(too_warm: Callable[[float], bool], least: float) -> float | None:
    """The largest share from `least` to 1 that isn't too warm; None where even `least` is."""
    if too_warm(least):
        return None
    low, high = least, 1.0
    for _ in range(8):
        middle = (low + high) / 2.0
        low, high = (low, middle) if too_warm(middle) else (middle, high)
    return low
