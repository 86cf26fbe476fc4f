"""Bodies glued up of parts, what they leave between them, and what comes off to the finished
sizes. Every number here was worked out by pencil first."""

from __future__ import annotations

import pytest

from benchmate.plan.plan import Plan
from benchmate.plan.shapes import Built, PartShape
from benchmate.procedure.finding import library
from benchmate.procedure.proofread import proofread_text
from benchmate.shelf import FAMILIES
from tests.unit.language_help import plan_of, refusal, step

HEAD = """
name = "Head"
[parts.cheek]
called  = ["left cheek", "right cheek"]
density = "0.70 g/cm³"
size    = "110 x 60 x 25 mm"
[parts.cheek.voids.pocket]
called = ["front pocket", "back pocket"]
shape  = "block"
size   = "24 x 26 x 16 mm"
at     = ["8 mm from the front end", "8 mm from the back end"]
wall   = "at least 5 mm"
[parts.middle]
called  = ["front middle", "back middle"]
density = "0.60 g/cm³"
size    = "40 x 60 x 22 mm"
[built.head]
of   = ["left cheek", ["front middle", "back middle"], "right cheek"]
wall = "at least 5 mm"
[built.head.gaps.mortise]
wide_end = "34 mm"
slopes   = "back middle"
kept_by  = "spacers"
until    = "pull spacers"
[materials]
shot  = "steel 1 mm"
resin = "slow casting epoxy"
glue  = "yellow wood glue"
"""
STEPS = """
[[steps]]
use    = "shot pour"
part   = "cheek"
layers = 1
[[steps]]
id      = "slope"
do      = "Saw the slope."
part    = "back middle"
to_size = true
[[steps]]
use   = "wood-glue joint in clamps"
id    = "glue-up"
of    = "head"
squeeze_out = "20 min"
[[steps]]
id    = "pull spacers"
do    = "Draw the spacers."
part  = "head"
after = "glue-up: scrape"
waits = "glue-up: squeeze-out"
[[steps]]
id    = "weigh head"
do    = "Weigh the head."
part  = "head"
weigh = { as = "part", what = "head" }
"""


def shapes(plan: Plan) -> dict[str, PartShape]:
    return {p.name: p.shape for p in plan.parts if p.shape}


def head_of(plan: Plan) -> Built:
    (body,) = plan.built
    return body


def doubts(text: str) -> str:
    found = proofread_text(text, "head.toml", library(), materials={}, families=FAMILIES)
    return "\n".join(str(p) for p in found)


def test_a_body_is_as_large_as_its_layers_and_its_gap_is_what_they_leave() -> None:
    head = head_of(plan_of(HEAD + STEPS))
    # 25 + 22 + 25 mm high; 110 mm long, so that 110 - 2 x 40 = 30 mm stay between the middles.
    assert head.size_mm == (110.0, 60.0, 72.0)
    (mortise,) = head.hollows
    assert mortise.size_mm == (34.0, 30.0, 22.0, 60.0)
    # (34 + 30) / 2 x 22 x 60 = 42.24 ml.
    assert mortise.volume_ml == pytest.approx(42.24)
    assert (mortise.purpose, mortise.side, mortise.cores_out) == ("mortise", "back", "pull spacers")


def test_walls_are_reckoned_on_the_whole_body() -> None:
    plan = plan_of(HEAD + STEPS)
    front, back = shapes(plan)["left cheek"].voids
    # The front pocket reaches from 8 to 32 mm, the mortise begins at 40 mm; the pocket's mouth and
    # the mortise share no height, so the 8 mm to the end and to the mortise are its thinnest.
    assert front.wall_mm == pytest.approx(8.0)
    # The back one reaches from 78 mm; the slope comes from 70 to 74 mm at the back face (y = +30),
    # and by 74 - 4 x 17/60 = 72.87 mm at the pocket's edge (y = +13): 78 - 72.87 = 5.13 mm there,
    # square to the slope 5.13 x cos(atan(4/60)) = 5.12 mm.
    assert back.wall_mm == pytest.approx(5.12, abs=0.01)
    assert back.wall_where == "between the void and the mortise of the head"
    # To each cheek's outside 25 - 16 = 9 mm, to front and back (60 - 26) / 2 = 17 mm; 5 mm stay.
    assert dict(head_of(plan).saw_mm) == pytest.approx(
        {
            "first end": 3.0,
            "other end": 3.0,
            "top": 4.0,
            "underside": 4.0,
            "front": 12.0,
            "back": 12.0,
        }
    )


