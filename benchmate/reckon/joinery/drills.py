"""In what steps a hole is drilled, how fast, how deep before clearing; what pilot a screw wants.

Everything here is common practice without a source, stated as rules: a first drill of at most 6 mm,
each next one at most 1.7 times as wide, in half millimetres where it can be; the speed that gives a
usual cutting speed, 3000 rpm at most; drawn out to clear after so many diameters. A screw's pilot
is a share of its diameter, about its root.
"""

from dataclasses import dataclass
from math import ceil, pi

from benchmate.reckon.asking.frame import Given, Input, Reckoner, Result, Worked

SMALL_MM = 6.0
STEP = 1.7
FASTEST_RPM = 3000.0


@dataclass(frozen=True)
class Stuff:
    """What is drilled: cutting speed in m/min, diameters before clearing, pilot as a share."""

    m_min: float
    peck_diameters: float
    pilot_share: float
    mind: str


STUFFS: dict[str, Stuff] = {
    "softwood": Stuff(60.0, 4.0, 0.65, "back the exit up with scrap"),
    "hardwood": Stuff(40.0, 3.0, 0.75, "back the exit up with scrap; wax the screw"),
    "dense hardwood": Stuff(30.0, 2.0, 0.85, "clear often: its dust burns and packs"),
    "plywood": Stuff(40.0, 3.0, 0.70, "back the exit up with scrap"),
    "resin": Stuff(20.0, 1.0, 0.85, "heat softens and grabs: cleared, slow, dust mask on"),
    "brass": Stuff(45.0, 1.5, 0.85, "brass grabs: ease the cutting edge, clamp the work down"),
    "aluminium": Stuff(60.0, 1.5, 0.85, "a drop of spirit or oil; clamp the work down"),
    "steel": Stuff(25.0, 1.0, 0.90, "cutting oil; clamp the work down"),
}


@dataclass(frozen=True)
class Drilling:
    """A hole's drills in mm from the first to the last, the last one's speed, its depth a peck."""

    series_mm: tuple[float, ...]
    rpm: float
    peck_mm: float


def series_mm(final_mm: float) -> tuple[float, ...]:
    """Return the drills for a hole, the last its own size; steps are whole half millimetres."""
    drills = [final_mm]
    while drills[0] > SMALL_MM:
        least = drills[0] / STEP
        half = ceil(least * 2.0) / 2.0
        drills.insert(0, half if half < drills[0] else least)
    return tuple(drills)


def rpm_for(diameter_mm: float, m_min: float) -> float:
    """Return the speed at which a drill's rim cuts at so many m/min, 3000 rpm at most."""
    return min(FASTEST_RPM, m_min * 1000.0 / (pi * diameter_mm))


def drilling(final_mm: float, stuff: Stuff, depth_mm: float | None = None) -> Drilling:
    """Return how a hole is drilled; without a depth the peck is the most one bite takes."""
    bite_mm = stuff.peck_diameters * final_mm
    peck_mm = bite_mm if depth_mm is None else min(depth_mm, bite_mm)
    return Drilling(series_mm(final_mm), rpm_for(final_mm, stuff.m_min), peck_mm)


def _work(given: Given) -> Worked:
    stuff = STUFFS[given.word("material")]
    screw_mm, depth_mm = given.maybe("screw_mm"), given.maybe("depth_mm")
    found = drilling(given.number("final_mm"), stuff, depth_mm)
    notes = []
    if depth_mm is not None and depth_mm > found.peck_mm:
        notes.append("Draw the drill out after each peck and clear the chips.")
    if screw_mm is not None:
        notes.append("Try the pilot in an offcut: a screw's root differs from maker to maker.")
    return Worked(
        {
            "series_mm": list(found.series_mm),
            "pilot_mm": None if screw_mm is None else screw_mm * stuff.pilot_share,
            "rpm": found.rpm,
            "peck_mm": found.peck_mm,
            "caution": f"Eye protection on, no gloves at the drill, work held fast; {stuff.mind}.",
        },
        tuple(notes),
    )


RECKONER = Reckoner(
    name="drills",
    title="Drills for a hole, their speed, and a screw's pilot",
    inputs=(
        Input("final_mm", "diameter of the hole", above=0.0, high=150.0),
        Input(
            "material", "what is drilled", takes="choice", choices=tuple(STUFFS), default="hardwood"
        ),
        Input("depth_mm", "how deep", needed=False, above=0.0, high=2000.0),
        Input(
            "screw_mm",
            "diameter of a screw over its thread, for its pilot",
            needed=False,
            above=0.0,
            high=30.0,
        ),
    ),
    results=(
        Result("series_mm", "drills from the first to the last"),
        Result("pilot_mm", "hole for the screw's thread", if_none="no screw given"),
        Result("rpm", "for the last drill, to begin with"),
        Result("peck_mm", "how deep before it is drawn out to clear"),
        Result("caution", "what to mind"),
    ),
    formula="each drill at most 1.7 times the one before, the first at most 6 mm; "
    "rpm = 1000 v/(π d), 3000 at most; peck = some diameters; pilot = a share of the screw",
    sources=(
        "common practice, no source: step, cutting speeds (m/min: "
        + ", ".join(f"{name} {stuff.m_min:.0f}" for name, stuff in STUFFS.items())
        + "), pecks and pilot shares",
    ),
    limits=(
        "Twist and brad-point drills. A spade, hole saw or Forstner bit runs at half that or "
        "less and needs no series.",
    ),
    example={"final_mm": "16", "material": "hardwood", "depth_mm": "60", "screw_mm": "4"},
    work=_work,
    curve=("final_mm", "rpm"),
)
