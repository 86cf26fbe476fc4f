"""Materials, families, the clocks that start from a label, and the shelf folded from events."""

import subprocess
import sys

import msgspec
import pytest

from benchmate.job.events import stored as ev
from benchmate.job.state.shop import STORES, Shelf, Shop, grow
from benchmate.job.state.state import Recorded
from benchmate.moment import Moment
from benchmate.quantities import QuantityError
from benchmate.quantities.show import Units
from benchmate.shelf import (
    ACTS,
    COMMON_PRACTICE,
    FAMILIES,
    KINDS,
    LabelWindow,
    Material,
    acts_of,
    clashes,
    decode_material,
    encode_material,
    filled,
    from_family,
    impossible,
    windows_of,
)
from benchmate.shelf.questions import answered, carried, new_material, questions, shown, unread

NOW = Moment(1_700_000_000_000_000_000)


def shelf_of(*events: ev.AnyEvent) -> Shelf:
    """The shelf after these events of its stream."""
    return grow(Shop(), [(STORES, Recorded(n, e)) for n, e in enumerate(events, 1)]).shelf


def described(material: Material) -> ev.MaterialDescribed:
    return ev.MaterialDescribed(
        happened=NOW, recorded=NOW, name=material.name, label=encode_material(material)
    )


@pytest.mark.parametrize("name", FAMILIES)
def test_a_family_is_of_a_known_kind_and_its_acts_are_the_trades(name: str) -> None:
    family = FAMILIES[name]
    assert family.kind in KINDS
    assert set(acts_of(family)) <= set(ACTS)


@pytest.mark.parametrize("name", FAMILIES)
def test_a_familys_windows_open_before_they_are_full_or_close(name: str) -> None:
    for window in FAMILIES[name].windows:
        assert window.source == COMMON_PRACTICE
        edges = [e for e in (window.opens_s, window.full_s) if e is not None]
        assert edges == sorted(edges)
        if window.opens_s is not None and window.closes_s is not None:
            assert window.opens_s < window.closes_s
        assert window.missed == "nothing" or window.closes_s is not None
        assert bool(window.missed_text) == (window.missed != "nothing")


# CRC tables and the usual ranges of the trade, as the metals' reckoner has them.
@pytest.mark.parametrize(
    ("family", "low", "high"),
    [
        ("steel shot", 7.7, 7.86),
        ("lead shot", 10.9, 11.35),
        ("bismuth-tin shot", 9.4, 9.75),
        ("tungsten shot", 10.0, 18.0),
        ("brass shot", 8.4, 8.7),
        ("slow casting epoxy", 1.05, 1.2),
    ],
)
def test_a_familys_density_is_the_materials(family: str, low: float, high: float) -> None:
    assert low <= (FAMILIES[family].density_g_cm3 or 0.0) <= high


def test_what_a_label_says_stands_before_common_practice_and_isnt_marked() -> None:
    label = LabelWindow(name="open time", act="spread", closes_s=300.0, at_c=20.0)
    material = Material(
        name="my glue", family="yellow wood glue", windows=(label,), spread_g_m2=150.0
    )
    (window,) = windows_of(material, "spread")
    assert (window.closes_s, window.at_c) == (300.0, 20.0)
    assert window.source == "label of my glue"
    assert window.missed == "spoils joint", "what missing it costs is the family's to say"
    assert "spread_g_m2" not in filled(material).rough
    assert "lowest_c" in filled(material).rough


def test_what_a_label_leaves_out_is_marked_as_common_practice() -> None:
    (clamp,) = windows_of(Material(name="my glue", family="yellow wood glue"), "clamped")
    assert clamp.source == COMMON_PRACTICE


def test_a_half_read_label_says_which_edge_is_common_practice() -> None:
    label = LabelWindow(name="clamp time", act="clamped", opens_s=1800.0)
    material = Material(name="my glue", family="yellow wood glue", windows=(label,))
    (clamp,) = windows_of(material, "clamped")
    assert (clamp.opens_s, clamp.full_s) == (1800.0, 86400.0)
    assert clamp.source == f"label of my glue; full: {COMMON_PRACTICE}"


def test_one_edge_that_cant_be_borrowed_doesnt_keep_the_others_out() -> None:
    """The family's recoat is 2 to 24 h; a label that opens at 30 h can't close at 24."""
    label = LabelWindow(name="tacky", act="poured", opens_s=13 * 3600.0)
    material = Material(name="slow", family="slow casting epoxy", windows=(label,))
    (tacky,) = [w for w in filled(material).windows if w.name == "tacky"]
    assert (tacky.opens_s, tacky.closes_s) == (13 * 3600.0, None)
    label = LabelWindow(name="hard", act="coated", full_s=3600.0)
    (hard,) = [
        w
        for w in filled(Material(name="x", family="hard oil", windows=(label,))).windows
        if w.name == "hard"
    ]
    assert (hard.opens_s, hard.full_s) == (3600.0, 3600.0), "it opens when it is full"


