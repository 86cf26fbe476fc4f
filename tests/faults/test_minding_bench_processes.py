"""Real benches and `mind`s, killed, stopped and asked to end: one word, and nothing lost.

A few rounds here; many with BENCHMATE_CAMPAIGN=full, which also tells how long it took until
another process had the word.
"""

from __future__ import annotations

import os
import re
import signal
import time
from contextlib import ExitStack
from pathlib import Path

import pytest

if os.name != "posix":
    pytest.skip("this machine lacks SIGKILL and terminals", allow_module_level=True)

from benchmate.bench.reminding.reminding import hush, standing
from benchmate.remind.voice import OneVoice
from benchmate.settings import find_folders
from tests.faults.campaign import IS_FULL, scaled, tell
from tests.faults.minding_processes import (
    Process,
    Said,
    begin,
    bench_in_terminal,
    holder,
    mind,
    said,
    set_up,
    start_windows,
    wait_for,
    with_bench,
)
from tests.faults.test_remind_message import service, status
from tests.hand_made import in_state

KILLS = scaled(2, 200)
REPEAT_S = 300
"""What means extra work is said again after five minutes, unless it is answered."""
BANNER = "): w 0, or that means"


def heard_once(calls: list[Said], wanted: set[tuple[str, str]]) -> None:
    """Nothing lost, and nothing twice that isn't marked so or the rules' own repeat."""
    assert {one[:2] for one in calls} >= wanted
    first: dict[tuple[str, str], int] = {}
    for one in calls:
        name = one[:2]
        if not one.again:
            assert name not in first or one.at_s - first[name] >= REPEAT_S - 1, one
            first[name] = one.at_s


@pytest.mark.timeout(3600 if IS_FULL else 300)
def test_when_the_holder_is_killed_another_takes_over_and_says_all(tmp_path: Path) -> None:
    """Benches and minds by turns: the one that has the word is killed while windows close."""
    home = tmp_path / "home"
    calls = set_up(home)
    start_windows(home, 2 * KILLS + 2)
    takes: list[float] = []
    with ExitStack() as stack:
        current = stack.enter_context(mind(home))
        wait_for(lambda: holder(home) == current.pid)
        for n in range(KILLS):
            make = bench_in_terminal if n % 2 == 0 else mind
            after = stack.enter_context(make(home))
            wait_until_open(home, after)
            begin(home, 2 * n)
            wait_for(lambda n=n: (f"w {2 * n}", "closing") in names(calls))
            begin(home, 2 * n + 1)
            killed_s = time.monotonic()
            current.end(signal.SIGKILL)
            wait_for(lambda after=after: holder(home) == after.pid, lambda: "nobody took the word")
            takes.append(time.monotonic() - killed_s)
            current = after
        wanted = {(f"w {n}", s) for n in range(2 * KILLS) for s in ("closing", "missed")}
        wait_for(lambda: names(calls) >= wanted, lambda: "a reminder was lost")
        assert current.end(signal.SIGTERM) == 0
    heard_once(said(calls), wanted)
    if IS_FULL:
        takes.sort()
        again = sum(one.again for one in said(calls))
        tell(
            f"{KILLS} kills; the word passed on after {takes[len(takes) // 2]:.2f} s (median), "
            f"{takes[-1]:.2f} s at most; {again} marked again"
        )


def names(calls: Path) -> set[tuple[str, str]]:
    return {one[:2] for one in said(calls)}


def wait_until_open(home: Path, process: Process) -> None:
    """Until a second process has drawn its screen, or said that it waits for the word."""
    ready = ("Reminders are already running", "\x1b[?1049h")
    wait_for(lambda: any(word in process.text for word in ready), lambda: process.text[-4000:])