def test_a_pocket_too_near_the_mortise_is_said() -> None:
    near = HEAD.replace('"8 mm from the back end"', '"12 mm from the back end"') + STEPS
    assert "the wall between the void and the mortise of the head is 1.1 mm, less than 5 mm" in (
        doubts(near)
    )


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        # 4 mm may come off each cheek's outside: 72 - 2 x 5 = 62 mm is one too little.
        (
            'wall = "at least 5 mm"\n[built.head.gaps',
            'wall = "at least 5 mm"\nfinished_size = "110 x 60 x 62 mm"\n[built.head.gaps',
            "4 mm of wood is left over a hollow at the top and the underside, less than 5 mm; "
            "take no more than 4 mm",
        ),
        (
            'wall = "at least 5 mm"\n[built.head.gaps',
            'wall = "at least 9 mm"\n[built.head.gaps',
            "8 mm of wood is left over a hollow at the first end and the other end, less than 9 mm",
        ),
        # The pockets ask for 5 mm themselves: 7 mm off both ends together leave 8 - 3.5 = 4.5 mm.
        (
            'wall = "at least 5 mm"\n[built.head.gaps',
            'finished_size = "103 x 60 x 72 mm"\n[built.head.gaps',
            "4.5 mm of wood is left over a hollow at the first end and the other end, less than "
            "5 mm; take no more than 3 mm",
        ),
        # 15 mm off either side leave 17 - 15 = 2 mm in front.
        (
            'wall = "at least 5 mm"\n[built.head.gaps',
            'finished_size = "110 x 30 x 72 mm"\n[built.head.gaps',
            "2 mm of wood is left over a hollow at the front and the back, less than 5 mm",
        ),
        # A void 8 mm from the end and 9 mm under the cheek's outside: (8 + 9 - 11) / √2 = 4.2 mm.
        (
            'wall = "at least 5 mm"\n[built.head.gaps',
            'chamfer = "11 mm"\n[built.head.gaps',
            "built.head.chamfer: 4.2 mm of wood is left over a hollow under the chamfer, less than",
        ),
        # A recess 4 mm deep in the end leaves 8 - 4 = 4 mm to the pocket behind it.
        (
            "[built.head.gaps.mortise]",
            '[built.head.recesses.face]\nshape = "block"\nsize = "40 x 60 x 4 mm"\n'
            'from = "front end"\n[built.head.gaps.mortise]',
            "the wall between the void and the face is 4 mm, less than 5 mm",
        ),
        (
            "[parts.middle]\n",
            '[parts.cheek.recesses.eye]\nshape = "bore"\nsize = "10 x 6 mm"\n'
            'from = "front end"\n[parts.middle]\n',
            "the wall between the void and the eye of the left cheek is 2 mm, less than 5 mm",
        ),
    ],
    ids=["sawn", "asked", "off the ends", "off the width", "chamfer", "recess", "cut later"],
)
def test_how_near_the_saw_may_come_is_said(old: str, new: str, said: str) -> None:
    assert old in HEAD
    assert said in doubts(HEAD.replace(old, new) + STEPS)


def test_its_glue_goes_where_wood_lies_on_wood() -> None:
    spread = step(plan_of(HEAD + STEPS), "A/head/spread#1")
    (glue,) = spread.amounts
    # Two joints of 2 x 40 x 60 mm = 4800 mm², each less two mouths of 24 x 26 mm = 1248 mm².
    assert glue.area_mm2 == pytest.approx(2 * (4800 - 1248))


