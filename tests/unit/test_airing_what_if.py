"""What if the box were warm, the heating off at night, the start tomorrow: side by side."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from benchmate.bench.air.suppositions import night_of, start_wall
from benchmate.bench.air.what_if import Beside, beside_text, what_if
from benchmate.bench.shelf.shelf import find_material, start_clock
from benchmate.cli import opening
from benchmate.cli.exits import Exit
from benchmate.localtime import local
from benchmate.quantities import QuantityError
from benchmate.refusal import Refused
from tests.unit.airing_help import START, Glueing, H

NOW = START.wall_s


@pytest.fixture
def shop(tmp_path: Path) -> Glueing:
    return Glueing(tmp_path)


def cast(shop: Glueing, act: str = "poured") -> None:
    start_clock(shop.bench, find_material(shop.bench, "slow casting epoxy"), act, name="foot")


def opens(rows: tuple[Beside, ...]) -> Beside:
    return next(r for r in rows if (r.label, r.edge) == ("foot, cure", "opens"))


def test_a_warm_box_ends_sooner_and_now_stands_beside_it(shop: Glueing) -> None:
    cast(shop)
    shop.air(14.0)
    found = what_if(shop.bench, air="box 25C")
    row = opens(found.rows)
    assert found.said == "If it stood in the box at 25 °C from now on:"
    assert row.now == shop.window("cure").opens
    assert row.later_s < -H
    assert "sooner (label" in beside_text(row, shop.bench)


def test_nights_without_heating_end_later_and_spoil_a_glue(shop: Glueing) -> None:
    cast(shop)
    shop.air(19.0)
    found = what_if(shop.bench, night_off="19C 8C 22-6")
    assert opens(found.rows).later_s > H
    start_clock(shop.bench, find_material(shop.bench, "liquid hide glue"), "clamped", name="chair")
    chair = what_if(shop.bench, night_off="19C 2C 16:00-6:30").rows
    row = next(r for r in chair if r.label == "chair, clamp time" and r.edge == "opens")
    assert row.is_spoiled
    assert beside_text(row, shop.bench).endswith("Too cold: don't trust it.")


def test_a_later_start_is_asked_of_the_act_that_comes_next(shop: Glueing) -> None:
    shop.joint("epoxy")
    shop.air(18.0)
    found = what_if(shop.bench, start="in 5 h")
    assert "mix#1" in found.said
    (row,) = found.rows
    assert row.label == "cup, pot life"
    assert row.then.label_at - row.now.label_at == pytest.approx(5 * H)
    cold = what_if(shop.bench, start="tonight", night_off="18C 6C 18-7")
    assert cold.rows[0].later_s > row.later_s


def test_any_step_can_be_asked_about(shop: Glueing) -> None:
    job = shop.joint("glue")
    found = what_if(shop.bench, start="tomorrow 18:30", step=f"{job}/A/all/clamp#1")
    assert [r.edge for r in found.rows] == ["opens", "full"]
    with pytest.raises(Refused, match="starts no clock"):
        what_if(shop.bench, start="now", step="A/all/dry-run#1")


def test_a_place_that_was_read_may_be_named_alone(shop: Glueing) -> None:
    from benchmate.bench.air.recording import record_air

    cast(shop)
    record_air(shop.bench, "box", 27.0, 40.0)
    assert what_if(shop.bench, air="box").said.startswith("If it stood in the box at 27 °C")
    with pytest.raises(Refused, match="no place whose air has been read"):
        what_if(shop.bench, air="attic")


def test_nothing_supposed_is_recorded(shop: Glueing) -> None:
    cast(shop)
    shop.air(14.0)
    state = shop.bench.shop
    what_if(shop.bench, air="25C")
    what_if(shop.bench, night_off="19C 8C 22-6")
    assert shop.bench.shop is state
    assert not shop.again().shop.air_of("box")


@pytest.mark.parametrize(
    ("asked", "word"),
    [
        ({}, "Say what to suppose"),
        ({"air": "25C", "night_off": "19C 8C 22-6"}, "one air at a time"),
        ({"night_off": "19C 8C 22-22"}, "can't go off and on at the same hour"),
        ({"start": "now"}, "No step still to come starts a clock"),
    ],
)
def test_what_can_not_be_supposed_is_refused(
    shop: Glueing, asked: dict[str, str], word: str
) -> None:
    with pytest.raises(Refused, match=word):
        what_if(shop.bench, **asked)


@pytest.mark.parametrize(
    ("text", "night"),
    [
        ("19C 8C 22-6", (19.0, 8.0, 22.0, 6.0)),
        ("19 °C 8 °C 22:30-6.15", (19.0, 8.0, 22.5, 6.25)),
        ("68F 46.4F 21-24", (20.0, 8.0, 21.0, 0.0)),
        ("18 -2 22-6", (18.0, -2.0, 22.0, 6.0)),
    ],
)
def test_a_night_is_read_as_it_is_meant(text: str, night: tuple[float, ...]) -> None:
    assert night_of(text) == pytest.approx(night)


@pytest.mark.parametrize("text", ["", "19C 22-6", "cold 22-6", "19C 8C 25-6", "19C 8C"])
def test_what_is_no_night_is_refused(text: str) -> None:
    with pytest.raises(QuantityError):
        night_of(text)


@pytest.mark.parametrize(
    ("text", "days", "clock"),
    [
        ("tonight", 0, (20, 0)),
        ("tomorrow", 1, (9, 0)),
        ("tomorrow 18:30", 1, (18, 30)),
        ("23:45", 0, (23, 45)),
        ("0:05", 1, (0, 5)),
    ],
)
def test_a_start_is_a_time_to_come(text: str, days: int, clock: tuple[int, int]) -> None:
    when, now = local(start_wall(text, NOW)), local(NOW)
    apart = when.date().to_stdlib().toordinal() - now.date().to_stdlib().toordinal()
    assert (apart, (when.hour, when.minute)) == (days, clock)


def test_a_start_may_be_so_long_from_now_or_on_a_weekday() -> None:
    assert start_wall("now", NOW) == NOW
    assert start_wall("in 3 h", NOW) == NOW + 3 * H
    when = local(start_wall("Sat 9:00", NOW))
    assert when.date().day_of_week().name == "SATURDAY"
    assert NOW < start_wall("Sat 9:00", NOW) <= NOW + 7 * 24 * H


@pytest.mark.parametrize("text", ["yesterday", "soon", "25:00", "someday 9:00"])
def test_what_is_no_start_is_refused(text: str) -> None:
    with pytest.raises(QuantityError):
        start_wall(text, NOW)


def test_tonight_is_over_after_eight() -> None:
    with pytest.raises(QuantityError, match="past 20:00"):
        start_wall("tonight", start_wall("tonight", NOW) + H)


class TestTheCommand:
    """`benchmate air --if …`."""

    @pytest.fixture
    def warm(self, shop: Glueing, monkeypatch: pytest.MonkeyPatch) -> Glueing:
        cast(shop)
        shop.air(14.0)
        monkeypatch.setattr(opening, "make_clock", lambda: shop.clock)
        return shop

    def test_it_prints_now_and_then(self, warm: Glueing) -> None:
        done = warm.run("air", "--if", "box 25C")
        assert done.exit_code == 0
        assert "foot, cure, opens: about" in done.stdout
        assert " now; then about" in done.stdout

    def test_it_gives_data(self, warm: Glueing) -> None:
        made = json.loads(warm.run("air", "--if-night-off", "19C 8C 22-6", "--json").stdout)
        assert {e["edge"] for e in made["edges"]} >= {"opens", "full"}
        assert all(e["now"]["label_at"] == e["then"]["label_at"] for e in made["edges"])

    def test_a_supposition_is_never_recorded(self, warm: Glueing) -> None:
        done = warm.run("air", "8C", "--if", "box 25C")
        assert done.exit_code == Exit.REFUSED
        assert "never recorded" in done.stderr

    def test_the_help_names_all_three(self, warm: Glueing) -> None:
        said = warm.run("air", "--help").stdout
        for option in ("--if ", "--if-night-off", "--if-start", "tonight", "19C 8C 22-6"):
            assert option in said

    def test_the_log_and_every_windows_two_times_come_as_data(self, warm: Glueing) -> None:
        made = json.loads(warm.run("air", "--json").stdout)
        assert [r["temperature_c"] for r in made["readings"]] == [14.0]
        edges = next(w for w in made["windows"] if w["label"] == "foot, cure")["edges"]
        assert edges["opens"]["label_at"] < edges["opens"]["about"] < edges["opens"]["at"]
