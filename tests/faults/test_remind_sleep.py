"""A machine that slept, a clock that was moved: what was missed comes first, no edge moves."""

from __future__ import annotations

import os
import signal
import time
from dataclasses import replace
from pathlib import Path

import pytest
from whenever import ZonedDateTime

from benchmate.remind.minding import Minder
from benchmate.remind.rules.edges import EdgeAhead, Now
from benchmate.remind.rules.settings import RemindSettings
from benchmate.remind.rules.stages import stage_times
from tests.faults.test_remind_kills import child, ended, heard, wait_until_all_are_heard
from tests.remind_help import (
    HOUR,
    MIN,
    NOON_S,
    FakeChannel,
    InStepSender,
    MemoryLog,
    after,
    edge,
    now_at,
)

CURE = edge("full", 600, "nothing", label="bookend A, cure")
CLAMPS = edge("opens", 41, "nothing", label="lamp foot, clamps")
COAT = edge("closes", 300, "extra work: scuff first", begun_min=-900, label="coat 2", hands_min=20)
MIX = edge()


@pytest.mark.skipif(os.name != "posix", reason="this machine lacks SIGSTOP")
def test_a_process_stopped_and_continued_says_everything_once(tmp_path: Path) -> None:
    count = 12
    with ended(child(tmp_path, count, time.time() + 0.6, 0.2)) as process:
        wait_until_all_are_heard(tmp_path, 3)
        process.send_signal(signal.SIGSTOP)
        time.sleep(1.0)
        process.send_signal(signal.SIGCONT)
        wait_until_all_are_heard(tmp_path, count)
        time.sleep(0.3)
    found = heard(tmp_path)
    assert len(found) == count
    assert not any(one.again for one in found)


def slept(hours: float) -> tuple[list[str], list[str]]:
    """What a minder says that fell asleep at noon: all it gives, and what it shows first."""
    now = [after(0)]
    sound = FakeChannel("sound")
    minder = Minder(
        edges=lambda: [CURE, CLAMPS, COAT, MIX],
        now=lambda: now[0],
        log=MemoryLog(),
        sender=InStepSender(sound),
        settings=lambda: RemindSettings(quiet=None),
    )
    minder.tick()
    now[0] = now_at(NOON_S + hours * HOUR)
    first = minder.tick()
    while minder.tick().given:
        pass
    return [r.text for r in sound.given], [r.edge.label for r in first.showing]


def test_after_a_long_sleep_what_was_spoiled_comes_first_with_by_how_much_and_what_it_means() -> (
    None
):
    said, shown = slept(11)
    assert said == [
        "12:40 (10 h 20 ago): bookend B, mix 2, pot life: missed; it spoils the mix.",
        "17:00 (6 h ago): coat 2: missed; that means extra work: scuff first.",
        "Since 22:00 (1 h): bookend A, cure: at full strength.",
        "Since 12:41 (10 h 19): lamp foot, clamps: open now.",
    ]
    assert shown[0] == "bookend B, mix 2, pot life"
    assert shown[1] == "coat 2"


def test_a_short_sleep_says_only_what_passed() -> None:
    said, _ = slept(1)
    assert said == [
        "12:40 (20 min ago): bookend B, mix 2, pot life: missed; it spoils the mix.",
        "Since 12:41 (19 min): lamp foot, clamps: open now.",
    ]


def wall_moved(now: Now, hours: float) -> Now:
    """The same moment on the time line, on a wall clock that somebody moved."""
    return replace(now, wall=now.wall.add(seconds=hours * HOUR))


@pytest.mark.parametrize("hours", [-24 * 365, -3, -1, 1, 3, 24 * 365])
@pytest.mark.parametrize("one", [CURE, CLAMPS, MIX], ids=lambda e: e.label)
def test_moving_the_wall_clock_moves_no_edge(one: EdgeAhead, hours: float) -> None:
    plain = stage_times(one, RemindSettings(), after(0), None)
    assert stage_times(one, RemindSettings(), wall_moved(after(0), hours), None) == plain


@pytest.mark.parametrize("hours", [-12, -2, 2, 12])
def test_moving_the_wall_clock_repeats_and_loses_nothing(hours: float) -> None:
    """Said at noon, the clock moved at half past, back again at one: each stage comes once."""
    now = [after(0)]
    sound = FakeChannel("sound")
    edges = [CLAMPS, replace(CLAMPS, key="other", label="other clamps", at_s=NOON_S + 55 * MIN)]
    minder = Minder(
        lambda: edges,
        lambda: now[0],
        MemoryLog(),
        InStepSender(sound),
        lambda: RemindSettings(quiet=None),
    )
    for minute in range(0, 120, 1):
        moved = 30 <= minute < 60
        now[0] = wall_moved(after(minute), hours) if moved else after(minute)
        minder.tick()
    assert [r.edge.label for r in sound.given] == ["lamp foot, clamps", "other clamps"]


@pytest.mark.parametrize(
    ("evening", "elapsed_h"),
    [
        pytest.param(ZonedDateTime(2026, 3, 28, 17, 0, tz="Europe/London"), 24, id="D-9"),
        pytest.param(ZonedDateTime(2026, 10, 24, 17, 0, tz="Europe/London"), 24, id="D-10"),
        pytest.param(ZonedDateTime(2026, 3, 7, 20, 0, tz="America/New_York"), 72, id="D-11"),
        pytest.param(ZonedDateTime(2026, 4, 4, 17, 0, tz="Australia/Lord_Howe"), 24, id="half"),
    ],
)
def test_a_cure_over_the_change_of_the_clocks_is_full_after_its_hours_not_its_days(
    evening: ZonedDateTime, elapsed_h: int
) -> None:
    """The wall times are reference cases D-9 to D-11 (IANA database, standard library zoneinfo)."""
    wall = {
        "2026-03-28": "2026-03-29T18:00:00+01:00",
        "2026-10-24": "2026-10-25T16:00:00+00:00",
        "2026-03-07": "2026-03-10T21:00:00-04:00",
        "2026-04-04": "2026-04-05T16:30:00+10:30",
    }[str(evening.date())]
    start_s = float(evening.timestamp())
    cure = replace(CURE, at_s=start_s + elapsed_h * HOUR, begun_s=start_s)
    now = [Now(start_s, evening)]
    sound = FakeChannel("sound")
    minder = Minder(lambda: [cure], lambda: now[0], MemoryLog(), InStepSender(sound))
    minder.tick()
    wake_s = minder.tick().wake_s
    assert wake_s is not None
    shown = now[0].wall_at(wake_s)
    assert shown.to_fixed_offset().format_iso() == wall
    now[0] = Now(wake_s, shown)
    minder.tick()
    assert len(sound.given) == 1
