"""What a procedure's words come to: blocks, parameters, materials, rounds, cups and windows."""

from typing import Any

import pytest

from benchmate.procedure.file.acts import act_of
from benchmate.procedure.finding import library
from benchmate.shelf import LabelWindow, Material
from tests.unit.language_help import FILLED, JOINT, plan_of, refusal, step


def test_every_block_that_ships_can_be_used_as_it_comes() -> None:
    materials = (
        'adhesive = "contact adhesive"\ntack = "cyanoacrylate"\npolish = "friction polish"\n'
        'finish = "shellac"\ncompound = "buffing compound"\nwax = "paste wax"\n'
        'epoxy = "two-part epoxy glue"\nfelt = "felt 2 mm"\n'
    )
    uses = {
        "shot pour": 'part = "block"',
        "wood-glue joint in clamps": 'of = ["block", "cover"]',
        "contact-adhesive bond": 'of = ["block", "cover"]',
        "two-part epoxy bond": 'of = ["block", "cover"]',
        "cyanoacrylate tack": 'of = ["block", "cover"]',
        "wedged tenon": 'of = ["block", "cover"]',
        "wiped oil coats": "",
        "staged buffing": "",
        "lathe-rubbed finish": "",
        "film-finish coats": "",
        "felt or leather on": 'part = "cover"',
    }
    assert sorted(u.replace("-", " ") for u in uses) == sorted(library().names)
    steps = "".join(f'[[steps]]\nuse = "{u}"\n{keys}\n' for u, keys in uses.items())
    plan = plan_of(FILLED + materials + steps)
    assert {s.block for s in plan.steps} == set(uses)


# Windows and order -----------------------------------------------------------------------------


def test_a_window_of_the_file_has_its_own_words() -> None:
    plan = plan_of(
        'name = "x"\n[[steps]]\ndo = "Clamp it."\n[[steps.windows]]\nname = "clamp time"\n'
        'from = "clamped"\nopens = "45 min at 21 °C"\nfull = "24 h at 21 °C"\n'
        'says = "clamps may come off"\nmissed = "nothing"\n'
    )
    (window,) = plan.steps[0].windows
    assert (window.opens_s, window.full_s, window.at_c) == (2700.0, 86400.0, 21.0)
    assert window.opens_text == "clamps may come off"
    assert window.source == "this procedure"


@pytest.mark.parametrize(
    ("said", "missed", "text"),
    [
        ("nothing", "nothing", ""),
        ("extra work: scuff first", "extra work", "scuff first"),
        ("spoils the joint", "spoils joint", ""),
        ("spoils the piece", "spoils piece", ""),
    ],
)
def test_a_missed_window_costs_what_the_file_says(said: str, missed: str, text: str) -> None:
    plan = plan_of(
        'name = "x"\n[[steps]]\ndo = "Brush it."\n[[steps.windows]]\nname = "wet"\n'
        f'closes = "10 min"\nmissed = "{said}"\n'
    )
    window = plan.steps[0].windows[0]
    assert (window.missed, window.missed_text) == (missed, text)


def test_a_window_may_begin_with_the_work() -> None:
    plan = plan_of(
        'name = "x"\n[[steps]]\ndo = "Brush it."\nwindows = [{ name = "wet", from = "begun", '
        'closes = "10 min" }]\n'
    )
    assert plan.steps[0].windows[0].anchor == "begun"


def test_steps_follow_each_other_unless_one_says_otherwise() -> None:
    plan = plan_of(
        'name = "x"\n[[steps]]\nid = "a"\ndo = "Cut."\n[[steps]]\nid = "b"\ndo = "Bore."\n'
        '[[steps]]\nid = "c"\ndo = "Turn."\nafter = "a"\n[[steps]]\nid = "d"\ndo = "Fit."\n'
        'after = ["b", "c"]\n[[steps]]\nid = "e"\ndo = "Sweep."\nafter = "nothing"\n'
    )
    after = {s.address.split("/")[3]: s.after for s in plan.steps}
    assert after == {
        "a#1": (),
        "b#1": ("j/A/all/a#1",),
        "c#1": ("j/A/all/a#1",),
        "d#1": ("j/A/all/b#1", "j/A/all/c#1"),
        "e#1": (),
    }


