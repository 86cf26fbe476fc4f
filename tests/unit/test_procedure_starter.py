"""Files to begin with: they proofread clean, and one can be written from an unplanned job."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchmate.plan.plan import Amount, Plan
from benchmate.procedure.file.document import load
from benchmate.procedure.finding import find_all, library, load_file
from benchmate.procedure.proofread import proofread_text
from benchmate.procedure.writing.bigger import bigger
from benchmate.procedure.writing.starter import Acted, starter_from, starter_text
from benchmate.shelf import FAMILIES, Material, windows_of
from tests.plans import expand

MIN, H = 60.0, 3600.0
MATERIALS = {
    "my glue": Material(name="my glue", family="yellow wood glue", kind="wood glue"),
    "my oil": Material(name="my oil", family="hard oil", kind="oil"),
    "my resin": Material(name="my resin", family="slow casting epoxy", kind="resin"),
}


def acted(act: str, when_s: float, material: str = "", piece: str = "", **rest: object) -> Acted:
    windows = windows_of(MATERIALS[material], act) if material in MATERIALS else ()
    return Acted(act=act, when_s=when_s, material=material, piece=piece, windows=windows, **rest)  # type: ignore[arg-type]


def problems(text: str) -> list[str]:
    return [
        str(p)
        for p in proofread_text(text, "x.toml", library(), materials=MATERIALS, families=FAMILIES)
    ]


def plan_of(text: str) -> Plan:
    return expand(
        load(text, "x.toml", library()), job_id="j", materials=MATERIALS, families=FAMILIES
    )


@pytest.mark.parametrize("title", ["My tray", 'A "quoted" one', "Brass {and} oak", "Tür\n2", "§"])
def test_a_starter_proofreads_clean_whatever_it_is_called(title: str) -> None:
    assert problems(starter_text(title)) == []


def test_a_starter_is_full_of_comments_and_can_be_run() -> None:
    text = starter_text("My tray")
    assert sum("#" in line for line in text.splitlines()) > 12
    plan = plan_of(text)
    assert plan.title == "My tray"
    assert plan.steps[-1].weigh is not None


GLUE_UP = [
    acted("spread", 0.0, "my glue", name="tray"),
    acted("closed", 6 * MIN, "my glue", name="tray"),
    acted("clamped", 10 * MIN, "my glue", name="tray"),
    acted("coated", 30 * H, "my oil"),
    acted("coated", 48 * H, "my oil"),
    acted("weighed", 60 * H, net_g=512.0),
]


def test_an_unplanned_glue_up_becomes_a_procedure_that_proofreads() -> None:
    text = starter_from("Tray", GLUE_UP, MATERIALS, ["clamps slipped a little"])
    assert problems(text) == []
    assert "# note: clamps slipped a little" in text
    assert "# read: 512 g" in text
    (weigh,) = [s.weigh for s in plan_of(text).steps if s.weigh is not None]
    assert (weigh.plan_g, weigh.tolerance_g) == (512.0, pytest.approx(51.2))


def test_the_chain_of_windows_is_read_from_what_was_done() -> None:
    plan = plan_of(starter_from("Tray", GLUE_UP, MATERIALS))
    steps = {s.act: s for s in plan.steps}
    assert [w.rpartition(":")[2] for w in steps["closed"].within] == ["open-time"]
    assert [w.rpartition(":")[2] for w in steps["clamped"].within] == ["closed-assembly"]
    first, second = [s for s in plan.steps if s.act == "coated"]
    assert second.within == ("j/A/all/coated-my-oil#1:recoat",)
    assert set(second.waits) >= set(second.within)
    assert [w.rpartition(":")[2] for w in first.waits] == ["clamp-time"]


def test_pieces_and_amounts_are_carried_over() -> None:
    acts = [
        acted("coated", 0.0, "my oil", "left", amounts=(Amount(what="oil", amount=4.25),)),
        acted("coated", 60.0, "my oil", "right"),
    ]
    plan = plan_of(starter_from("Pair", acts, MATERIALS))
    assert [p.name for p in plan.pieces] == ["left", "right"]
    assert plan.steps[0].amounts[0].amount == 4.25


def test_a_material_that_is_no_longer_on_the_shelf_leaves_its_times() -> None:
    text = starter_from("Tray", GLUE_UP, {})
    found = proofread_text(text, "x.toml", library(), materials={}, families=FAMILIES)
    assert [str(p) for p in found] == []
    assert 'closes = "10 min at 21 °C"' in text


def test_a_weight_that_nobody_read_and_no_part_tells_is_not_planned_as_nothing() -> None:
    text = starter_from("Tray", [acted("weighed", 0.0, name="filled tray")], MATERIALS)
    assert 'do = "Weigh it: filled tray."' in text
    (weigh,) = [s.weigh for s in plan_of(text).steps if s.weigh is not None]
    assert (weigh.plan_g, weigh.tolerance_g) == (None, None)


def test_a_family_without_a_material_stands_in_the_file_as_a_material_would() -> None:
    resin = FAMILIES["slow casting epoxy"]
    acts = [
        Acted(
            "mixed",
            0.0,
            resin.name,
            windows=windows_of(resin, "mixed"),
            amounts=(Amount(what="material", amount=130.0, material=resin.name),),
        ),
        Acted("poured", 60.0, resin.name, windows=windows_of(resin, "poured")),
    ]
    text = starter_from("Tray", acts, FAMILIES)
    assert problems(text) == []
    assert "[[steps.windows]]" not in text, "its times stay with the family"
    assert 'amounts = [{ what = "resin", material = "resin", amount = "130 g" }]' in text


def test_a_pieces_name_typed_in_two_ways_is_one_piece() -> None:
    acts = [
        acted("coated", float(n), "my oil", piece)
        for n, piece in enumerate(["Left ", "left", "LEFT", "right/2", "right: 2"])
    ]
    plan = plan_of(starter_from("Pair", acts, MATERIALS))
    assert [p.name for p in plan.pieces] == ["Left", "right 2"]


def test_nothing_done_is_still_a_file() -> None:
    assert problems(starter_from("Nothing", [], MATERIALS)) == []


WORDS = st.text(max_size=20)
ACTS = st.sampled_from(
    ["mixed", "spread", "closed", "clamped", "coated", "poured", "weighed", "cut"]
)


@settings(max_examples=40, deadline=None)
@given(
    st.lists(
        st.tuples(ACTS, st.floats(0, 1e6), st.sampled_from([*MATERIALS, "", "gone"]), WORDS, WORDS),
        max_size=8,
    ),
    WORDS,
)
def test_whatever_was_done_the_file_written_from_it_proofreads(
    rows: list[tuple[str, float, str, str, str]], title: str
) -> None:
    acts = [acted(a, t, material, piece, name=name) for a, t, material, name, piece in rows]
    assert problems(starter_from(title or "x", acts, MATERIALS)) == []


# Another like this, bigger ---------------------------------------------------------------------


@pytest.mark.parametrize("name", [f.name for f in find_all()])
def test_a_little_bigger_stays_within_the_limits_or_says_why_not(name: str) -> None:
    (found,) = [f for f in find_all() if f.name == name]
    document = load_file(found.path)
    for percent in (-50, -10, 0, 10, 20, 200):
        new = bigger(document.parameters, percent)
        expand(document, job_id="j", materials={}, families=FAMILIES, parameters=new.values)
        assert all(" would be " in line for line in new.beyond)


BOX = """
name = "Box"
[parameters.length]
default = "100 mm"
[parameters.size]
default = "100 x 50 x 20 mm"
[parameters.target]
default = "200 g"
[parameters.area]
default = "50 cm²"
[parameters.thin]
default = "3 mm"
scales  = false
[parameters.coats]
default = 2
[parameters.wall]
default = "40 mm"
at_most = "45 mm"
[[steps]]
do = "Cut it."
"""


def test_lengths_go_with_the_percentage_areas_with_its_square_weights_with_its_cube() -> None:
    new = bigger(load(BOX, "x.toml").parameters, 20)
    assert new.values == {
        "length": "120 mm",
        "size": "120 x 60 x 24 mm",
        "target": "345.6 g",
        "area": "72 cm²",
    }
    assert new.beyond == ("wall would be 48 mm: it must be at most 45 mm.",)


def test_a_jobs_own_values_are_what_is_scaled() -> None:
    new = bigger(load(BOX, "x.toml").parameters, -50, {"length": "80 mm", "target": "80 g"})
    assert (new.values["length"], new.values["target"]) == ("40 mm", "10 g")


def test_nothing_is_left_of_all_of_it_taken_off() -> None:
    with pytest.raises(ValueError, match="leaves nothing"):
        bigger({}, -100)
