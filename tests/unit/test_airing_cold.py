"""Too cold: spoiled for glue, late for epoxy, a touch test for solvents, and nothing unasked."""

from __future__ import annotations

from pathlib import Path

import pytest

from benchmate.air.log import AirLog
from benchmate.air.readings import Reading
from benchmate.bench.air.recording import edge_text, moved_edges
from benchmate.bench.cautions import Cautions
from benchmate.bench.next_line import clock_of, next_line
from benchmate.bench.shelf.shelf import find_material, start_clock
from benchmate.cli import opening
from benchmate.cli.exits import Exit
from benchmate.job.deciding import commands as cmd
from benchmate.job.weights.drift import to_see
from benchmate.job.windows.cold import FRESH_S, cold
from benchmate.job.windows.windows import SHOP, Around
from benchmate.moment import Timeline
from benchmate.plan.plan import Window
from benchmate.plan.rates import Rule
from benchmate.refusal import TooCold
from tests.unit.airing_help import MIN, Glueing, H

DRY = "A/all/dry-run#1"
SPREAD, CLOSE, CLAMP = "A/all/spread#1", "A/all/close#1", "A/all/clamp#1"


@pytest.fixture
def shop(tmp_path: Path) -> Glueing:
    return Glueing(tmp_path)


def glue_up(shop: Glueing) -> str:
    job = shop.joint("glue")
    shop.mark(DRY)
    return job


def cautions(shop: Glueing) -> tuple[str, ...]:
    return Cautions(shop.bench).of(shop.bench.agenda().next)


def test_a_wood_glue_at_8_degrees_is_refused_and_nothing_is_recorded(shop: Glueing) -> None:
    job = glue_up(shop)
    shop.air(8.0)
    with pytest.raises(TooCold, match="Too cold at 8 °C: below 10 °C the glue or finish"):
        shop.mark(SPREAD)
    assert f"{job}/{SPREAD}" not in shop.bench.shop.jobs[job].done
    shop.mark(SPREAD, anyway=True)
    assert f"{job}/{SPREAD}" in shop.bench.shop.jobs[job].done


def test_the_caution_stands_before_the_act_and_what_was_done_is_to_be_seen(shop: Glueing) -> None:
    job = glue_up(shop)
    shop.air(8.0)
    assert cautions(shop)[0].startswith("Too cold at 8 °C")
    assert "Too cold at 8 °C" in next_line(shop.bench)
    shop.mark(SPREAD, anyway=True)
    seen = to_see(shop.bench.shop.jobs[job], shop.bench.shop.around, shop.bench.now_s())
    assert "done at 8 °C, below 10 °C: don't trust it" in [r.text for r in seen]


def test_a_wood_glue_at_8_degrees_is_refused_by_command(
    shop: Glueing, monkeypatch: pytest.MonkeyPatch
) -> None:
    glue_up(shop)
    monkeypatch.setattr(opening, "make_clock", lambda: shop.clock)
    assert shop.run("air", "8C").exit_code == 0
    refused = shop.run("done", SPREAD)
    assert refused.exit_code == Exit.REFUSED
    assert "won't form properly" in refused.stderr
    assert "won't form" in shop.run("next").stdout
    assert shop.run("done", SPREAD, "--keep").exit_code == 0


def test_glue_that_is_spread_cannot_wait_for_a_warmer_shop(shop: Glueing) -> None:
    glue_up(shop)
    shop.mark(SPREAD)
    shop.air(8.0)
    assert cautions(shop)[0].startswith("Too cold")
    shop.mark(CLOSE)
    shop.mark(CLAMP)
    view = shop.window("clamp time")
    assert view.spoiled_at == pytest.approx(shop.bench.now_s())


def test_without_any_reading_nothing_is_asked_and_label_times_hold(shop: Glueing) -> None:
    glue_up(shop)
    assert cautions(shop) == ()
    shop.mark(SPREAD)
    view = shop.window("open time")
    assert view.closes is not None
    assert view.closes.at == view.closes.label_at
    assert not view.knows_air
    assert edge_text(view.closes, clock_of(shop.bench)).endswith("by rule of thumb")


@pytest.mark.parametrize(
    ("ago_s", "celsius", "refused"),
    [
        pytest.param(0.0, 9.9, True, id="just too cold"),
        pytest.param(0.0, 10.0, False, id="exactly warm enough"),
        pytest.param(FRESH_S - 1, 8.0, True, id="a reading of three hours"),
        pytest.param(FRESH_S + 1, 8.0, False, id="an older one refuses nothing"),
    ],
)
def test_only_a_fresh_reading_refuses(
    shop: Glueing, ago_s: float, celsius: float, refused: bool
) -> None:
    job = glue_up(shop)
    shop.air(celsius, ago_s=ago_s)
    if refused:
        with pytest.raises(TooCold):
            shop.mark(SPREAD)
    else:
        shop.mark(SPREAD)
    assert (f"{job}/{SPREAD}" in shop.bench.shop.jobs[job].done) is not refused


def test_after_a_cold_night_glue_and_wood_are_asked_about(shop: Glueing) -> None:
    glue_up(shop)
    shop.air(6.0, ago_s=5 * H)
    shop.air(17.0)
    (said,) = cautions(shop)
    assert said.startswith("Are the glue and the wood above 10 °C yet? The shop was down to 6 °C")
    shop.mark(SPREAD)


