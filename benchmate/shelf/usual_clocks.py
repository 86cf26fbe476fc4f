"""The clocks that a kind of material usually starts: common practice without a source.

What a label says of them stands in its place; each is marked wherever it is used.
"""

from __future__ import annotations

from typing import Any

from benchmate.shelf.material import COMMON_PRACTICE, LabelWindow

MIN, H, D = 60.0, 3600.0, 86400.0


def label_window(name: str, act: str, **values: Any) -> LabelWindow:
    return LabelWindow(name=name, act=act, source=COMMON_PRACTICE, **values)


def pot_life(minutes: float, at_c: float = 21.0) -> LabelWindow:
    return label_window(
        "pot life",
        "mixed",
        closes_s=minutes * MIN,
        at_c=at_c,
        missed="spoils mix",
        closes_text="the mix gels",
        missed_text="Stand the cup outside to cool, bin it, and mix a fresh one.",
    )


def cast_resin(tacky: tuple[float, float], cure: tuple[float, float]) -> tuple[LabelWindow, ...]:
    return (
        label_window(
            "tacky",
            "poured",
            opens_s=tacky[0] * H,
            closes_s=tacky[1] * H,
            at_c=21.0,
            opens_text="the next layer may go on",
            closes_text="the next layer won't bond without scuffing",
            missed="extra work",
            missed_text="Let it cure, wash off any blush (bloom), scuff, wipe, then pour.",
        ),
        label_window(
            "cure",
            "poured",
            opens_s=cure[0] * H,
            full_s=cure[1] * H,
            at_c=21.0,
            opens_text="ready to handle",
            full_text="ready to sand",
        ),
    )


def wood_glue(
    open_min: float, closed_min: float, clamp_min: float, full_h: float
) -> tuple[LabelWindow, ...]:
    redo = "Scrape and wash the glue off, let it dry, freshen the faces, glue again."
    return (
        label_window(
            "open time",
            "spread",
            closes_s=open_min * MIN,
            at_c=21.0,
            missed="spoils joint",
            closes_text="the glue skins over",
            missed_text=redo,
        ),
        label_window(
            "closed assembly",
            "closed",
            closes_s=closed_min * MIN,
            at_c=21.0,
            missed="spoils joint",
            closes_text="the glue grabs before it is clamped",
            missed_text=redo,
        ),
        label_window(
            "clamp time",
            "clamped",
            opens_s=clamp_min * MIN,
            full_s=full_h * H,
            at_c=21.0,
            opens_text="clamps may come off",
            full_text="full strength",
        ),
    )


def film_coat(
    recoat: tuple[float, float | None], hard_d: float, late: str
) -> tuple[LabelWindow, ...]:
    closes = None if recoat[1] is None else recoat[1] * H
    return (
        label_window(
            "recoat",
            "coated",
            opens_s=recoat[0] * H,
            closes_s=closes,
            at_c=20.0,
            opens_text="the next coat may go on",
            closes_text="too late to recoat without sanding",
            missed="nothing" if closes is None else "extra work",
            missed_text=late,
        ),
        label_window(
            "hard",
            "coated",
            opens_s=hard_d / 4 * D,
            full_s=hard_d * D,
            at_c=20.0,
            opens_text="dry enough to handle and buff",
            full_text="ready to use",
        ),
    )


OIL_OFF = label_window(
    "wipe off",
    "coated",
    closes_s=20 * MIN,
    at_c=20.0,
    missed="extra work",
    closes_text="the excess turns sticky",
    missed_text="Wet it with a little fresh oil, rub until it loosens, and wipe dry.",
)
SCUFF = "Scuff lightly, take off the dust, then coat."
