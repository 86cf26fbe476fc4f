"""How hard a joint is to be pressed, and how many clamps that takes.

A clamp's pressure spreads at 45° from its head, so that at the glue line it covers the head and
twice its distance. Where the joint is broader than that, clamps stand in rows.

Source: force = pressure x area; the 45° cone is common practice of the trade.
"""

import msgspec

from benchmate.reckon.asking.frame import Given, Input, Reckoner, Refused, Result, Worked
from benchmate.reckon.asking.rounding import guarded_ceil

LEAST_COVER_MM = 0.1


class Clamping(msgspec.Struct, frozen=True):
    """The clamps of a joint: force in N, lengths in mm."""

    force_n: float
    clamps_by_force: int | None
    clamps_by_cover: int
    clamps: int
    cover_mm: float
    spacing_mm: float
    rows: int


def clamping(
    size_mm: tuple[float, float],
    pressure_mpa: float,
    head_mm: float,
    distance_mm: float,
    clamp_force_n: float | None = None,
) -> Clamping:
    """Return the clamps for a joint of [length, width].

    The clamps by cover are a row along the length for each row across the width; the larger need
    decides. Raises Refused where a clamp covers nothing.
    """
    length_mm, width_mm = size_mm
    force_n = pressure_mpa * length_mm * width_mm
    by_force = None if clamp_force_n is None else max(1, guarded_ceil(force_n / clamp_force_n))
    cover_mm = head_mm + 2.0 * distance_mm
    if cover_mm < LEAST_COVER_MM:
        raise Refused("a clamp without a head, right at the glue line, covers nothing; give both")
    rows = max(1, guarded_ceil(width_mm / cover_mm))
    by_cover = rows * max(1, guarded_ceil(length_mm / cover_mm))
    clamps = max(by_cover, by_force or 0)
    in_a_row = -(-clamps // rows)
    return Clamping(force_n, by_force, by_cover, clamps, cover_mm, length_mm / in_a_row, rows)


def _work(given: Given) -> Worked:
    found = clamping(
        (given.number("length_mm"), given.number("width_mm")),
        given.number("pressure_mpa"),
        given.number("head_mm"),
        given.number("distance_mm"),
        given.maybe("clamp_force_n"),
    )
    notes = ["The first and the last clamp of a row stand half a spacing from the ends."]
    if found.clamps_by_force is None:
        notes.append("Without clamp_force_n the count is by cover alone; the force may want more.")
    notes.append("Epoxy wants contact, not pressure: squeezed hard, the joint is starved.")
    return Worked(msgspec.structs.asdict(found), tuple(notes))


RECKONER = Reckoner(
    name="clamps",
    title="Force on a joint, and how many clamps",
    inputs=(
        Input("length_mm", "length of the joint", above=0.0, high=20_000.0),
        Input("width_mm", "width of the joint", above=0.0, high=5000.0),
        Input(
            "pressure_mpa",
            "from the glue's data sheet",
            above=0.0,
            high=20.0,
            source_low=0.05,
            source_high=2.0,
            beyond="wood glues ask for about 0.7 to 1 MPa on softwood, 1.2 to 1.7 on hardwood",
        ),
        Input("clamp_force_n", "what one clamp gives", needed=False, low=1.0, high=1e6),
        Input("head_mm", "breadth of the clamp's head or pad", low=0.0, high=500.0),
        Input(
            "distance_mm", "from the head to the glue line, a caul included", low=0.0, high=1000.0
        ),
    ),
    results=(
        Result("force_n", "on the whole joint"),
        Result("clamps_by_force", "by the clamp's own force", if_none="needs clamp_force_n"),
        Result("clamps_by_cover", "so that the pressure meets at the glue line"),
        Result("clamps", "the larger need"),
        Result("cover_mm", "what one clamp covers at the glue line"),
        Result("spacing_mm", "between the clamps of a row"),
        Result("rows", "rows across the width"),
    ),
    formula="force = pressure x length x width; cover = head + 2 x distance; "
    "rows = width/cover, clamps = rows x length/cover, rounded up; by force: force/clamp force",
    sources=(
        "force = pressure x area",
        "the 45° cone, and pressures of 0.7 to 1.7 MPa: makers' figures at second hand, "
        "common practice",
    ),
    limits=("A stiff caul spreads the pressure further than the cone says.",),
    example={
        "length_mm": "600",
        "width_mm": "20",
        "pressure_mpa": "1",
        "clamp_force_n": "2000",
        "head_mm": "30",
        "distance_mm": "50",
    },
    work=_work,
    curve=("distance_mm", "clamps"),
)
