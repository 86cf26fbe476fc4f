"""Cold that spoils a joint: shouted of before it comes, where it can be foreseen, told after."""

from __future__ import annotations

from pathlib import Path

import pytest
from whenever import Time

from benchmate.air.log import AirLog
from benchmate.air.readings import Reading
from benchmate.bench.reminding.away import missed_while_away
from benchmate.bench.reminding.edges import ahead
from benchmate.bench.reminding.minding import minder_of
from benchmate.bench.reminding.reminding import calendar_entries, edges_now, standing
from benchmate.job.windows.cold_ahead import AHEAD_S, falls_below_s
from benchmate.remind.minding import Minder
from benchmate.remind.rules.edges import Reminder, Stage
from benchmate.remind.rules.quiet import QuietHours
from benchmate.remind.rules.settings import RemindSettings
from benchmate.settings import Reminding, Settings
from tests.remind_help import FakeChannel, InStepSender, due, edge, now_at
from tests.unit.airing_help import MIN, Glueing, H

DRY, SPREAD, CLOSE, CLAMP = (f"A/all/{name}#1" for name in ("dry-run", "spread", "close", "clamp"))


def log(*readings: tuple[float, float]) -> AirLog:
    """Readings as hours and °C."""
    return AirLog(Reading(hours * H, celsius) for hours, celsius in readings)


@pytest.mark.parametrize(
    ("readings", "now_h", "expected_h"),
    [
        ([(0, 16), (1, 14), (2, 12)], 2.0, 3.0),
        ([(0, 16), (2, 12)], 2.5, 3.0),
        ([(0, 18), (1.5, 18), (2, 14)], 2.0, 2.5),
        ([(0, 13), (1, 11)], 2.0, 1.5),
        ([(0, 20), (1, 18)], 1.0, None),
        ([(0, 12), (1, 12), (2, 12)], 2.0, None),
        ([(0, 10), (1, 12)], 1.0, None),
        ([(0, 11.9), (1, 11)], 1.0, None),
        ([(0, 14), (0.1, 11)], 0.1, None),
        ([(0, 14), (1, 9)], 1.0, None),
        ([(0, 14), (1, 11)], 5.0, None),
        ([(0, 14)], 0.5, None),
        ([], 1.0, None),
    ],
    ids=[
        "falls evenly",
        "two readings",
        "the steepest of late counts",
        "may be so by now",
        "too far ahead",
        "steady",
        "rises",
        "a wobble",
        "a door",
        "it is so cold already",
        "too old to go by",
        "one reading",
        "none",
    ],
)
def test_a_straight_line_through_the_last_hours_foretells(
    readings: list[tuple[float, float]], now_h: float, expected_h: float | None
) -> None:
    found = falls_below_s(log(*readings), 10.0, now_h * H)
    assert found == (None if expected_h is None else pytest.approx(expected_h * H))


def test_a_doubtful_reading_foretells_nothing() -> None:
    doubtful = AirLog([Reading(0.0, 16.0), Reading(H, 11.0, is_doubtful=True)])
    assert falls_below_s(doubtful, 10.0, H) is None


@pytest.fixture
def shop(tmp_path: Path) -> Glueing:
    """A glued joint in its clamps, a minute ago, at 16 °C."""
    made = Glueing(tmp_path)
    made.joint("glue")
    made.air(16.0)
    for act in (DRY, SPREAD, CLOSE, CLAMP):
        made.mark(act)
    made.clock.tick(MIN)
    return made


def minder(shop: Glueing) -> tuple[Minder, FakeChannel]:
    channel = FakeChannel("sound")
    return minder_of(shop.bench, InStepSender(channel, FakeChannel("terminal"))), channel


def cold_ones(shop: Glueing) -> list[Reminder]:
    return [r for r in standing(shop.bench) if r.edge.edge in ("chills", "chilled")]


def test_air_that_falls_is_shouted_of_before_the_joint_has_set_and_told_plainly_after(
    shop: Glueing,
) -> None:
    reminding, horn = minder(shop)
    reminding.tick()
    shop.clock.tick(24 * MIN)
    shop.air(12.0)
    reminding.tick()
    (before,) = horn.given
    assert before.text == (
        f"By 09:37 (12 min): {before.edge.label}: the shop is cooling; it may drop below 10 °C. "
        "Warm it now: below that it is ruined, not just slow."
    )
    assert (before.urgent, before.insistence, before.stage) == (True, "until heard", Stage.CLOSING)
    assert before.title == f"Warm it: {before.edge.label}"
    shop.clock.tick(5 * MIN)
    shop.air(9.0)
    reminding.tick()
    after = horn.given[-1]
    assert "below 10 °C. It can't be trusted. Don't rely on it" in after.text
    assert (after.urgent, after.insistence, after.stage) == (False, "again", Stage.MISSED)
    assert [r.edge.edge for r in cold_ones(shop)] == ["chilled"]