def test_a_step_of_the_whole_job_waits_for_all_pieces_and_they_for_it() -> None:
    plan = plan_of(
        'name = "x"\nmakes = 2\n[[steps]]\nid = "a"\ndo = "Cut."\n[[steps]]\nid = "b"\n'
        'do = "Sort them."\neach = "job"\n[[steps]]\nid = "c"\ndo = "Turn."\n'
    )
    assert step(plan, "all/all/b#1").after == ("j/A/all/a#1", "j/B/all/a#1")
    assert step(plan, "B/all/c#1").after == ("j/all/all/b#1",)


def test_pieces_may_have_names() -> None:
    plan = plan_of('name = "x"\npieces = ["left", "right"]\n[[steps]]\ndo = "Cut."\n')
    assert [s.piece for s in plan.steps] == ["left", "right"]


def test_a_step_is_named_by_its_words_where_it_has_no_id() -> None:
    plan = plan_of('name = "x"\n[[steps]]\ndo = "Sand the outer faces to 240."\n')
    assert plan.steps[0].address == "j/A/all/sand-the-outer#1"
    assert plan.steps[0].act == "sanded"


@pytest.mark.parametrize(
    ("do", "act"),
    [
        ("Sand the faces.", "sanded"),
        ("Weigh it.", "weighed"),
        ("Cut it.", "cut"),
        ("Glue it.", "glued"),
        ("Spread the glue.", "spread"),
        ("Two coats.", "done"),
        ("9 holes", "done"),
        ("Scrape it", "scraped"),
        ("Plug it.", "plugged"),
        ("Two", "done"),
    ],
)
def test_the_act_is_the_sentences_first_word(do: str, act: str) -> None:
    assert act_of(do) == act


# Parameters ------------------------------------------------------------------------------------

FAMILY = """
name = "Blocks"
makes = "{count}"
[parameters.count]
default = 2
at_most = 6
[parameters.length]
default  = "120 mm"
at_least = "80 mm"
at_most  = "200 mm"
per_piece = true
[parameters.wood]
choices = ["black walnut", "white oak"]
default = "black walnut"
[parts.block]
wood = "{wood}"
size = "{length} x 50 x 50 mm"
[[steps]]
do = "Cut the block to {length}."
part = "block"
"""


def test_a_family_of_pieces_shares_one_file() -> None:
    plan = plan_of(FAMILY, parameters={"count": "3", "length": "100 mm", "wood": "white oak"})
    assert len(plan.pieces) == 3
    assert plan.parts[0].volume_ml == pytest.approx(250.0)
    assert plan.parts[0].wood == "white oak"
    assert plan.steps[0].do == "Cut the block to 100 mm."
    assert plan.parameters == {"count": "3", "length": "100 mm", "wood": "white oak"}


def test_a_parameter_may_differ_from_piece_to_piece() -> None:
    plan = plan_of(FAMILY, parameters={"length": {"B": "160 mm"}})
    assert [p.volume_ml for p in plan.parts] == pytest.approx([300.0, 400.0])
    assert [s.do for s in plan.steps] == ["Cut the block to 120 mm.", "Cut the block to 160 mm."]
    assert plan.parameters["length (B)"] == "160 mm"


@pytest.mark.parametrize(
    ("parameters", "said"),
    [
        ({"lenght": "100 mm"}, 'no such parameter; the nearest is "length"'),
        ({"length": "20 mm"}, "out of its limits; it must be at least 80 mm"),
        ({"length": "20 g"}, "is a weight"),
        ({"wood": "ash"}, "is not one of the choices"),
        ({"count": "seven"}, "is not a whole number"),
        ({"length": {"Z": "100 mm"}}, "there is no piece “Z”"),
        ({"wood": {"A": "white oak"}}, "is one for all pieces; add per_piece = true"),
    ],
    ids=lambda v: str(v)[:30],
)
def test_a_wrong_parameter_is_refused(parameters: dict[str, Any], said: str) -> None:
    assert said in refusal(FAMILY, parameters=parameters)


# Materials
# ------------------------------------------------------------------------------------------


def test_a_family_takes_the_material_on_the_shelf_that_was_opened_last() -> None:
    old = Material(name="old", family="yellow wood glue", opened_on="2024-01-01", spread_g_m2=100.0)
    new = Material(name="new", family="yellow wood glue", opened_on="2025-01-01", spread_g_m2=200.0)
    plan = plan_of(JOINT, materials={"new": new, "old": old})
    assert step(plan, "A/all/spread#1").amounts[0].material == "new"


def test_labels_arent_rough_and_common_practice_is() -> None:
    label = LabelWindow(name="open time", act="spread", closes_s=480.0, at_c=20.0)
    material = Material(name="mine", family="yellow wood glue", windows=(label,))
    rough = plan_of(JOINT, materials={"mine": material}).rough
    assert not [line for line in rough if "mine: open time" in line]
    assert [line for line in rough if "mine: clamp time" in line]


