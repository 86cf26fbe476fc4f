"""Two benches on one journal: who was second decides again from what is there now, in every stream.

Each `benches.other` was opened, and has looked, before `benches.one` writes.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from benchmate.bench.history.logbook import entries
from benchmate.bench.shelf.materials import materials_of
from benchmate.bench.shelf.shelf import describe_material, material_gone
from benchmate.bench.weights.scales import begin_with_settings, describe_scale, set_rules
from benchmate.job.deciding.streams import commands as cmd
from benchmate.job.events import stored as ev
from benchmate.refusal import Refused, UnknownAddress
from benchmate.settings import Settings
from benchmate.settings.model import ScaleDefaults
from benchmate.shelf import Material
from tests.unit.two_benches import Benches, read_air


@pytest.fixture
def benches(tmp_path: Path) -> Iterator[Benches]:
    with Benches(tmp_path) as made:
        yield made


def fine(**more: float) -> cmd.DescribeScale:
    return cmd.DescribeScale(name="bench scale", division_g=0.1, **more)  # type: ignore[arg-type]


def coarse() -> cmd.DescribeScale:
    return cmd.DescribeScale(name="bench scale", division_g=0.5)


def test_a_scale_that_another_bench_described_is_not_overwritten_unseen(benches: Benches) -> None:
    describe_scale(benches.one, fine())
    with pytest.raises(Refused, match=r"was described meanwhile: it counts in steps of 0\.1 g"):
        describe_scale(benches.other, coarse())
    assert benches.other.shop.scales["bench scale"].described.division_g == 0.1
    # By now it has looked: said once more, it is meant.
    describe_scale(benches.other, coarse())
    benches.one.refresh()
    assert benches.one.shop.scales["bench scale"].described.division_g == 0.5


def test_the_same_said_by_both_is_recorded_once(benches: Benches) -> None:
    describe_scale(benches.one, fine())
    describe_scale(benches.other, fine())
    assert [e.stream for e in entries(benches.one)].count("scales") == 1


def test_what_the_settings_say_gives_way_to_a_scale_described_meanwhile(benches: Benches) -> None:
    describe_scale(benches.one, fine())
    benches.other.settings = Settings(scale=ScaleDefaults(division="0.5 g"))
    begin_with_settings(benches.other)
    scales = benches.other.shop.scales.values()
    assert [s.described.division_g for s in scales] == [0.1]


def test_rules_keep_what_the_other_bench_has_set(benches: Benches) -> None:
    set_rules(benches.one, near_fraction=0.9)
    set_rules(benches.other, inside_p=0.99)
    rules = benches.other.shop.rules
    assert rules is not None
    assert (rules.near_fraction, rules.inside_p) == (0.9, 0.99)


def test_a_label_that_another_bench_typed_is_not_overwritten_unseen(benches: Benches) -> None:
    glue = Material(name="glue", family="yellow wood glue")
    describe_material(benches.one, Material(name="glue", family="white wood glue"))
    with pytest.raises(Refused, match="typed meanwhile"):
        describe_material(benches.other, glue)
    assert materials_of(benches.other)["glue"].family == "white wood glue"
    describe_material(benches.other, glue)
    assert materials_of(benches.other)["glue"].family == "yellow wood glue"


def test_a_material_is_used_up_once(benches: Benches) -> None:
    describe_material(benches.one, Material(name="glue", family="yellow wood glue"))
    benches.other.refresh()
    material_gone(benches.one, "glue")
    with pytest.raises(UnknownAddress, match="no material"):
        material_gone(benches.other, "glue")


def test_a_value_is_learned_once_and_a_wish_dropped_once(benches: Benches) -> None:
    now = benches.one.now()
    value = cmd.LearnedValue(key="packing/block", value=0.59, old=0.6, n=4)
    learn = cmd.Learn(procedure="pair", values=(value,))
    wish = ev.NextTimeKept(
        happened=now, recorded=now, procedure="pair", file_step="pour", text="warm the resin"
    )
    assert len(benches.one.settle(learn)) == 1
    assert benches.other.settle(learn) == ()
    assert benches.other.settle(cmd.DropWish(wish=wish)) == ()


def test_a_reading_is_asked_about_by_what_the_other_bench_has_read(benches: Benches) -> None:
    read_air(benches.one, 18.0)
    benches.clock.tick(60.0)
    with pytest.raises(Refused, match="18 °C to 30 °C"):
        benches.other.settle(cmd.ReadAir(place="shop", temperature_c=30.0))
    benches.other.settle(cmd.ReadAir(place="shop", temperature_c=30.0, stands=True))
    (told,) = [e.text for e in entries(benches.one, "place:shop") if "doubtful" in e.text]
    assert "30 °C" in told
    assert "18 °C to 30 °C" in told


def test_a_reading_is_taken_back_once(benches: Benches) -> None:
    read_air(benches.one, 18.0)
    benches.other.refresh()
    back = cmd.TakeBackAir(place="shop", version=1)
    benches.one.settle(back)
    with pytest.raises(UnknownAddress, match="no reading number 1"):
        benches.other.settle(back)