@pytest.mark.parametrize(
    ("family", "label", "said"),
    [
        (
            "slow casting epoxy",
            LabelWindow(name="tacky", act="poured", opens_s=13 * 3600.0),
            "tacky opens after 13 h by its label, and by common practice it closes after 12 h",
        ),
        (
            "slow casting epoxy",
            LabelWindow(name="tacky", act="poured", closes_s=4 * 3600.0),
            "tacky closes after 4 h by its label, and by common practice it opens after 5 h",
        ),
        (
            "yellow wood glue",
            LabelWindow(name="clamp time", act="clamped", opens_s=2 * 86400.0),
            "clamp time opens after 2 d by its label, and by common practice it is full after",
        ),
    ],
    ids=["opens late", "closes early", "opens after full"],
)
def test_what_label_and_common_practice_cant_both_be_is_said_naming_both(
    family: str, label: LabelWindow, said: str
) -> None:
    material = Material(name="mine", family=family, windows=(label,))
    (text,) = clashes(material)
    assert text.startswith(f"mine: {said}")
    assert not clashes(Material(name="mine", family=family))


def test_a_label_that_cant_be_is_told_from_a_slow_one() -> None:
    odd = LabelWindow(name="recoat", act="coated", opens_s=7200.0, closes_s=3600.0)
    ((key, said),) = impossible(Material(name="mine", family="hard oil", windows=(odd,)))
    assert key == "coated/recoat/closes"
    assert said == "recoat opens after 2 h, but closes after 1 h; read the label again"


def test_each_time_of_a_window_may_be_for_a_temperature_of_its_own() -> None:
    material = answered(
        new_material("g", "yellow wood glue"), "clamped/clamp time/opens", "1 h at 18 °C"
    )
    (window,) = answered(material, "clamped/clamp time/full", "24 h at 25 °C").windows
    assert (window.at_c, window.opens_c, window.full_c) == (18.0, None, 25.0)
    assert shown(material, "clamped/clamp time/opens") == "1 h at 18 °C"
    again = answered(unread(material), "clamped/clamp time/full", "24 h at 25 °C")
    assert again.windows[0].at_c == 25.0


def test_a_data_sheet_is_named_as_the_source() -> None:
    label = LabelWindow(name="open time", act="spread", closes_s=300.0)
    material = Material(
        name="g", family="yellow wood glue", windows=(label,), data_sheet="sheet of 2025"
    )
    assert windows_of(material, "spread")[0].source == "sheet of 2025"


def test_filling_in_twice_forgets_nothing() -> None:
    once = from_family("steel shot")
    assert filled(once) == once
    assert "density_g_cm3" in once.rough


def test_a_pot_life_knows_the_mass_in_the_cup_and_the_labels() -> None:
    (pot_life,) = windows_of(from_family("slow casting epoxy"), "mixed", 240.0)
    assert (pot_life.rule.mass_g, pot_life.rule.label_mass_g) == (240.0, 150.0)
    assert pot_life.rule.family == "arrhenius"


def test_a_material_without_a_family_has_only_what_its_label_says() -> None:
    material = Material(name="odd", windows=(LabelWindow(name="rest", act="coated", opens_s=60.0),))
    assert filled(material) == material
    assert windows_of(material, "clamped") == ()
    assert acts_of(material) == ("coated",)


@pytest.mark.parametrize("name", FAMILIES)
def test_a_material_survives_being_stored(name: str) -> None:
    assert decode_material(encode_material(FAMILIES[name])) == FAMILIES[name]


def test_the_shelf_is_what_was_described_less_what_is_gone() -> None:
    glue, oil = Material(name="glue", amount=500.0), Material(name="oil")
    gone = ev.MaterialGone(happened=NOW, recorded=NOW, name="oil")
    assert list(shelf_of(described(glue), described(oil), gone).labels) == ["glue"]


def test_a_fresh_material_of_a_name_that_was_used_up_is_full() -> None:
    glue = described(Material(name="glue", amount=500.0))
    used = ev.MaterialUsed(happened=NOW, recorded=NOW, name="glue", amount=480.0)
    gone = ev.MaterialGone(happened=NOW, recorded=NOW, name="glue")
    assert shelf_of(glue, used).used == {"glue": 480.0}
    assert shelf_of(glue, used, gone, glue).used == {}


def test_the_latest_description_of_a_name_holds() -> None:
    shelf = shelf_of(described(Material(name="g", lowest_c=10)), described(Material(name="g")))
    assert decode_material(shelf.labels["g"]).lowest_c is None


