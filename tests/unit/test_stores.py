"""Tins, families, the clocks that start from a label, and the shelf folded from events."""

import subprocess
import sys

import pytest

from benchmate.job import events as ev
from benchmate.job.moment import Moment
from benchmate.quantities import QuantityError
from benchmate.stores import (
    ACTS,
    COMMON_PRACTICE,
    FAMILIES,
    KINDS,
    LabelWindow,
    Tin,
    acts_of,
    decode_tin,
    encode_tin,
    filled,
    fold_stores,
    from_family,
    windows_of,
)
from benchmate.stores.questions import answered, new_tin, questions, shown

NOW = Moment(1_700_000_000_000_000_000)


def described(tin: Tin) -> ev.TinDescribed:
    return ev.TinDescribed(happened=NOW, recorded=NOW, name=tin.name, label=encode_tin(tin))


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
        ("steel shot", 7.7, 7.86), ("lead shot", 10.9, 11.35), ("bismuth-tin shot", 9.4, 9.75),
        ("tungsten shot", 10.0, 18.0), ("brass shot", 8.4, 8.7), ("slow casting epoxy", 1.05, 1.2),
    ],
)  # fmt: skip
def test_a_familys_density_is_the_materials(family: str, low: float, high: float) -> None:
    assert low <= (FAMILIES[family].density_g_cm3 or 0.0) <= high


def test_what_a_label_says_stands_before_common_practice_and_isnt_marked() -> None:
    label = LabelWindow(name="open time", act="spread", closes_s=300.0, at_c=20.0)
    tin = Tin(name="my glue", family="yellow wood glue", windows=(label,), spread_g_m2=150.0)
    (window,) = windows_of(tin, "spread")
    assert (window.closes_s, window.at_c) == (300.0, 20.0)
    assert window.source == "label of my glue"
    assert window.missed == "spoils joint", "what missing it costs is the family's to say"
    assert "spread_g_m2" not in filled(tin).rough
    assert "lowest_c" in filled(tin).rough


def test_what_a_label_leaves_out_is_marked_as_common_practice() -> None:
    (clamp,) = windows_of(Tin(name="my glue", family="yellow wood glue"), "clamped")
    assert clamp.source == COMMON_PRACTICE


def test_a_half_read_label_says_that_the_rest_is_common_practice() -> None:
    label = LabelWindow(name="clamp time", act="clamped", opens_s=1800.0)
    tin = Tin(name="my glue", family="yellow wood glue", windows=(label,))
    (clamp,) = windows_of(tin, "clamped")
    assert (clamp.opens_s, clamp.full_s) == (1800.0, 86400.0)
    assert clamp.source == f"partly {COMMON_PRACTICE}"


def test_a_slow_label_doesnt_borrow_a_quick_familys_end() -> None:
    label = LabelWindow(name="clamp time", act="clamped", opens_s=2 * 86400.0)
    tin = Tin(name="slow glue", family="yellow wood glue", windows=(label,))
    (clamp,) = windows_of(tin, "clamped")
    assert clamp.full_s is None


def test_a_data_sheet_is_named_as_the_source() -> None:
    label = LabelWindow(name="open time", act="spread", closes_s=300.0)
    tin = Tin(name="g", family="yellow wood glue", windows=(label,), data_sheet="sheet of 2025")
    assert windows_of(tin, "spread")[0].source == "sheet of 2025"


def test_filling_in_twice_forgets_nothing() -> None:
    once = from_family("steel shot")
    assert filled(once) == once
    assert "density_g_cm3" in once.rough


def test_a_pot_life_knows_the_mass_in_the_cup_and_the_labels() -> None:
    (pot_life,) = windows_of(from_family("slow casting epoxy"), "mixed", 240.0)
    assert (pot_life.rule.mass_g, pot_life.rule.label_mass_g) == (240.0, 150.0)
    assert pot_life.rule.family == "arrhenius"


