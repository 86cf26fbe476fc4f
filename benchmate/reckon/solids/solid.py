"""The reckoner `solid`: volume, surface, centre and inertia of a shape given as plain JSON."""

from benchmate.quantities import show_number
from benchmate.reckon.asking.frame import (
    Given,
    Input,
    Plain,
    Reckoner,
    Refused,
    Result,
    WithU,
    Worked,
)
from benchmate.reckon.solids import Body, shape_from_json
from benchmate.reckon.solids.second import inertia


def _density(given: Given, volume_ml: float) -> float | None:
    """In g/cm³, by itself or from the weight."""
    density, weight_g = given.maybe("density_g_cm3"), given.maybe("weight_g")
    if density is not None and weight_g is not None:
        raise Refused("density_g_cm3 and weight_g are both given; give one of them")
    return density if weight_g is None else weight_g / volume_ml


def _inertia(body: Body, density_g_cm3: float) -> list[Plain]:
    return [density_g_cm3 / 1000.0 * about for about in inertia(body.second)]


def _work(given: Given) -> Worked:
    body = shape_from_json(given.data("shape"))
    volume = body.volume_ml
    density = _density(given, volume)
    notes = list(body.notes)
    if body.u_volume_ml > 0.01 * volume:
        share = show_number(100.0 * body.u_volume_ml / volume, 1)
        notes.append(f"The volume is known to {share} % only; give crossing holes as one shape.")
    return Worked(
        {
            "volume_ml": WithU(volume, body.u_volume_ml) if body.u_volume_ml else volume,
            "surface_cm2": body.surface_cm2,
            "centroid_mm": list(body.centre),
            "weight_g": None if density is None else density * volume,
            "inertia_g_mm2": None if density is None else _inertia(body, density),
        },
        tuple(notes),
    )


RECKONER = Reckoner(
    name="solid",
    title="Volume, surface, centre and inertia of a shape",
    inputs=(
        Input(
            "shape",
            "an object with shape (block: size_mm [x, y, z]; cylinder: diameter_mm, "
            "length_mm; frustum: diameters_mm [start, end], length_mm; capsule: "
            "diameter_mm, length_mm over the round ends; slot: length_mm along y, "
            "width_mm along z, depth_mm along x, corner_mm or else round ends; prism: "
            "sides and across_flats_mm, or outline_mm [[y, z], …], and length_mm; ring: "
            "outer_mm, inner_mm, length_mm, or middle_mm, section_mm if round; dome: "
            "diameter_mm, height_mm or else half a ball; bore: diameter_mm, depth_mm, or "
            "steps_mm [[diameter, depth], …], and tip_deg, 118 unless given, 180 flat; "
            "turned: profile_mm [[x, radius], …]), with at_mm [x, y, z] and along (x, "
            "-z, …) to place it, and lists plus and minus of shapes; cylinder and turned "
            "take grooves, objects with at_mm and radius_mm, or width_mm and depth_mm, "
            "with vee true for a V",
            takes="data",
        ),
        Input(
            "density_g_cm3",
            "what it is made of, for weight and inertia",
            needed=False,
            above=0.0,
            high=30.0,
        ),
        Input(
            "weight_g", "what it weighs, instead of the density", needed=False, above=0.0, high=1e6
        ),
    ),
    results=(
        Result("volume_ml", "what is left, holes taken off", has_u=True),
        Result(
            "surface_cm2",
            "what a finish would meet: outside and insides of holes, mouths and "
            "joints taken off; unknown where holes cross",
            if_none="not known: holes cross",
        ),
        Result(
            "centroid_mm", "[x, y, z]: x along the shape from its start, y and z from its middle"
        ),
        Result("weight_g", "of one stuff throughout", if_none="needs a density"),
        Result(
            "inertia_g_mm2",
            "about axes through the centre along [x, y, z], of one stuff throughout",
            if_none="needs density_g_cm3 or weight_g",
        ),
    ),
    formula=(
        "cylinder πd²h/4; frustum πh(d² + dD + D²)/12; capsule πr²(L − 2r) + 4πr³/3; slot "
        "(LW − (4 − π)r²)·depth; prism n r² tan(π/n) h; dome πh(3a² + h²)/6; drill point a "
        "cone (d/2)/tan(point/2) high; ring and groove by Pappus; centroid Σ±Vx/Σ±V; inertia "
        "by ∫(y² + z²) dm and parallel axes"
    ),
    sources=(
        "geometry: frusta, zones of a sphere, Pappus's theorems, the shoelace formula",
        "crossing holes by points (quasi-Monte Carlo), with their spread as u",
    ),
    limits=(
        "A hole must lie inside the box of the body; one that sticks out is refused.",
        "Coaxial turned parts and bores that overlap count once, as in a stepped bore.",
        "Edges are sharp: rounded-over edges take off a little that isn't counted.",
    ),
    example={
        "shape": '{"shape": "block", "size_mm": [120, 90, 60], "minus": [{"shape": "slot", '
        '"length_mm": 80, "width_mm": 30, "depth_mm": 45, "at_mm": [60, 0, 30], '
        '"along": "-z"}]}'
    },
    work=_work,
)
