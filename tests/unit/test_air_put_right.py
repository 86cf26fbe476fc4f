"""A reading that looks like a slip is asked about; one that was recorded can be put right."""

from __future__ import annotations

from pathlib import Path

import pytest

from benchmate.air.log import AirLog
from benchmate.air.readings import Reading
from benchmate.air.slips import DoubtfulAir, doubt_of
from benchmate.bench.air.recording import correct_air, record_air, take_back_air
from benchmate.bench.history.logbook import entries
from benchmate.bench.history.pages import page
from benchmate.cli import opening
from benchmate.cli.exits import Exit
from benchmate.job.windows.windows import SHOP
from benchmate.plan.rates import Rule
from benchmate.refusal import UnknownAddress
from benchmate.settings import Settings
from tests.unit.airing_help import MIN, Glueing, H

SPREAD, CLOSE, CLAMP = "A/all/spread#1", "A/all/close#1", "A/all/clamp#1"
GLUE = Rule(family="waterborne", lowest_c=10.0)


@pytest.fixture
def shop(tmp_path: Path) -> Glueing:
    return Glueing(tmp_path)


def clamped(shop: Glueing) -> None:
    """A glue joint that has been in its clamps for ten minutes, in a shop at 18 °C."""
    shop.joint("glue")
    shop.air(18.0)
    for tail in ("A/all/dry-run#1", SPREAD, CLOSE, CLAMP):
        shop.mark(tail)
    shop.clock.tick(10 * MIN)


@pytest.mark.parametrize(
    ("typed", "slip", "meant"),
    [
        pytest.param(Reading(600, 18.4), None, None, id="nothing unusual"),
        pytest.param(Reading(600, 25.0), None, None, id="the stove was lit"),
        pytest.param(Reading(9000, 7.0), None, None, id="far, but hours later"),
        pytest.param(Reading(600, 64.0), "Read in °F", 17.8, id="Fahrenheit typed as Celsius"),
        pytest.param(Reading(600, -7.5), "Read in °C", 18.5, id="Celsius typed as Fahrenheit"),
        pytest.param(Reading(600, 52.0, 17.5), "Humidity typed first", 17.5, id="the wrong order"),
        pytest.param(Reading(600, 175.0), "A decimal point left out", 17.5, id="no point"),
        pytest.param(Reading(600, 1.75), "A decimal point too early", 17.5, id="an early point"),
        pytest.param(Reading(600, -18.0), "A minus sign", 18.0, id="a minus sign"),
        pytest.param(Reading(600, 8.0), "A first digit left out or mistaken", 18.0, id="8 for 18"),
        pytest.param(Reading(600, 28.0), "A first digit mistaken", 18.0, id="28 for 18"),
    ],
)
def test_a_slip_is_named_with_what_was_likely_meant(
    typed: Reading, slip: str | None, meant: float | None
) -> None:
    doubt = doubt_of(AirLog([Reading(0.0, 18.0, 55.0)]), typed)
    assert (doubt.slip if doubt else None) == slip
    if doubt is not None and meant is not None:
        assert doubt.meant is not None
        assert doubt.meant.temperature_c == pytest.approx(meant, abs=0.05)


def test_with_no_other_reading_only_rare_air_is_asked_about() -> None:
    assert doubt_of(AirLog(), Reading(0.0, 38.0)) is None
    doubt = doubt_of(AirLog(), Reading(0.0, 66.0))
    assert doubt is not None
    assert doubt.slip == "Read in °F"


def test_a_reading_entered_late_is_compared_with_the_one_after_it() -> None:
    log = AirLog([Reading(3600.0, 18.0)])
    assert doubt_of(log, Reading(3000.0, 5.0)) is not None
    assert doubt_of(log, Reading(0.0, 5.0)) is None


def test_a_doubtful_reading_is_not_recorded_before_the_maker_says_it_stands(shop: Glueing) -> None:
    clamped(shop)
    with pytest.raises(DoubtfulAir, match=r"18 °C to 8 °C in 10 min is a big jump .* 18 °C\?"):
        shop.air(8.0)
    assert [r.temperature_c for r in shop.bench.shop.air_of(SHOP).readings] == [18.0]
    record_air(shop.bench, SHOP, 8.0, None, stands=True)
    assert [r.is_doubtful for r in shop.bench.shop.air_of(SHOP).readings] == [False, True]


def test_no_word_of_the_maker_makes_72_degrees_air(shop: Glueing) -> None:
    with pytest.raises(DoubtfulAir) as asked:
        record_air(shop.bench, SHOP, 72.0, None, stands=True)
    assert asked.value.is_impossible
    assert "72 °C? Check the thermometer" in str(asked.value)


