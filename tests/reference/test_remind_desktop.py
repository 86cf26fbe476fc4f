"""Desktop notifications over a real session bus, with a small service of the tests at its end.

Outside check: the message bus (dbus-daemon, started by dbus-run-session) and what arrives there.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.needs import needs
from tests.reference.session_bus import DAEMON, in_session


@pytest.fixture
def told(tmp_path: Path) -> Path:
    return tmp_path / "told"


@needs("dbus-run-session")
def test_a_reminder_arrives_on_the_desktop(told: Path) -> None:
    result, calls = in_session(
        """
        channel = DesktopChannel(on_heard=print)
        found = channel.available()
        outcomes = [channel.send(closing), channel.send(opens)]
        print(json.dumps([found.ok, [o.ok for o in outcomes]]))
        """,
        told,
    )
    assert result == [True, [True, True]]
    first, second = calls
    assert first["app"] == "benchmate"
    assert first["summary"] == "Last call: bookend B, mix 2, pot life"
    assert first["body"].startswith("Until 12:40 (8 min): bookend B, mix 2, pot life")
    assert "Heard" in first["actions"]
    assert (first["urgency"], second["urgency"]) == (2, 1)


@needs("dbus-run-session")
def test_the_button_acknowledges(told: Path) -> None:
    result, _ = in_session(
        """
        heard = []
        channel = DesktopChannel(on_heard=lambda r: heard.append(r.key))
        channel.send(closing)
        give_up = time.monotonic() + 10
        while not heard and time.monotonic() < give_up:
            time.sleep(0.01)
        print(json.dumps(heard))
        """,
        told,
        "press",
    )
    assert result == ["bookend B, mix 2, pot life/closes"]


@needs("dbus-run-session")
def test_a_repeat_takes_the_place_of_what_was_shown_and_can_be_withdrawn(told: Path) -> None:
    _, calls = in_session(
        """
        channel = DesktopChannel()
        channel.send(closing)
        channel.send(closing)
        channel.withdraw(closing.key)
        channel.withdraw(closing.key)
        channel.withdraw("never shown")
        """,
        told,
    )
    assert [(c["call"], c["id"]) for c in calls] == [
        ("Notify", 1),
        ("CloseNotification", 1),
        ("Notify", 2),
        ("CloseNotification", 2),
    ]


@needs("dbus-run-session")
def test_a_desktop_that_refuses_is_a_failure(told: Path) -> None:
    result, _ = in_session(
        """
        outcome = DesktopChannel().send(closing)
        print(json.dumps([outcome.ok, outcome.note]))
        """,
        told,
        "refuse",
    )
    assert result == [False, "the desktop did not take it"]


@needs("dbus-run-session")
def test_a_desktop_that_hangs_is_given_up(told: Path) -> None:
    result, _ = in_session(
        """
        outcome = DesktopChannel(timeout_s=1.0).send(closing)
        print(json.dumps([outcome.ok, outcome.note]))
        """,
        told,
        "hang",
    )
    assert result == [False, "the desktop did not answer"]


@needs("dbus-run-session")
def test_a_desktop_that_was_restarted_is_found_again(told: Path) -> None:
    result, calls = in_session(
        f"""
        channel = DesktopChannel(timeout_s=3.0)
        first = channel.send(closing).ok
        daemon.terminate()
        daemon.wait()
        lost = channel.send(opens).ok
        pathlib.Path({str(told)!r}).unlink()
        daemon = subprocess.Popen([sys.executable, {str(DAEMON)!r}, {str(told)!r}])
        while not pathlib.Path({str(told)!r}).exists():
            time.sleep(0.01)
        print(json.dumps([first, lost, channel.send(opens).ok]))
        """,
        told,
    )
    assert result == [True, False, True]
    assert len(calls) == 1


@needs("dbus-run-session")
def test_the_desktops_power_manager_keeps_the_machine_awake_and_lets_it_go(told: Path) -> None:
    result, calls = in_session(
        """
        from benchmate.remind.awake import KeepAwake
        from benchmate.remind.rules.staying_awake import Wish
        keeper = KeepAwake()
        said = []
        for wanted in (True, False):
            keeper.want(Wish(wanted, "Kept awake." if wanted else "It may sleep."))
            give_up = time.monotonic() + 10
            while keeper.awake is not wanted and time.monotonic() < give_up:
                time.sleep(0.01)
            said.append(keeper.sentence)
        keeper.close()
        print(json.dumps(said))
        """,
        told,
    )
    assert "Kept awake" in result[0]
    assert "org.freedesktop.PowerManagement" in result[0]
    assert "may sleep" in result[1]
    assert [c["call"] for c in calls] == ["Inhibit", "UnInhibit"]
    assert calls[1]["cookie"] == 77