def test_a_tin_without_a_family_has_only_what_its_label_says() -> None:
    tin = Tin(name="odd", windows=(LabelWindow(name="rest", act="coated", opens_s=60.0),))
    assert filled(tin) == tin
    assert windows_of(tin, "clamped") == ()
    assert acts_of(tin) == ("coated",)


@pytest.mark.parametrize("name", FAMILIES)
def test_a_tin_survives_being_stored(name: str) -> None:
    assert decode_tin(encode_tin(FAMILIES[name])) == FAMILIES[name]


def test_the_shelf_is_what_was_described_less_what_is_gone() -> None:
    glue, oil = Tin(name="glue", amount=500.0), Tin(name="oil")
    gone = ev.TinGone(happened=NOW, recorded=NOW, name="oil")
    shelf = fold_stores([described(glue), described(oil), gone])
    assert list(shelf.tins) == ["glue"]
    assert shelf.left == {"glue": 500.0}


def test_what_is_used_comes_off_what_is_left() -> None:
    used = [
        ev.TinUsed(happened=NOW, recorded=NOW, name="glue", amount=12.5),
        ev.TinUsed(happened=NOW, recorded=NOW, name="glue", amount=3.0, unit="ml"),
        ev.TinUsed(happened=NOW, recorded=NOW, name="nobody's", amount=3.0),
    ]
    shelf = fold_stores([described(Tin(name="glue", amount=500.0)), *used])
    assert shelf.left == {"glue": 487.5}


def test_the_latest_description_of_a_name_holds() -> None:
    shelf = fold_stores([described(Tin(name="g", lowest_c=10)), described(Tin(name="g"))])
    assert shelf.tins["g"].lowest_c is None


def test_a_label_that_a_newer_benchmate_wrote_is_named_not_lost() -> None:
    odd = ev.TinDescribed(happened=NOW, recorded=NOW, name="odd", label='{"name": 3}')
    assert fold_stores([odd]).unreadable == ("odd",)


# What to ask -----------------------------------------------------------------------------------


@pytest.mark.parametrize("family", FAMILIES)
def test_each_common_answer_can_be_typed_as_it_is_shown(family: str) -> None:
    tin = new_tin("mine", family)
    for question in questions(family):
        if question.common:
            typed = answered(tin, question.key, question.common)
            assert shown(typed, question.key) == question.common


@pytest.mark.parametrize("family", FAMILIES)
def test_each_example_can_be_typed_and_taken_out_again(family: str) -> None:
    tin = new_tin("mine", family)
    for question in questions(family):
        assert answered(answered(tin, question.key, question.example), question.key, "") == tin


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
    ],
    ids=lambda v: str(v)[:24],
)
def test_an_answer_that_cant_be_read_is_one_sentence(key: str, text: str, said: str) -> None:
    with pytest.raises(QuantityError, match=said.replace("(", r"\(")):
        answered(new_tin("mine", "slow casting epoxy"), key, text)


def test_a_label_typed_once_is_what_the_clocks_run_by() -> None:
    tin = new_tin("my epoxy", "slow casting epoxy")
    tin = answered(tin, "mixed/pot life/closes", "35 min at 25 °C")
    tin = answered(tin, "ratio", "2:1 by volume")
    (pot_life,) = windows_of(tin, "mixed")
    assert (pot_life.closes_s, pot_life.at_c) == (2100.0, 25.0)
    assert (tin.ratio, tin.ratio_by) == ((2.0, 1.0), "volume")


def test_a_name_and_a_family_are_needed() -> None:
    with pytest.raises(QuantityError, match="there is no family"):
        new_tin("mine", "purple glue")
    with pytest.raises(QuantityError, match="needs a name"):
        new_tin("  ", "hard oil")


def test_the_shelf_loads_neither_pydantic_nor_a_screen() -> None:
    code = (
        "import sys, benchmate.stores, benchmate.stores.questions;"
        "print([m for m in ('pydantic', 'textual', 'scipy', 'numpy') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