def test_only_one_of_three_speaks_and_an_answer_at_a_bench_quiets_all(tmp_path: Path) -> None:
    home = tmp_path / "home"
    calls = set_up(home)
    start_windows(home, 1, length_s=600.0)
    with mind(home) as first:
        wait_for(lambda: holder(home) == first.pid)
        with bench_in_terminal(home) as bench, bench_in_terminal(home) as other:
            wait_until_open(home, bench)
            wait_until_open(home, other)
            # The last call of ten minutes comes a minute before the end.
            begin_ago(home, 0, 545.0)
            wait_for(lambda: names(calls) == {("w 0", "closing")})
            wait_for(lambda: BANNER in bench.text and BANNER in other.text)
            bench.press("k")
            wait_for(lambda: standing_here(home) == 0)
            assert other.end(signal.SIGTERM) == 0
            assert bench.end(signal.SIGTERM) == 0
        assert first.end(signal.SIGTERM) == 0
    assert [one.pid for one in said(calls)] == [first.pid]


def test_a_holder_that_nobody_hears_doesnt_mute_the_open_benches_and_one_of_them_rings(
    tmp_path: Path,
) -> None:
    home = tmp_path / "home"
    set_up(home)
    text = '[reminders]\nchannels = ["command"]\nquiet = ""\ncommand = ["/bin/false"]\n'
    (home / "settings.toml").write_text(text)
    start_windows(home, 1, length_s=600.0)
    with mind(home) as first:
        wait_for(lambda: holder(home) == first.pid)
        with bench_in_terminal(home) as bench, bench_in_terminal(home) as other:
            wait_until_open(home, bench)
            wait_until_open(home, other)
            rung = bells(bench) + bells(other)
            begin_ago(home, 0, 545.0)
            wait_for(lambda: bells(bench) + bells(other) > rung)
            wait_for(lambda: "has can be heard" in bench.text + other.text)
            time.sleep(1.0)
            assert bells(bench) + bells(other) == rung + 1
            assert other.end(signal.SIGTERM) == 0
            assert bench.end(signal.SIGTERM) == 0
        assert first.end(signal.SIGTERM) == 0


def bells(bench: Process) -> int:
    """How often a terminal rang; the same sign also ends a title."""
    return len(re.sub(r"\x1b\][^\x07]*\x07", "", bench.text).split("\x07")) - 1


def test_who_closes_the_bench_has_what_comes_on_the_phone_once(tmp_path: Path) -> None:
    home = tmp_path / "home"
    set_up(home)
    start_windows(home, 1, length_s=7200.0)
    begin(home, 0)
    with service(status(200)) as push:
        text = f'[reminders]\nchannels = ["message"]\naddresses = ["{push.address}"]\n'
        (home / "settings.toml").write_text(text)
        for key in ("", "e", ""):
            with bench_in_terminal(home) as bench:
                wait_for(lambda one=bench: holder(home) == one.pid)  # type: ignore[misc]
                wait_until_open(home, bench)
                bench.press(key)
                time.sleep(0.5)
                bench.press("\x11")
                assert bench.process.wait(30.0) == 0
        (told,) = push.taken
    assert told["title"] == "While you are away"
    assert "pour: w, too late after that: do it now" in told["message"]


def begin_ago(home: Path, n: int, seconds: float) -> None:
    from benchmate.job.deciding import commands as cmd

    with_bench(
        home,
        lambda b: b.do(
            "w", cmd.MarkDone(address=f"w/all/all/mix#{n}", at=b.now().shifted(-seconds))
        ),
    )


def standing_here(home: Path) -> int:
    count = [0]
    with_bench(home, lambda b: count.__setitem__(0, len(standing(b))))
    return count[0]