def test_one_doubtful_reading_does_not_spoil_a_joint_and_a_second_one_does(shop: Glueing) -> None:
    clamped(shop)
    said = record_air(shop.bench, SHOP, 8.0, None, stands=True)
    assert any(s.startswith("One doubtful reading says 8 °C: read again") for s in said)
    assert shop.window("clamp time").spoiled_at is None
    shop.clock.tick(2 * MIN)
    assert any(s.startswith("Too cold") for s in shop.air(8.2))
    assert shop.window("clamp time").spoiled_at is not None


@pytest.mark.parametrize(
    ("readings", "spoiled"),
    [
        ([Reading(0.0, 18.0), Reading(60.0, 5.0, None, 2, True)], None),
        ([Reading(0.0, 18.0), Reading(60.0, 5.0, None, 2, True), Reading(90.0, 18.0)], None),
        ([Reading(0.0, 18.0), Reading(60.0, 5.0, None, 2, True), Reading(90.0, 6.0)], 60.0),
        ([Reading(0.0, 18.0), Reading(60.0, 5.0)], 60.0),
    ],
    ids=["alone", "and then warm again", "borne out", "not doubtful"],
)
def test_what_a_doubtful_reading_decides(readings: list[Reading], spoiled: float | None) -> None:
    assert AirLog(readings).spoiled_since(GLUE, 0.0, 3600.0) == spoiled


def test_a_reading_taken_back_leaves_the_windows_as_if_it_had_never_been(shop: Glueing) -> None:
    clamped(shop)
    before = shop.window("clamp time")
    shop.air(16.0)
    record_air(shop.bench, SHOP, 8.0, None, stands=True)
    shop.clock.tick(MIN)
    shop.air(8.0)
    assert shop.window("clamp time").spoiled_at is not None
    for _ in range(3):
        take_back_air(shop.bench, SHOP)
    after = shop.window("clamp time")
    assert (after.opens, after.full, after.spoiled_at) == (before.opens, before.full, None)
    assert shop.again().shop.air_of(SHOP).readings == (Reading(after.anchor, 18.0, None, 1),)


def test_a_reading_put_right_keeps_its_time_and_the_old_one_stays_in_the_logbook(
    shop: Glueing,
) -> None:
    clamped(shop)
    began = shop.bench.shop.air_of(SHOP).readings[0].t_s
    said = correct_air(shop.bench, SHOP, 16.5, None)
    assert said[0] == "Put right: shop 16.5 °C, not 18 °C."
    (reading,) = shop.bench.shop.air_of(SHOP).readings
    assert (reading.t_s, reading.temperature_c) == (began, 16.5)
    found = [(e.text, e.taken_back) for e in entries(shop.bench, "place:shop")]
    assert found == [
        ("air 18 °C, typed", True),
        ("undid “air 18 °C, typed (entry 1)”", False),
        ("air 16.5 °C, typed, in place of entry 1's", False),
    ]
    assert [e.taken_back for e in page(shop.bench, "place:shop").entries] == [True, False, False]
    again = shop.again().shop
    assert [r.temperature_c for r in again.air_of(SHOP).readings] == [16.5]


def test_the_reading_that_covered_another_gives_it_free_again(shop: Glueing) -> None:
    shop.air(18.0, ago_s=H)
    shop.air(16.0, ago_s=H)
    take_back_air(shop.bench, SHOP)
    assert [r.temperature_c for r in shop.bench.shop.air_of(SHOP).readings] == [18.0]
    assert [r.temperature_c for r in shop.again().shop.air_of(SHOP).readings] == [18.0]


def test_the_last_typed_reading_is_meant_not_the_files(shop: Glueing) -> None:
    shop.air(18.0)
    shop.clock.tick(MIN)
    record_air(shop.bench, SHOP, 18.5, None, source="file box.txt")
    take_back_air(shop.bench, SHOP)
    assert [r.temperature_c for r in shop.bench.shop.air_of(SHOP).readings] == [18.5]
    take_back_air(shop.bench, SHOP, 2)
    with pytest.raises(UnknownAddress, match="no reading of the air in shop"):
        take_back_air(shop.bench, SHOP)


