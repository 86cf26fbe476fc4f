"""The machine is kept awake by whatever can, is let go again, and it is said where nothing can."""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path

import pytest

from benchmate.remind.awake import KeepAwake, SystemdHolder, WakepyHolder
from benchmate.remind.rules.edges import EdgeAhead
from benchmate.remind.rules.staying_awake import MAY_SLEEP, Wish, awake_for
from tests.remind_help import after, edge

PATIENCE_S = 10.0


class FakeHolder:
    def __init__(self, means: str | None) -> None:
        self.means = means
        self.log: list[str] = []

    def start(self) -> str | None:
        self.log.append("start")
        return self.means

    def stop(self) -> None:
        self.log.append("stop")


class Raising(FakeHolder):
    def start(self) -> str | None:
        raise RuntimeError("no bus")


AWAKE = Wish(True, "Kept awake for lamp A, clamp time (20:33).")


def until(true: Callable[[], bool]) -> None:
    give_up = time.monotonic() + PATIENCE_S
    while not true():
        assert time.monotonic() < give_up
        time.sleep(0.005)


def test_kept_awake_while_wanted_and_let_go_after() -> None:
    holder = FakeHolder("a test")
    keeper = KeepAwake((holder,))
    assert not keeper.awake
    for _ in range(3):
        keeper.want(AWAKE)
    until(lambda: keeper.awake)
    assert "Kept awake" in keeper.sentence
    assert "(by a test)" in keeper.sentence
    keeper.want(MAY_SLEEP)
    until(lambda: not keeper.awake)
    assert "may sleep" in keeper.sentence
    assert holder.log == ["start", "stop"]
    keeper.close()


def test_the_next_way_is_tried_where_one_fails() -> None:
    holder = FakeHolder("the second")
    keeper = KeepAwake((Raising("x"), FakeHolder(None), holder))
    keeper.want(AWAKE)
    until(lambda: keeper.awake)
    keeper.close()
    assert holder.log == ["start", "stop"]


def test_where_nothing_can_it_is_said_with_what_to_do() -> None:
    keeper = KeepAwake((FakeHolder(None),))
    keeper.want(AWAKE)
    until(lambda: keeper.impossible)
    assert not keeper.awake
    assert "can't be kept awake" in keeper.sentence
    assert "its settings" in keeper.sentence
    keeper.want(MAY_SLEEP)
    until(lambda: not keeper.impossible)
    keeper.close()


def test_without_a_bus_wakepy_says_no(monkeypatch: pytest.MonkeyPatch) -> None:
    """Also where the library is told to pretend, as its own tests do."""
    monkeypatch.setenv("DBUS_SESSION_BUS_ADDRESS", "unix:path=/no/such/bus")
    monkeypatch.setenv("WAKEPY_FAKE_SUCCESS", "yes")
    holder = WakepyHolder()
    assert holder.start() is None
    holder.stop()


def inhibitor(folder: Path, body: str) -> Callable[[str], str | None]:
    """A stand-in for systemd-inhibit: a script that is run with the same arguments."""
    script = folder / "systemd-inhibit"
    script.write_text(f"#!/bin/sh\n{body}\n")
    script.chmod(0o700)
    return lambda name: str(script) if name == "systemd-inhibit" else "/bin/cat"


def test_systemds_inhibitor_lives_as_long_as_it_is_wanted(tmp_path: Path) -> None:
    told = tmp_path / "told"
    which = inhibitor(tmp_path, f'echo "$@" > {told}; eval "exec \\"\\$$#\\""')
    holder = SystemdHolder("linux", which)
    assert holder.start() == "systemd-inhibit"
    assert "--what=sleep:idle --who=benchmate" in told.read_text()
    holder.stop()
    holder.stop()


def test_an_inhibitor_that_is_not_allowed_is_no_help(tmp_path: Path) -> None:
    assert SystemdHolder("linux", inhibitor(tmp_path, "exit 1")).start() is None


@pytest.mark.parametrize("platform", ["win32", "darwin"])
def test_other_systems_have_no_systemd(platform: str) -> None:
    assert SystemdHolder(platform, lambda name: name).start() is None


def test_a_machine_without_systemd(tmp_path: Path) -> None:
    assert SystemdHolder("linux", lambda name: None).start() is None


HOURS = 60.0


@pytest.mark.parametrize(
    ("one", "on_battery", "awake", "says"),
    [
        pytest.param(edge(), False, True, "Kept awake for bookend B, mix 2, pot life", id="spoils"),
        pytest.param(edge(consequence="extra work"), False, True, "(12:40)", id="extra work"),
        pytest.param(edge(consequence="nothing"), False, False, "may sleep", id="nothing lost"),
        pytest.param(
            edge("opens", 30 * HOURS, "extra work"), False, True, "(Thu 18:00)", id="clamps"
        ),
        pytest.param(edge("opens", consequence="nothing"), False, False, "", id="nobody waits"),
        pytest.param(edge(paused=True), False, False, "may sleep", id="paused"),
        pytest.param(edge(at_min=-1), False, False, "may sleep", id="over"),
        pytest.param(edge(at_min=3.9 * HOURS), True, True, "(15:54)", id="battery, near"),
        pytest.param(
            edge(at_min=4.1 * HOURS), True, False, "save the calendar file", id="battery, far"
        ),
    ],
)
def test_the_machine_stays_awake_for_what_is_waited_for(
    one: EdgeAhead, *, on_battery: bool, awake: bool, says: str
) -> None:
    wish = awake_for([one], after(0), on_battery=on_battery)
    assert wish.awake is awake
    assert says in wish.sentence
