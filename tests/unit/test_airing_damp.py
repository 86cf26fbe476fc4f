"""Dew before a coat, and blanks that are not at home in today's air."""

from __future__ import annotations

from pathlib import Path

import pytest

from benchmate.air.log import AirLog
from benchmate.air.readings import Reading
from benchmate.job.state.state import JobState
from benchmate.job.windows.agenda import Act
from benchmate.job.windows.before import air_cautions, is_of_wood
from benchmate.job.windows.damp import AT_HOME_S, dew_caution, mean_air, settling_caution
from benchmate.job.windows.windows import SHOP, Around
from benchmate.moment import Moment, Timeline
from benchmate.plan.plan import PartPlan, Plan, Step, WeighPoint
from benchmate.reckon.wood.dewpoint import dew_point_c
from benchmate.reckon.wood.moisture import emc_pct
from benchmate.refusal import NotNow
from tests.unit.airing_help import Glueing

H, D = 3600.0, 86400.0
COAT = Step(address="j/A/all/coat#1", do="Coat", act="coated", piece="A")
BLANK = Step(
    address="j/A/side/blank#1",
    do="Weigh",
    act="weighed",
    piece="A",
    weigh=WeighPoint(kind="whole", weighed="blank"),
)


def around(*readings: Reading) -> Around:
    return Around(Timeline(), {SHOP: AirLog(readings)})


@pytest.mark.parametrize(
    ("readings", "word"),
    [
        pytest.param([(-8 * H, 6.0, 80.0), (0.0, 17.0, 62.0)], "below the dew point", id="wet"),
        pytest.param([(-8 * H, 11.0, 80.0), (0.0, 17.0, 62.0)], "only", id="too near"),
        pytest.param([(-8 * H, 16.0, 60.0), (0.0, 17.0, 62.0)], None, id="near enough"),
        pytest.param(
            [(-13 * H, 6.0, 80.0), (-12.5 * H, 17.0, 62.0), (0.0, 17.0, 62.0)],
            None,
            id="a night of yesterday",
        ),
        pytest.param([(-8 * H, 6.0, None), (0.0, 17.0, None)], None, id="no humidity"),
        pytest.param([(-8 * H, 6.0, 80.0), (-4 * H, 17.0, 62.0)], None, id="nothing fresh"),
        pytest.param([(0.0, 17.0, 90.0)], "only", id="damp air"),
        pytest.param([], None, id="no reading"),
    ],
)
def test_before_a_coat_the_coldest_hours_stand_for_the_surface(
    readings: list[tuple[float, float, float | None]], word: str | None
) -> None:
    said = dew_caution(COAT, around(*(Reading(*r) for r in readings)), 60.0)
    assert (said is None) if word is None else (said is not None and word in said)


def test_the_assumption_is_said_and_the_dew_point_is_the_reckoners() -> None:
    said = dew_caution(COAT, around(Reading(-8 * H, 6.0, 80.0), Reading(0.0, 17.0, 62.0)), 60.0)
    assert said is not None
    assert said.startswith(
        "If it is still as cold as the air in the last 12 h, the surface at 6 °C"
    )
    assert f"dew point of {dew_point_c(17.0, 62.0):.1f} °C" in said


def test_only_what_goes_on_wet_is_warned_of_dew() -> None:
    cold_night = around(Reading(-8 * H, 6.0, 80.0), Reading(0.0, 17.0, 62.0))
    sanded = Step(address="j/A/all/sand#1", do="Sand", act="sanded", piece="A")
    assert dew_caution(sanded, cold_night, 60.0) is None


def test_a_mean_is_weighed_by_how_long_each_reading_held() -> None:
    readings = [Reading(0.0, 10.0, 40.0), Reading(3 * D, 20.0, None), Reading(4 * D, 20.0, 80.0)]
    assert mean_air(readings, 0.0, 5 * D) == pytest.approx((12.5, 50.0))
    assert mean_air(readings[:1], 0.0, 1 * D) is None
    assert mean_air([], 0.0, 9 * D) is None