def test_its_clamps_reach_over_all_its_layers() -> None:
    # 25 + 22 + 25 mm.
    narrow = STEPS.replace('of    = "head"', 'of    = "head"\nclamp_size = "70 mm"')
    assert "clamps that open 70 mm don't reach over 72 mm of parts" in doubts(HEAD + narrow)


def test_the_spacers_are_to_hand_by_the_gap_that_they_keep() -> None:
    plan = plan_of(HEAD + STEPS)
    (need,) = [n for n in plan.needs if n.kind == "spacer"]
    assert need.what == "spacers for the mortise, waxed"
    assert need.size == "for a gap of 30 x 22 x 60 mm, 34 mm at its wide end"


def test_a_slope_comes_off_the_part_that_is_sawn() -> None:
    plan = plan_of(HEAD + STEPS)
    # Half of 4 mm x 22 mm x 60 mm = 2.64 ml of 0.60 g/cm³.
    assert shapes(plan)["back middle"].off_g == pytest.approx(1.584)
    assert step(plan, "back-middle/slope#1").takes_g == pytest.approx(1.584)


def test_a_body_on_the_scale_weighs_what_its_parts_and_fills_do() -> None:
    plan = plan_of(HEAD + STEPS)
    weigh = step(plan, "A/head/weigh-head#1").weigh
    assert weigh is not None
    # Cheeks 2 x (165 - 2 x 9.984) ml x 0.70, middles 2 x 52.8 ml x 0.60.
    wood = 2 * (165 - 2 * 9.984) * 0.70 + 2 * 52.8 * 0.60
    assert sum(p.mass_g for p in plan.parts) == pytest.approx(wood)
    fill = sum(la.shot_g + la.resin_g for f in plan.fills for la in f.layers)
    fill += sum(f.cap_g for f in plan.fills)
    # Less the slope, and 0.45 of the glue stays when it is dry: 7104 mm² x 180 g/m² x 0.45.
    glue = 7104e-6 * 180 * 0.45
    assert weigh.plan_g == pytest.approx(wood + fill - 1.584 + glue, abs=0.01)


def test_what_squeezed_out_is_scraped_between_clamping_and_clamps_off() -> None:
    plan = plan_of(HEAD + STEPS)
    scrape = step(plan, "A/head/scrape#1")
    assert scrape.waits == ("j/A/head/clamp#1:squeeze-out",)
    clamp = step(plan, "A/head/clamp#1")
    assert [h.until for h in clamp.holds] == ["j/A/head/clamps-off#1"]
    # A window is named with the block's step in the file, too.
    assert step(plan, "A/head/pull-spacers#1").waits == ("j/A/head/clamp#1:squeeze-out",)


def test_a_gap_may_be_a_void() -> None:
    text = HEAD.replace('slopes   = "back middle"\nkept_by  = "spacers"', "void = true")
    text = text.replace('until    = "pull spacers"\n', 'cap = "2 mm"\n')
    steps = STEPS.replace('part    = "back middle"\nto_size = true', 'part = "back middle"')
    poured = '[[steps]]\nid = "fill head"\nuse = "shot pour"\npart = "head"\nlayers = 2\n'
    plan = plan_of(text + steps + poured)
    (fill,) = [f for f in plan.fills if f.part == "head"]
    assert fill.void_ml == pytest.approx(42.24)
    assert fill.layers[1].address == "j/A/head/fill-head-pour#2"
    # From its slope to the back pockets it is the 5.12 mm that they have to it.
    thick = text.replace("void = true", 'void = true\nwall = "at least 12 mm"')
    said = "gaps.mortise.wall: the wall between the void and the back pocket of the left cheek is"
    assert f"{said} 5.1 mm, less than 12 mm" in doubts(thick + steps + poured)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('"left cheek", [', '"left check", [', "there is no part “left check”; the nearest is"),
        (
            'size    = "40 x 60 x 22 mm"',
            'size    = "40 x 58 x 22 mm"',
            "its parts differ in width, 58 mm and 60 mm",
        ),
        ('wide_end = "34 mm"', 'wide_end = "24 mm"', "the wide end is 24 mm, and the gap 30 mm"),
        ('slopes   = "back middle"', 'slopes   = "left cheek"', "doesn't lie beside it"),
        ("[built.head.gaps.mortise]", "[built.head.gaps.a]\n[built.head.gaps.b]", "no such gap"),
        ("40 x 60 x 22 mm", "55 x 60 x 22 mm", "leave no gap, for each layer fills all 110 mm"),
        ('wide_end = "34 mm"', 'wide_on = "top"', "it runs through the width"),
    ],
    ids=lambda v: v[:24],
)
def test_a_body_that_cannot_be_is_refused(old: str, new: str, said: str) -> None:
    assert said in refusal(HEAD.replace(old, new) + STEPS)