def test_by_command_a_slip_is_asked_about_put_right_and_taken_back(
    shop: Glueing, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(opening, "make_clock", lambda: shop.clock)
    assert shop.run("air", "18C").exit_code == 0
    asked = shop.run("air", "64", "--rh", "55")
    assert asked.exit_code == Exit.REFUSED
    assert "64 °C? Check the thermometer" in asked.stderr
    assert "If that is what it was: benchmate air 17.8C --rh 55" in asked.stderr
    assert "--keep" not in asked.stderr
    assert "add --keep" in shop.run("air", "8").stderr
    assert shop.run("air", "8", "--keep").exit_code == 0
    assert "doubtful" in shop.run("air").stdout
    assert shop.run("air", "17.8", "--correct").stdout == "Put right: shop 17.8 °C, not 8 °C.\n"
    assert shop.run("air", "--undo", "1").exit_code == 0
    assert [r.temperature_c for r in shop.again().shop.air_of(SHOP).readings] == [17.8]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["17", "--undo"], "Either undo a reading, or put it right"),
        (["--correct"], "Say what the air really was"),
        (["17", "--correct", "--at", "16:00"], "keeps its time"),
        (["17", "--correct", "three"], "not “three”"),
        (["--undo"], "There is no reading of the air in shop to put right."),
        (["--undo", "7"], "There is no reading number 7"),
    ],
)
def test_words_that_do_not_fit_together_are_answered_in_a_sentence(
    shop: Glueing, words: list[str], said: str
) -> None:
    result = shop.run("air", *words)
    assert result.exit_code == Exit.REFUSED
    assert said in result.stderr


def test_with_inches_a_bare_temperature_is_fahrenheit_and_questions_speak_it(
    shop: Glueing, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(opening, "make_clock", lambda: shop.clock)
    (shop.home / "settings.toml").write_text('units = "inch"\n')
    assert shop.run("air", "64").stdout.startswith("Recorded: shop 64 °F.")
    asked = shop.run("air", "17.8")
    assert "64 °F to 17.8 °F in" in asked.stderr
    assert "Read in °C: 64 °F?" in asked.stderr


# Edges that are put off again --------------------------------------------------------------------


def test_an_edge_that_had_come_and_is_put_off_again_is_said_and_kept(shop: Glueing) -> None:
    shop.joint("epoxy")
    shop.air(22.0)
    for tail in ("A/all/fit#1", "all/all/mix#1", "A/all/spread#1", CLOSE, CLAMP):
        shop.mark(tail)
    opens = shop.window("clamp time").opens
    assert opens is not None
    shop.clock.tick(opens.at - shop.bench.now_s() + 5 * MIN)
    assert shop.window("clamp time").state == "open"
    job = shop.bench.shop.live[0].job
    said = shop.air(15.0, ago_s=H)
    (back,) = [s for s in said if "earlier estimate" in s]
    assert "by the newer reading that is safe from" in back
    view = shop.window("clamp time")
    assert view.state == "shut"
    assert view.set_back["opens"].said_at == pytest.approx(opens.at)
    assert [e.text for e in entries(shop.bench, "place:shop") if e.kind == "edge set back"] == [
        f"new estimate: {back}"
    ]
    assert shop.again().agenda().windows[0].set_back["opens"].said_at == pytest.approx(opens.at)
    from benchmate.bench.next_line import clock_of
    from benchmate.job.words.phrases import window_text

    text = window_text(shop.window("clamp time"), clock_of(shop.bench))
    assert "; earlier estimate" in text
    assert job


def test_what_was_done_on_the_benchs_own_word_is_not_refused_afterwards(shop: Glueing) -> None:
    from benchmate.job.deciding.guards import check_waited

    clamped(shop)
    opens = shop.window("clamp time").opens
    assert opens is not None
    shop.clock.tick(opens.at - shop.bench.now_s() + 5 * MIN)
    shop.air(11.0, ago_s=2 * MIN)
    if shop.window("clamp time").state == "open":  # Nothing was put off: nothing to show.
        pytest.fail("the colder reading should have put the edge off")
    (job,) = shop.bench.shop.live
    unclamp = next(s for s in job.steps.values() if any("clamp-time" in w for w in s.waits))
    around = shop.bench.shop.around
    check_waited(job, unclamp, around, opens.at + MIN)
    with pytest.raises(Exception, match="for sure in"):
        check_waited(job, unclamp, around, shop.bench.now_s() + 1.0)


def test_units_of_the_settings_reach_the_cores_refusals(tmp_path: Path) -> None:
    shop = Glueing(tmp_path)
    shop.settings = Settings(units="inch")
    shop.again()
    shop.joint("glue")
    shop.mark("A/all/dry-run#1")
    shop.air(8.0)
    with pytest.raises(Exception, match=r"Too cold at 46.4 °F: below 50 °F the glue"):
        shop.mark(SPREAD)