def test_a_blank_out_of_dry_weeks_is_let_come_to_damp_air_first() -> None:
    weeks = [Reading(-AT_HOME_S + i * H, 20.0, 40.0) for i in range(int(AT_HOME_S / H))]
    said = settling_caution(BLANK, around(*weeks, Reading(0.0, 20.0, 75.0)), 60.0)
    assert said is not None
    assert said.startswith("By the air of the last 14 days: The blank is at 7.7 %")
    assert f"this air makes it {emc_pct(20.0, 75.0):.1f} %" in said
    assert "take up" in said
    assert "Weigh it until it stays." in said


@pytest.mark.parametrize(
    "readings",
    [
        pytest.param([Reading(-13 * D, 20.0, 50.0), Reading(0.0, 20.0, 52.0)], id="no swing"),
        pytest.param([Reading(-1 * D, 20.0, 40.0), Reading(0.0, 20.0, 75.0)], id="too short"),
        pytest.param([Reading(-13 * D, 20.0, 40.0), Reading(0.0, 20.0)], id="no humidity now"),
        pytest.param([], id="no reading"),
    ],
)
def test_nothing_is_said_of_a_blank_where_nothing_is_known_or_swung(
    readings: list[Reading],
) -> None:
    assert settling_caution(BLANK, around(*readings), 60.0) is None


def test_only_a_blanks_weight_is_warned_of_other_air() -> None:
    air = around(Reading(-13 * D, 20.0, 40.0), Reading(0.0, 20.0, 75.0))
    layer = Step(address="j/A/b/pour#1", do="Pour", act="poured", weigh=WeighPoint(kind="gain"))
    assert settling_caution(layer, air, 60.0) is None
    assert settling_caution(BLANK, air, 60.0) is not None


def test_a_metal_part_takes_up_no_water() -> None:
    parts = (
        PartPlan(piece="A", name="head", density_g_cm3=7.8),
        PartPlan(piece="A", name="handle", density_g_cm3=0.7),
    )
    made = Plan(procedure="p", title="t", job="j", pieces=(), steps=(), parts=parts)
    job = JobState("j", "t", Moment(0), plan=made)
    for part, wooden in (("head", False), ("handle", True), ("", True)):
        step = Step(address=f"j/A/{part}/w#1", do="", act="weighed", piece="A", part=part)
        assert is_of_wood(job, step) is wooden


def test_coming_to_the_shops_air_is_a_window_like_any_other(tmp_path: Path) -> None:
    shop = Glueing(tmp_path)
    shop.start(
        '[[steps]]\nid = "bring in"\ndo = "Lay the blanks in the shop, with air all round."\n'
        'windows = [{ name = "at home", opens = "7 d" }]\n'
        '[[steps]]\nid = "blank"\ndo = "Weigh the {part}."\neach = "part"\npart = ["side", "lid"]\n'
        'act = "weighed"\nweigh = { as = "blank" }\nwaits = "at home"\n'
    )
    shop.mark("A/all/bring-in#1")
    found = shop.bench.agenda()
    assert found.next is None
    assert found.later[0].ready_at == pytest.approx(shop.bench.now_s() + 7 * D)
    shop.clock.tick(7 * D + 1)
    shop.air(20.0, 40.0, ago_s=6 * D)
    shop.air(20.0, 75.0)
    act = shop.bench.agenda().next
    assert isinstance(act, Act)
    (job,) = shop.bench.shop.live
    (said,) = air_cautions(job, act, shop.bench.shop.around, shop.bench.now_s())
    assert "Let it come to the shop's air" in said


def test_a_step_before_its_blanks_are_at_home_is_not_now(tmp_path: Path) -> None:
    shop = Glueing(tmp_path)
    shop.start(
        '[[steps]]\nid = "bring in"\ndo = "Lay the blanks in the shop."\n'
        'windows = [{ name = "at home", opens = "7 d" }]\n'
        '[[steps]]\nid = "saw"\ndo = "Saw to size."\nwaits = "at home"\n'
    )
    shop.mark("A/all/bring-in#1")
    with pytest.raises(NotNow, match="too early"):
        shop.mark("A/all/saw#1")