def test_a_gap_that_nothing_names_is_said() -> None:
    text = HEAD[: HEAD.index("[built.head.gaps.mortise]")] + HEAD[HEAD.index("[materials]") :]
    assert "leave 30 mm between them, and nothing names it" in refusal(text + STEPS)


# Finished sizes ---------------------------------------------------------------------------------

SHAPED = """
name = "Shaped"
[parts.block]
density       = "0.50 g/cm³"
size          = "100 x 60 x 40 mm"
finished_size = "96 x 56 x 36 mm"
chamfer       = "2 mm"
rough         = "15 x 6 x 3 mm over"
spare         = 1
[parts.block.recesses.face]
shape  = "block"
size   = "40 x 20 x 3 mm"
from   = "front end"
filled = ["leather", "adhesive"]
[materials]
leather  = "leather 2 mm"
adhesive = "contact adhesive"
[[steps]]
do      = "Plane it."
part    = "block"
to_size = true
[[steps]]
use    = "felt or leather on"
part   = "block"
sheet  = "leather"
recess = "face"
"""


def test_what_comes_off_to_the_finished_sizes_is_weighed() -> None:
    plan = plan_of(SHAPED)
    shape = shapes(plan)["block"]
    # Blank 240 ml; left 96 x 56 x 36 = 193.536 ml; chamfers 2 x 2² x 188 - 6 x 2³ = 1456 mm³;
    # the recess 40 x 20 x 3 = 2400 mm³: 50.32 ml come off, 25.16 g.
    assert shape.off_g == pytest.approx(25.16)
    assert step(plan, "plane-it#1").takes_g == pytest.approx(25.16)
    assert shape.rough_mm == (115.0, 66.0, 43.0)
    assert (shape.finished_mm, shape.chamfer_mm, shape.spare) == ((96.0, 56.0, 36.0), 2.0, 1)
    (face,) = shape.hollows
    assert (face.purpose, face.filled_with, face.side) == (
        "recess",
        ("leather", "adhesive"),
        "first end",
    )
    # Leather and glue go on the recess: 40 x 20 mm.
    assert step(plan, "A/block/cut#1").amounts[0].area_mm2 == pytest.approx(800.0)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('"96 x 56 x 36 mm"', '"104 x 56 x 36 mm"', "its finished size is larger than its blank"),
        ('chamfer       = "2 mm"', 'chamfer = "20 mm"', "leaves no face of it"),
        ('"15 x 6 x 3 mm over"', '"15 x 6 mm over"', "write rough ="),
        ('"40 x 20 x 3 mm"', '"70 x 20 x 3 mm"', "comes out by"),
    ],
    ids=lambda v: v[:24],
)
def test_sizes_that_cannot_be_are_refused(old: str, new: str, said: str) -> None:
    assert said in refusal(SHAPED.replace(old, new))