def test_one_that_has_set_by_then_bears_the_cold(shop: Glueing) -> None:
    shop.clock.tick(5 * H)
    shop.air(16.0)
    shop.clock.tick(25 * MIN)
    shop.air(11.0)
    assert cold_ones(shop) == []
    shop.clock.tick(25 * MIN)
    shop.air(5.0)
    assert cold_ones(shop) == []


def test_air_that_rises_again_takes_the_warning_off(shop: Glueing) -> None:
    shop.clock.tick(25 * MIN)
    shop.air(11.5)
    assert [r.edge.edge for r in cold_ones(shop)] == ["chills"]
    shop.clock.tick(10 * MIN)
    shop.air(17.0)
    assert cold_ones(shop) == []


def test_an_epoxy_joint_is_late_and_not_spoiled(tmp_path: Path) -> None:
    made = Glueing(tmp_path)
    made.joint("epoxy")
    made.air(18.0)
    for act in ("A/all/fit#1", "all/all/mix#1", SPREAD, CLOSE, CLAMP):
        made.mark(act)
    assert any(v.window.rule.lowest_c == 15.0 for v in made.bench.agenda().windows)
    made.clock.tick(25 * MIN)
    made.air(12.0)
    assert cold_ones(made) == []


def test_inch_shops_hear_of_it_in_their_own_degrees(tmp_path: Path) -> None:
    made = Glueing(tmp_path)
    made.settings = Settings(units="inch")
    made.again()
    made.joint("glue")
    made.air(16.0)
    for act in (DRY, SPREAD, CLOSE, CLAMP):
        made.mark(act)
    made.clock.tick(25 * MIN)
    made.air(12.0)
    assert "below 50 °F" in cold_ones(made)[0].text


def test_the_warning_breaks_the_quiet_and_the_news_of_a_loss_waits_for_the_morning() -> None:
    night = RemindSettings(quiet=QuietHours(Time(22, 0), Time(7, 0)))
    at = now_at(1_795_730_400.0)  # 22:00 in London
    foreseen = edge("chills", consequence="spoils", words="10 °C")
    lost = edge("chilled", consequence="extra work", words="10 °C")

    def there(of: object) -> list[Reminder]:
        return due([of], [], night, at)  # type: ignore[list-item]

    from dataclasses import replace

    assert there(replace(foreseen, at_s=at.now_s + AHEAD_S / 2, begun_s=at.now_s - H))
    assert not there(replace(lost, at_s=at.now_s - MIN, begun_s=at.now_s - H))
    morning = now_at(at.now_s + 9.5 * H)
    assert due([replace(lost, at_s=at.now_s - MIN, begun_s=at.now_s - H)], [], night, morning)


def test_a_machine_that_slept_says_among_the_first_what_the_cold_spoiled(shop: Glueing) -> None:
    asleep_s = shop.bench.now_s()
    shop.clock.tick(40 * MIN)
    shop.air(8.0, ago_s=20 * MIN)
    found = missed_while_away(shop.bench, asleep_s)
    (told,) = [p for p in found if p.edge.edge == "chilled"]
    assert told.is_missed
    assert "below 10 °C. It can't be trusted." in told.text
    assert found[0] is told


def test_foreseen_cold_is_no_date_for_a_calendar(shop: Glueing) -> None:
    shop.clock.tick(25 * MIN)
    shop.air(12.0)
    assert "chills" in {e.edge for e in edges_now(shop.bench)}
    assert "chills" not in {e.edge for e in ahead(edges_now(shop.bench), shop.bench.now_s())}
    assert not [e for e in calendar_entries(shop.bench) if "10 °C" in e.summary]


def test_an_edge_that_is_put_off_again_is_taken_back_and_said_anew(tmp_path: Path) -> None:
    """Clamps that may come off, and by a newer reading may not yet."""
    made = Glueing(tmp_path)
    made.settings = Settings(reminders=Reminding(quiet=""))
    made.again()
    made.joint("epoxy")
    made.air(22.0)
    for act in ("A/all/fit#1", "all/all/mix#1", SPREAD, CLOSE, CLAMP):
        made.mark(act)
    reminding, _ = minder(made)
    screen = reminding._sender.channels["terminal"]  # type: ignore[attr-defined]
    opens = made.window("clamp time").opens
    assert opens is not None
    made.clock.tick(opens.at - made.bench.now_s() + 1)
    reminding.tick()
    assert [r.stage for r in screen.given] == [Stage.OPENS]
    reminding.tick()  # what became of the call is noted
    made.clock.tick(MIN)
    made.air(15.0, ago_s=H)
    reminding.tick()
    assert ": not yet after all: " in screen.given[-1].text
    later = made.window("clamp time").opens
    assert later is not None
    made.clock.tick(later.at - made.bench.now_s() + 1)
    reminding.tick()
    assert [r.stage for r in screen.given] == [Stage.OPENS, Stage.SOON, Stage.OPENS]