# What to ask -----------------------------------------------------------------------------------


@pytest.mark.parametrize("family", FAMILIES)
def test_each_common_answer_can_be_typed_as_it_is_shown(family: str) -> None:
    material = new_material("mine", family)
    for question in questions(family):
        if question.common:
            typed = answered(material, question.key, question.common)
            assert shown(typed, question.key) == question.common


@pytest.mark.parametrize("family", FAMILIES)
def test_each_example_can_be_typed_and_taken_out_again(family: str) -> None:
    material = new_material("mine", family)
    for question in questions(family):
        assert (
            answered(answered(material, question.key, question.example), question.key, "")
            == material
        )


@pytest.mark.parametrize(
    ("key", "text", "said"),
    [
        ("ratio", "2:1", "is no mix ratio; write it like 100:30 by weight"),
        ("ratio", "0:1 by weight", "is no mix ratio"),
        ("opened_on", "last week", "is not a day; write it like 2026-03-14"),
        ("mixed/pot life/closes", "long", "is not a time"),
        ("amount", "two", "is not a weight"),
        ("stays", "120 %", "is more than all of it"),
        ("density_g_cm3", "7.8", "has no unit"),
        ("mixed/pot life/closes", "45 min at 200 C", "200 °C is no shop's air"),
        ("mixed/pot life/closes", "-3 h", "is below zero"),
        ("mixed/pot life/closes", "0 min", "closes at once"),
        ("keeps_d", "0.01 months", "is no time that a material keeps"),
        ("keeps_d", "900 years", "is no time that a material keeps"),
    ],
    ids=lambda v: str(v)[:24],
)
def test_an_answer_that_cant_be_read_is_one_sentence(key: str, text: str, said: str) -> None:
    with pytest.raises(QuantityError, match=said.replace("(", r"\(")):
        answered(new_material("mine", "slow casting epoxy"), key, text)


@pytest.mark.parametrize("units", ["metric", "inch"])
def test_a_label_that_is_read_again_unchanged_is_kept_to_the_digit(units: Units) -> None:
    old = new_material("mine", "slow casting epoxy")
    for key, text in (
        ("amount", "4.5 oz"),
        ("ratio", "2:1 by volume"),
        ("lowest_c", "59 °F"),
        ("mixed/pot life/closes", "35 min at 77 °F"),
        ("keeps_d", "1 year"),
        ("poured/cure/opens", "20 h at 70 °F"),
        ("density_g_cm3", "69 lb/ft³"),
        ("poured/cure/full", "50 h at 70 °F"),
    ):
        old = answered(old, key, text)
    material = unread(old)
    for question in questions(old.family, units):
        material = carried(material, old, question.key)
    assert set(material.windows) == set(old.windows)
    assert msgspec.structs.replace(material, windows=()) == msgspec.structs.replace(old, windows=())


def test_a_time_carried_over_keeps_its_temperature() -> None:
    old = new_material("mine", "yellow wood glue")
    for edge, text in (("opens", "45 min at 21 °C"), ("full", "24 h at 21 °C")):
        old = answered(old, f"clamped/clamp time/{edge}", text)
    material = answered(unread(old), "clamped/clamp time/opens", "2 h at 10 °C")
    (window,) = carried(material, old, "clamped/clamp time/full").windows
    assert (window.at_c, window.opens_c, window.full_c) == (10.0, None, 21.0)


def test_a_label_typed_once_is_what_the_clocks_run_by() -> None:
    material = new_material("my epoxy", "slow casting epoxy")
    material = answered(material, "mixed/pot life/closes", "35 min at 25 °C")
    material = answered(material, "ratio", "2:1 by volume")
    (pot_life,) = windows_of(material, "mixed")
    assert (pot_life.closes_s, pot_life.at_c) == (2100.0, 25.0)
    assert (material.ratio, material.ratio_by) == ((2.0, 1.0), "volume")


def test_a_name_and_a_family_are_needed() -> None:
    with pytest.raises(QuantityError, match="there is no kind"):
        new_material("mine", "purple glue")
    with pytest.raises(QuantityError, match="needs a name"):
        new_material("  ", "hard oil")


def test_the_shelf_loads_neither_pydantic_nor_a_screen() -> None:
    code = (
        "import sys, benchmate.shelf, benchmate.shelf.questions;"
        "print([m for m in ('pydantic', 'textual', 'scipy', 'numpy') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_hide_glue_minds_the_cold_until_it_is_clamped_and_not_after() -> None:
    hide = FAMILIES["hot hide glue"]
    lowest = {
        w.name: w.rule.lowest_c
        for act in ("spread", "closed", "clamped")
        for w in windows_of(hide, act)
    }
    assert lowest == {"open time": 18.0, "closed assembly": 18.0, "clamp time": None}