def test_a_void_in_a_body_that_asks_for_no_wall_keeps_the_usual_one_when_it_is_sawn() -> None:
    bare = HEAD.replace('wall   = "at least 5 mm"\n', "").replace('wall = "at least 5 mm"\n', "")
    sawn = bare.replace("[built.head]", '[built.head]\nfinished_size = "110 x 30 x 72 mm"')
    assert "2 mm of wood is left over a hollow at the front and the back, less than 3 mm" in doubts(
        sawn + STEPS
    )
    known = sawn.replace("[built.head]", '[built.head]\nsure = "thin wall"')
    assert "wood is left" not in doubts(known + STEPS)


def test_a_void_keeps_its_wall_when_its_block_is_planed() -> None:
    filled = SHAPED.replace(
        "[parts.block.recesses",
        '[parts.block.void]\nshape = "slot"\nsize = "60 x 20 x 30 mm"\n'
        'wall = "at least 9 mm"\n[parts.block.recesses',
    )
    # Its bottom is 10 mm over the blank's underside, and 2 mm come off there.
    said = "the wall between the void and the underside is 8 mm, less than 9 mm"
    assert said in doubts(filled)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("to_size = true", 'hands = "20 min"', "25.2 g come off block to its size, and no step"),
        (
            "to_size = true\n",
            'to_size = true\n[[steps]]\ndo = "Sand it."\npart = "block"\nto_size = true\n',
            "what comes off block to its size is taken off twice",
        ),
        ('filled = ["leather", ', 'filled = ["lether", ', "no material here is called “lether”"),
        ('recess = "face"', 'recess = "fase"', "no part here has a recess “fase”"),
        (
            "spare         = 1",
            'marks = [{ mark = "brand", before = "oiling" }]',
            "there is no step “oiling”",
        ),
    ],
    ids=["none", "twice", "filled", "recess", "mark"],
)
def test_what_nothing_has_or_nobody_does_is_said(old: str, new: str, said: str) -> None:
    assert old in SHAPED
    assert said in doubts(SHAPED.replace(old, new))


def test_a_body_and_an_insert_name_what_there_is() -> None:
    assert "there is no step “pul spacers”" in refusal(
        HEAD.replace('until    = "pull', 'until    = "pul') + STEPS
    )
    assert "there is no part “colum”" in refusal(TUBE.replace('part = "column"', 'part = "colum"'))


HANDLE = """
name = "Handle"
[parts.eye]
wood  = "sugar maple"
size  = "80 x 40 x 40 mm"
minus = [{ name = "mortise", shape = "block", size = "24 x 14 x 40 mm" }]
[parts.handle]
wood    = "white ash"
shape   = "turned"
profile = ["0 x 30 mm", "200 x 30 mm"]
tenon   = { fits = "mortise", kerfs = 1, relief_hole = "3 mm" }
[[steps]]
do      = "Cut the tenon."
part    = "handle"
to_size = true
"""


def test_a_tenon_takes_its_size_from_its_mortise_and_the_wood_round_it_counts() -> None:
    plan = plan_of(HANDLE)
    handle = next(p for p in plan.parts if p.name == "handle")
    assert handle.shape is not None
    assert handle.shape.tenon is not None
    # As the mortise, and 3 mm longer than it is deep.
    assert handle.shape.tenon.size_mm == (24.0, 14.0, 43.0)
    # pi/4 x 30² = 706.86 mm², less 24 x 14 = 336 mm²: 370.86 mm² x 43 mm = 15.947 ml.
    assert handle.shape.off_g == pytest.approx(15.947 * handle.density_g_cm3, rel=1e-4)


def test_the_largest_tenon_with_full_corners_is_said() -> None:
    # On 26 mm round, 14 mm thick: the root of 26² - 14² is 21.9 mm.
    said = refusal(HANDLE.replace("x 30 mm", "x 26 mm"))
    assert (
        "the tenon's corners stand out of the part; with full corners the largest is 21.9" in said
    )