def test_a_steps_windows_come_with_its_material_by_its_act() -> None:
    plan = plan_of(
        'name = "x"\n[materials]\nglue = "yellow wood glue"\n[[steps]]\ndo = "Spread it."\n'
        'material = "glue"\n[[steps]]\ndo = "Close it."\nact = "closed"\nmaterial = "glue"\n'
        'within = "open time"\n'
    )
    assert [w.name for w in plan.steps[0].windows] == ["open time"]
    assert [w.name for w in plan.steps[1].windows] == ["closed assembly"]


def test_oily_rags_are_minded_wherever_the_material_says_so() -> None:
    plan = plan_of(FILLED + '[[steps]]\ndo = "Coat it."\nact = "coated"\nmaterial = "oil"\n')
    assert plan.steps[0].rag
    assert "oily rags" in plan.cautions


def test_a_makers_file_reads_as_it_would_be_read_aloud() -> None:
    plan = plan_of(
        """
name   = "Matched bookends"
makes  = 2                          # pieces of one job
match  = "5 g"                      # and they must match
target = "850 g ± 8 g"              # the finished piece

[parts.block]
wood  = "black walnut"
size  = "120 x 90 x 60 mm"
grain = "long way"
void  = { shape = "slot", size = "80 x 30 x 45 mm", from = "inner face", wall = "at least 4 mm" }

[parts.cover]
wood  = "black walnut"
size  = "120 x 90 x 4 mm"

[materials]
shot  = "steel 2 mm"
resin = "slow casting epoxy"
glue  = "yellow wood glue"
oil   = "hard oil"

[[steps]]
use    = "shot pour"
part   = "block"
layers = 4
way    = "one mix"

[[steps]]
id      = "outside"
do      = "Sand the outer faces. The filled face is not sanded: its cap is 1.5 mm of clear resin."
after   = "shot pour"
hands   = "20 min"
takes   = "6 g ± 3 g"
check   = { wall = "at least 3 mm" }
caution = ["wood dust"]

[[steps]]
use  = "wood-glue joint in clamps"
of   = ["block", "cover"]
hold = "24 h"
"""
    )
    outside = step(plan, "A/all/outside#1")
    assert (outside.act, outside.hands_s, outside.takes_g) == ("sanded", 1200.0, 6.0)
    assert outside.after == ("j/A/block/cured#1",)
    assert plan.fills[0].cap_g > 0.0
    assert plan.match_g == 5.0


def test_a_pour_with_a_cap_needs_room_for_it() -> None:
    text = FILLED.replace('cap   = "1.5 mm"', 'cap = "0 mm"')
    said = refusal(text + '[[steps]]\nuse = "shot pour"\npart = "block"\n')
    assert 'write cap = "none" at the pour, or cap = "1.5 mm" at the void' in said


@pytest.mark.parametrize(
    ("change", "act", "expected"),
    [
        (("", ""), "Sand it.", {"wood dust", "irritating wood"}),
        (("black walnut", "sugar maple"), "Sand it.", {"wood dust"}),
        (("steel 2 mm", "lead shot"), "Sand it.", {"wood dust", "irritating wood", "lead"}),
        (
            ('part = "block"\n', 'part = "block"\ncap = "none"\n'),
            "Sand it.",
            {"wood dust", "irritating wood", "sparks"},
        ),
        (
            ('part = "block"\n', 'part = "block"\ncap = "none"\n'),
            'Blow it off." \ncaution = "wood dust',
            {"wood dust", "irritating wood"},
        ),
        (("", ""), "Turn it.", {"wood dust", "irritating wood", "rotating machines"}),
        (("", ""), "Blow it off.", set()),
    ],
    ids=["walnut", "maple", "lead", "steel without a cap", "dust said", "turned", "nothing cut"],
)
def test_what_a_part_is_made_of_brings_its_cautions(
    change: tuple[str, str], act: str, expected: set[str]
) -> None:
    text = FILLED + '[[steps]]\nuse = "shot pour"\npart = "block"\n'
    text = text.replace(*change, 1) if change[0] else text
    text = text.replace("black walnut", change[1]) if "maple" in change[1] else text
    text += f'[[steps]]\nid = "last"\ndo = "{act}"\n'
    assert set(step(plan_of(text), "A/all/last#1").cautions) == expected