def test_a_mind_that_was_stopped_and_goes_on_says_first_what_it_missed(tmp_path: Path) -> None:
    """SIGSTOP stands in for a sleeping machine: the boot clock goes on, the process doesn't."""
    home = tmp_path / "home"
    calls = set_up(home)
    start_windows(home, 3, length_s=2.0)
    with mind(home, away_s=1.6) as process:
        wait_for(lambda: holder(home) == process.pid)
        begin(home, 0, 1, 2)
        wait_for(lambda: len(names(calls)) == 3)
        before = len(process.text)
        process.process.send_signal(signal.SIGSTOP)
        time.sleep(2.5)
        process.process.send_signal(signal.SIGCONT)
        wanted = {(f"w {n}", s) for n in range(3) for s in ("closing", "missed")}
        wait_for(lambda: names(calls) == wanted)
        wait_for(lambda: "This machine slept for" in process.text[before:])
        wait_for(lambda: process.text[before:].count(": w ") >= 3)
        assert process.end(signal.SIGTERM) == 0
        told = process.text[before:]
    heard_once(said(calls), wanted)
    assert not [one for one in said(calls) if one.again]
    assert len(said(calls)) == 6
    listed = told[told.index("While you were away (since") :].splitlines()[1:]
    listed = [line for line in listed if "): w " in line][:6]
    assert {line.partition("): ")[2][:4] for line in listed} == {"w 0:", "w 1:", "w 2:"}
    assert any("extra work" in line for line in listed), listed


def test_a_mind_that_is_stopped_is_stood_in_for_and_says_nothing_twice_when_it_goes_on(
    tmp_path: Path,
) -> None:
    home = tmp_path / "home"
    calls = set_up(home)
    start_windows(home, 2)
    with mind(home) as first:
        wait_for(lambda: holder(home) == first.pid)
        first.process.send_signal(signal.SIGSTOP)
        with mind(home, silent_s=4.0) as second:
            begin(home, 0)
            wait_for(lambda: ("w 0", "missed") in names(calls), lambda: second.text)
            wait_for(lambda: not under_way(home))
            silence = f"Process {first.pid} has the word but has not stirred"
            wait_for(lambda: silence in second.text, lambda: second.text)
            assert {one.pid for one in said(calls)} == {second.pid}
            first.process.send_signal(signal.SIGCONT)
            stepped_back = "Reminders are already running"
            wait_for(
                lambda: second.text.rpartition("This process gives the reminders.")[2].count(
                    stepped_back
                )
            )
            begin(home, 1)
            wait_for(lambda: ("w 1", "missed") in names(calls))
            assert {one.pid for one in said(calls) if one.label == "w 1"} == {first.pid}
            assert second.end(signal.SIGTERM) == 0
        assert first.end(signal.SIGTERM) == 0
    # What closes before the silence is noticed is told as missed, once.
    heard_once(said(calls), {("w 0", "missed"), ("w 1", "closing"), ("w 1", "missed")})
    assert not [one for one in said(calls) if one.again]


def test_a_bench_whose_window_is_closed_gives_the_word_away_and_the_terminal_back(
    tmp_path: Path,
) -> None:
    home = tmp_path / "home"
    set_up(home)
    start_windows(home, 1, length_s=600.0)
    with bench_in_terminal(home) as bench:
        wait_for(lambda: holder(home) == bench.pid)
        begin_ago(home, 0, 545.0)
        wait_for(lambda: BANNER in bench.text, lambda: bench.text[-4000:])
        assert bench.end(signal.SIGHUP) == 0
    assert "\x1b[?1049l" in bench.text
    assert "\x1b[22;2t" in bench.text
    assert "\x1b]2;Pour: w" in bench.text
    assert "\x1b[23;2t" in bench.text
    assert OneVoice(find_folders(home).data / "voice.lock").take()


def test_what_was_answered_by_one_process_is_not_asked_by_the_next(tmp_path: Path) -> None:
    home = tmp_path / "home"
    calls = set_up(home)
    start_windows(home, 1, length_s=600.0)
    begin_ago(home, 0, 545.0)
    with mind(home) as first:
        wait_for(lambda: len(said(calls)) == 1)
        wait_for(lambda: not under_way(home))
        first.end(signal.SIGKILL)
    with_bench(home, lambda b: hush(b, "command"))
    with mind(home) as second:
        wait_for(lambda: holder(home) == second.pid)
        wait_for(lambda: "This process gives the reminders." in second.text)
        assert second.end(signal.SIGTERM) == 0
    assert len(said(calls)) == 1


def under_way(home: Path) -> bool:
    found: list[bool] = []
    with_bench(home, lambda b: found.append(bool(in_state(b.journal.deliveries, "about to"))))
    return found[0]