def test_a_tenon_on_an_ellipse_has_full_corners_where_it_allows() -> None:
    oval = HANDLE.replace(
        'shape   = "turned"\nprofile = ["0 x 30 mm", "200 x 30 mm"]',
        'shape = "shaped"\nstations = ["0 x 32 x 24 mm", "200 x 32 x 24 mm"]',
    )
    # (24/32)² + (14/24)² = 0.5625 + 0.3403 = 0.903: inside. On 28 x 22 it is 1.14: outside, and
    # 28 x the root of 1 - (14/22)² = 21.6 mm is the widest there.
    handle = next(p for p in plan_of(oval).parts if p.name == "handle")
    assert handle.shape is not None
    # pi/4 x 32 x 24 = 603.19 mm², less 336 mm²: 267.19 mm² x 43 mm = 11.489 ml.
    assert handle.shape.off_g == pytest.approx(11.489 * handle.density_g_cm3, rel=1e-4)
    assert "with full corners the largest is 21.6 mm x 14 mm" in refusal(
        oval.replace("x 32 x 24 mm", "x 28 x 22 mm")
    )


TUBE = """
name = "Lined"
[parts.column]
wood  = "sugar maple"
shape = "cylinder"
size  = "40 x 200 mm"
minus = [{ name = "way", shape = "bore", size = "12 x 200 mm" }]
[parts.tube]
metal   = "brass"
shape   = "ring"
size    = "11.5 x 10 x 180 mm"
fits_in = { part = "column", bore = "way", scuff = true, plug = "wax" }
[materials]
epoxy = "two-part epoxy glue"
[[steps]]
use = "two-part epoxy bond"
of  = ["column", "tube"]
"""


def test_a_tube_leaves_a_gap_in_its_bore_and_its_outside_is_what_is_glued() -> None:
    plan = plan_of(TUBE)
    (insert,) = shapes(plan)["column"].inserts
    assert (insert.part, insert.clearance_mm, insert.plug) == ("tube", 0.5, "wax")
    # pi/4 x (12² - 11.5²) x 180 = 1661 mm³.
    assert insert.glue_ml == pytest.approx(1.661, abs=0.001)
    spread = step(plan, "spread#1")
    assert spread.amounts[0].area_mm2 == pytest.approx(3.14159 * 11.5 * 180, rel=1e-4)


def test_a_tube_too_thick_for_its_bore_is_said() -> None:
    assert "“tube” is 12.5 mm thick, and its bore 12 mm" in refusal(
        TUBE.replace("11.5 x", "12.5 x")
    )


def test_a_bent_handle_is_given_by_stations() -> None:
    text = """
name = "Bent"
[parts.handle]
density  = "0.70 g/cm³"
shape    = "shaped"
stations = ["0 x 30 x 20 mm", "100 x 30 x 20 mm"]
bend     = "12 mm"
[[steps]]
do = "Look at it."
"""
    (part,) = plan_of(text).parts
    # pi/4 x 30 x 20 x 100 = 47.124 ml, bent or straight.
    assert part.volume_ml == pytest.approx(47.124, abs=0.001)
    assert part.shape is not None
    assert part.shape.blank.bend_mm == 12.0


def test_a_stepped_bore_ends_in_the_drills_tip_from_the_end_it_is_named_for() -> None:
    text = """
name = "Bored"
[parts.block]
density = "0.70 g/cm³"
size    = "80 x 40 x 40 mm"
[[parts.block.minus]]
name  = "hole"
shape = "bore"
from  = "back end"
steps = ["20 x 10 mm", "12 x 40 mm"]
tip   = 90
[[steps]]
do = "Look at it."
"""
    (part,) = plan_of(text).parts
    assert part.shape is not None
    (hole,) = part.shape.hollows
    assert (hole.side, hole.steps_mm, hole.tip_deg) == (
        "other end",
        ((20.0, 10.0), (12.0, 40.0)),
        90.0,
    )
    # pi/4 x (20² x 10 + 12² x 30) = 6534.5 mm³, and a tip 6 mm high: pi/12 x 12² x 6 = 226.2 mm³.
    assert 128.0 - part.volume_ml == pytest.approx(6.7607, abs=0.0005)