def test_the_files_own_lowest_temperature_counts_for_any_step(shop: Glueing) -> None:
    shop.start('[[steps]]\nid = "glaze"\ndo = "Lay the glaze on."\ncoldest = "18 °C"\n')
    shop.air(16.0)
    with pytest.raises(TooCold, match="below 18 °C"):
        shop.mark("A/all/glaze#1")


def test_an_epoxy_at_13_degrees_takes_longer_with_a_range_beside_the_label(shop: Glueing) -> None:
    shop.joint("epoxy")
    shop.air(13.0)
    shop.mark("A/all/fit#1")
    (said, *_) = cautions(shop)
    assert said.startswith("Cold at 13 °C, below 15 °C: it cures much later")
    for tail in ("all/all/mix#1", "A/all/spread#1", CLOSE, CLAMP):
        shop.mark(tail)
    edge = shop.window("clamp time").opens
    assert edge is not None
    assert edge.label_at < edge.earliest < edge.middle < edge.latest == edge.at
    text = edge_text(edge, clock_of(shop.bench))
    assert "by rule of thumb; in this air about" in text
    assert any(
        text in row for row in moved_edges([shop.window("clamp time")], clock_of(shop.bench))
    )


@pytest.mark.parametrize("celsius", [None, 18.0], ids=["no reading", "a reading"])
def test_a_contact_adhesive_is_joined_by_the_touch_test(
    shop: Glueing, celsius: float | None
) -> None:
    shop.joint("contact")
    if celsius is not None:
        shop.air(celsius)
    shop.mark("A/all/fit#1")
    shop.mark("A/all/coat-both#1")
    shown = moved_edges(shop.bench.agenda().windows, clock_of(shop.bench))
    assert shown[0].endswith("; a touch test decides")
    shop.clock.tick(25 * MIN)
    said = cautions(shop)
    assert said[-1] == (
        "A touch test decides, not the clock: ready to join when it feels dry to a knuckle."
    )


def test_a_clock_straight_from_a_material_says_it_too(shop: Glueing) -> None:
    shop.air(8.0)
    glue = start_clock(shop.bench, find_material(shop.bench, "yellow wood glue"), "spread")
    assert "Too cold at 8 °C" in glue
    adhesive = start_clock(shop.bench, find_material(shop.bench, "contact adhesive"), "coated")
    assert "A touch test decides, not the clock." in adhesive
    assert "spoiled" not in adhesive


def test_a_clock_in_warm_air_says_nothing_of_it(shop: Glueing) -> None:
    shop.air(20.0)
    said = start_clock(shop.bench, find_material(shop.bench, "yellow wood glue"), "spread")
    assert said.endswith("running.")


def window_of(family: str, lowest_c: float | None) -> Window:
    rule = Rule(family=family, lowest_c=lowest_c)  # type: ignore[arg-type]
    return Window(name="w", address="j/A/all/s#1:w", label="w", opens_s=H, rule=rule)


@pytest.mark.parametrize(
    ("family", "celsius", "kind"),
    [
        ("waterborne", 8.0, "spoils"),
        ("arrhenius", 8.0, "late"),
        ("evaporation", 8.0, "late"),
        ("moisture cure", 8.0, "late"),
        ("constant", 8.0, None),
        ("waterborne", 12.0, None),
        ("arrhenius", 12.0, None),
    ],
)
def test_what_cold_does_depends_on_the_family(
    family: str, celsius: float, kind: str | None
) -> None:
    around = Around(Timeline(), {SHOP: AirLog([Reading(0.0, celsius)])})
    found = cold([window_of(family, 10.0)], None, around, 60.0)
    assert (found.kind if found else None) == kind


def test_cold_after_the_joint_has_set_spoils_nothing_any_more(shop: Glueing) -> None:
    glue_up(shop)
    shop.air(20.0)
    for tail in (SPREAD, CLOSE, CLAMP):
        shop.mark(tail)
    shop.clock.tick(2 * H)
    shop.air(20.0)
    shop.clock.tick(H)
    shop.air(5.0)
    view = shop.window("clamp time")
    assert view.state == "open"
    assert view.spoiled_at is None


def test_cold_before_it_has_set_spoils_it_and_is_said_once(shop: Glueing) -> None:
    glue_up(shop)
    shop.air(14.0)
    for tail in (SPREAD, CLOSE, CLAMP):
        shop.mark(tail)
    shop.clock.tick(10 * MIN)
    said = [s for s in shop.air(8.0) if s.startswith("Too cold")]
    assert said == [
        "Too cold: below 10 °C don't trust such a joint or film; see the maker's data"
        " sheet (A, clamp time)."
    ]
    assert not [s for s in shop.air(8.5) if s.startswith("Too cold")]


def test_what_was_done_earlier_is_judged_by_the_air_of_then(shop: Glueing) -> None:
    job = glue_up(shop)
    shop.clock.tick(H)
    shop.air(18.0, ago_s=50 * MIN)
    shop.air(8.0)
    at = shop.bench.now().shifted(-30 * MIN)
    shop.bench.do(job, cmd.MarkDone(address=f"{job}/{SPREAD}", at=at))
    assert f"{job}/{SPREAD}" in shop.bench.shop.jobs[job].done
