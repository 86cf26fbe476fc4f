"""A scale on a cable, played by an emulator: every form, every fault, the plug pulled.

The bounds of waiting are generous and only end a test that hangs: what counts is what was read.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import pytest

from benchmate.clock import steady_s, wait_s
from benchmate.scales.cable import Cable
from benchmate.scales.reading import Live
from tests.needs import needs
from tests.scale_forms import cable

pytestmark = [
    needs("module:serial", "module:regex"),
    pytest.mark.skipif(sys.platform == "win32", reason="the emulator needs pseudo-terminals"),
]
if sys.platform != "win32":
    from tests.scale_emulator import FORMS, SPOILERS, ScaleEmulator
else:
    FORMS, SPOILERS = {}, ()

LONGEST_S = 20.0
REST_S = 0.4
RATE_HZ = 25.0


def until(what: Callable[[], bool]) -> None:
    end_s = steady_s() + LONGEST_S
    while not what():
        assert steady_s() < end_s, "it never came to that"
        wait_s(0.02)


def rests(heard: Heard, grams: float) -> None:
    """Until it stands still there, and a little longer."""
    until(lambda: heard.steady_at(grams))
    wait_s(REST_S)


class Heard:
    """Reads an emulator and keeps every live value that differs from the last."""

    def __init__(self, it: Cable) -> None:
        from benchmate.scales.serial_reader import SerialReader

        self.all: list[tuple[float, Live]] = []
        self.reader = SerialReader(it, lambda live: self.all.append((steady_s(), live)))

    def __enter__(self) -> Heard:
        self.reader.begin()
        return self

    def __exit__(self, *_: object) -> None:
        self.reader.end()

    @property
    def steady(self) -> list[tuple[float, Live]]:
        return [(at, live) for at, live in self.all if live.state == "steady"]

    def steady_at(self, grams: float) -> bool:
        live = self.reader.look()
        return live.state == "steady" and abs((live.grams or 0.0) - grams) < 0.25


def wrong(heard: Heard, scale: ScaleEmulator) -> tuple[int, int]:
    """Of all steady values: how many the display never showed then, and how many while it moved."""
    never = moved = 0
    for at, live in heard.steady:
        lately = [s for s in scale.sent if live.at_s - 1.0 <= s.at <= at]
        same = [s for s in lately if s.grams is not None and abs(s.grams - live.grams) < 0.06]
        never += not same
        moved += not any(s.stable for s in same)
    return never, moved


@pytest.mark.parametrize(
    ("form", "ask"), [*((form, "") for form in FORMS), ("marks", "W"), ("three", "W")]
)
def test_every_form_with_every_fault_gives_no_wrong_steady_value(form: str, ask: str) -> None:
    demand = ask.encode() or None
    with ScaleEmulator(form, rate_hz=RATE_HZ, demand=demand) as scale:
        set_so = cable(form, scale.port, ask)._replace(every_s=0.04)
        with Heard(set_so) as heard:
            rests(heard, 0.0)
            scale.put(128.4)
            rests(heard, 128.4)
            for how in SPOILERS * 3:
                scale.spoil(how)
                scale.put(2.5)
                wait_s(0.15)
            rests(heard, 158.4)
            scale.put(62.0, seconds=1.0)
            rests(heard, 220.4)
            scale.during("wrong-speed", 0.4)
            scale.put(3000.0)
            until(lambda: heard.reader.look().state == "over")
            scale.take_off()
            rests(heard, 0.0)
        assert len(heard.steady) > 20
        assert wrong(heard, scale) == (0, 0)


def test_silent_and_unplugged_are_told_apart_and_neither_leaves_a_weight(tmp_path: Path) -> None:
    link = str(tmp_path / "scale")
    with (
        ScaleEmulator("marks", rate_hz=RATE_HZ, link=link) as scale,
        Heard(cable("marks", link)) as heard,
    ):
        scale.put(128.4)
        until(lambda: heard.steady_at(128.4))
        scale.during("silent", 2.5)
        until(lambda: heard.reader.look().state == "silent")
        assert heard.reader.look().grams is None
        until(lambda: heard.steady_at(128.4))
        scale.put(62.0, seconds=3.0)
        scale.during("unplugged", 1.5)
        until(lambda: heard.reader.look().state == "gone")
        assert heard.reader.look().text == ""
        until(lambda: heard.reader.look().state == "steady")
        assert wrong(heard, scale)[0] == 0
        states = [live.state for _, live in heard.all]
        back = states.index("gone")
        # After the gap the old run of readings counts for nothing.
        first = next(s for s in states[back:] if s in ("steady", "moving"))
        assert first == "moving"


def test_a_unit_switched_at_the_scale_is_steady_in_the_new_one() -> None:
    with (
        ScaleEmulator("marks", rate_hz=RATE_HZ) as scale,
        Heard(cable("marks", scale.port)) as heard,
    ):
        scale.put(128.4)
        until(lambda: heard.steady_at(128.4))
        scale.unit = "oz"
        until(lambda: heard.steady_at(128.4) and heard.reader.look().text.endswith(" oz"))
        assert heard.reader.look().division_g == pytest.approx(0.0283495, abs=1e-6)
        turned = [(a.text[-2:], b.state) for (_, a), (_, b) in pairwise(heard.all) if b.text]
        assert (" g", "steady") in turned


def test_a_second_reader_is_told_that_the_port_is_taken() -> None:
    with (
        ScaleEmulator("marks", rate_hz=RATE_HZ) as scale,
        Heard(cable("marks", scale.port)) as first,
    ):
        until(lambda: first.steady_at(0.0))
        with Heard(cable("marks", scale.port)) as second:
            until(lambda: second.reader.busy)
            assert second.reader.look().why == "Another bench has the scale's port."
        until(lambda: first.steady_at(0.0))


def test_bytes_that_fit_no_form_are_said_and_a_listener_that_stumbles_is_too() -> None:
    from benchmate.scales.serial_reader import SerialReader

    with ScaleEmulator("plain", rate_hz=RATE_HZ) as scale:
        with Heard(cable("three", scale.port)) as heard:
            until(lambda: "no line fits" in heard.reader.look().why)

        def stumbles(live: Live) -> None:
            raise ZeroDivisionError(live.state)

        reader = SerialReader(cable("plain", scale.port), stumbles)
        reader.begin()
        until(lambda: "ZeroDivisionError" in reader.look().why)
        reader.end()


def test_what_is_published_is_read_and_grows_old(tmp_path: Path) -> None:
    from benchmate.scales.published import Publisher, read_published

    file = tmp_path / "run" / "scale.json"
    assert read_published(file, 5.0).state == "silent"
    live = Live("steady", "128.4 g", 128.4, 0.1, 5.0)
    publisher = Publisher(file)
    publisher.publish(live, 5.0)
    publisher.publish(live._replace(text="128.5 g"), 5.1)
    assert read_published(file, 5.3) == live
    publisher.publish(live._replace(text="128.5 g"), 5.3)
    assert read_published(file, 5.3).text == "128.5 g"
    assert read_published(file, 7.0).state == "silent"
    assert read_published(file, 4.0).state == "silent"
    file.write_text("{")
    assert read_published(file, 5.3).state == "silent"