def test_the_saw_comes_no_nearer_to_a_mortise_than_to_a_void() -> None:
    """Without a void in them the cheeks still lie over the mortise: 25 mm each."""
    start, end = HEAD.index("[parts.cheek.voids"), HEAD.index("[parts.middle]")
    bare = (HEAD[:start] + HEAD[end:]).replace("at least 5 mm", "at least 26 mm")
    steps = STEPS[STEPS.index("[[steps]]", STEPS.index("shot pour")) :]
    said = doubts(bare + "\n" + steps)
    both = "the top and the underside"
    assert f"25 mm of wood is left over a hollow at {both}, less than 26 mm" in said
    assert "at the front" not in said


TURNED = """
name = "Turned"
[parts.foot]
density = "1 g/cm³"
{blank}
finished_profile = ["0 x 160 mm", "40 x 150 mm"]
[[steps]]
do      = "Turn it."
part    = "foot"
to_size = true
"""
RING = 'shape = "ring"\nsize = "170 x 40 x 45 mm"'
ROUND = 'shape = "cylinder"\nsize = "170 x 45 mm"'
BORED = '\nminus = [{ shape = "bore", size = "12 x 45 mm" }]'
STEPPED = (
    '\nrecesses.way = { shape = "bore", steps = ["28 x 20 mm", "12 x 40 mm"], from = "left end" }'
)


@pytest.mark.parametrize(
    ("blank", "off_ml"),
    [
        # A frustum of 160, 150 and 40 mm: pi/12 x 40 x (160² + 160 x 150 + 150²) = 755.03 ml.
        # A round of 170 x 45 mm has 1021.41 ml; of its hole, 56.55 ml, 50.27 are in what stays.
        (ROUND, 1021.41 - 755.03),
        (RING, 1021.41 - 56.55 - (755.03 - 50.27)),
        # A square blank, 170 x 170 x 45 mm standing on its end.
        ('size = "45 x 170 x 170 mm"', 1300.50 - 755.03),
        # 28 mm wide and 20 deep, 12 mm on to 40: 14.58 ml; where 12 mm was bored, 10.05 ml of it,
        # and of the 5 mm that come off the end 0.57 ml were bored away already.
        (ROUND + STEPPED, 1021.41 - 755.03 + 14.58),
        (ROUND + BORED + STEPPED, 1021.41 - 755.03 + 10.05 - 0.57),
    ],
    ids=["round", "ring", "square", "bored", "bored out"],
)
def test_any_blank_is_turned_to_its_profile(blank: str, off_ml: float) -> None:
    turn = step(plan_of(TURNED.format(blank=blank)), "turn-it#1")
    assert turn.takes_g == pytest.approx(off_ml, abs=0.02)


@pytest.mark.parametrize(
    ("blank", "said"),
    [
        (ROUND.replace("170", "155"), "at 0 mm its blank is only 155 mm thick; turning only takes"),
        (ROUND.replace("45", "38"), "the profile goes on to 40 mm, and its blank is shorter"),
    ],
)
def test_turning_only_takes_off(blank: str, said: str) -> None:
    assert said in refusal(TURNED.format(blank=blank))


def test_a_void_in_a_ring_keeps_its_walls() -> None:
    void = '\n[parts.foot.void]\nshape = "bore"\nsize = "30 x 20 mm"\nwall = "at least 13 mm"\n'
    text = TURNED.replace("\n[[steps]]", void + 'at = "50 mm right of the middle"\n[[steps]]')
    # From the hole 50 - 20 - 15 = 15 mm; outside 80 - 5 x 20/40 = 77.5 mm at 20 mm on, where the
    # void reaches 65 mm: 12.5 mm x the cosine of the flank, 40 / the root of 40² + 5², = 12.4 mm.
    assert "12.4 mm, less than 13 mm" in doubts(text.format(blank=RING))
