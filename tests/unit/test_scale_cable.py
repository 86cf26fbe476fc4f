"""A scale on a cable: what is heard of it by a driven clock, and a port for what only one shows.

The bounds of waiting are generous and only end a test that hangs: what counts is what was read.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from benchmate.clock import steady_s, wait_s
from benchmate.scales.hearing import NO_FORM, UNREAD_S, Hearing
from benchmate.scales.reading import Live
from tests.needs import needs
from tests.scale_driven import DrivenScale
from tests.scale_emulator import ScaleEmulator
from tests.scale_forms import cable

if TYPE_CHECKING:
    from benchmate.scales.serial_reader import SerialReader

has_ports = pytest.mark.skipif(sys.platform == "win32", reason="needs pseudo-terminals")
pytestmark = needs("module:serial", "module:regex")
LONGEST_S = 20.0


# Driven --------------------------------------------------------------------------------------


def test_silent_and_unplugged_are_told_apart_and_neither_leaves_a_weight() -> None:
    scale = DrivenScale("marks")
    scale.emulator.put(128.4)
    scale.advance(3.0)
    assert scale.look().text == "128.4 g"
    scale.fault("silent", 4.0)
    scale.advance(2.0)
    assert (scale.look().state, scale.look().grams) == ("silent", None)
    scale.advance(4.0)
    assert scale.look().state == "steady"
    scale.emulator.put(62.0, seconds=3.0)
    scale.fault("unplugged", 1.5)
    scale.advance(0.5)
    assert scale.look() == Live("gone")
    before = len(scale.all)
    scale.advance(6.0)
    assert scale.look().state == "steady"
    # After the gap the old run of readings counts for nothing.
    first = next(it.state for it in scale.all[before:] if it.state in ("steady", "moving"))
    assert first == "moving"
    assert scale.wrong()[1:] == (0, 0)


def test_a_unit_switched_at_the_scale_is_steady_in_the_new_one() -> None:
    scale = DrivenScale("marks")
    scale.emulator.put(128.4)
    scale.advance(3.0)
    scale.emulator.unit = "oz"
    scale.advance(3.0)
    assert scale.look().text.endswith(" oz")
    assert scale.look().division_g == pytest.approx(0.0283495, abs=1e-6)
    turned = [(a.text[-2:], b.state) for a, b in pairwise(scale.all) if b.text.endswith(" oz")]
    assert turned[0] == (" g", "moving")


def test_beyond_its_range_there_is_no_weight() -> None:
    scale = DrivenScale("plain")
    scale.emulator.put(3500.0)
    scale.advance(3.0)
    assert (scale.look().state, scale.look().grams) == ("over", None)


def test_bytes_that_fit_no_form_are_said_for_as_long_as_they_come() -> None:
    hearing = Hearing(cable("three"))
    said = [hearing.feed(b"    128.4 g \r\n", n / 10) for n in range(1, 12 + round(10 * UNREAD_S))]
    assert said[0] == []
    assert said[-1][-1].why == NO_FORM
    assert hearing.idle(UNREAD_S + 1.2).state == "fault"
    assert hearing.idle(UNREAD_S + 9.0).state == "silent"


# At a port -----------------------------------------------------------------------------------


def until(what: Callable[[], bool]) -> None:
    end_s = steady_s() + LONGEST_S
    while not what():
        assert steady_s() < end_s, "it never came to that"
        wait_s(0.01)


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """A port that is gone is tried again at once."""
    monkeypatch.setattr("benchmate.scales.reader.AGAIN_S", 0.05)


@contextmanager
def reading(
    form: str, port: str, ask: str = "", tell: Callable[[Live], None] = lambda live: None
) -> Iterator[SerialReader]:
    from benchmate.scales.serial_reader import SerialReader

    made = SerialReader(cable(form, port, ask)._replace(every_s=0.02), tell)
    made.begin()
    try:
        yield made
    finally:
        made.end()


def steady_at(reader: SerialReader, grams: float) -> Callable[[], bool]:
    return lambda: (
        reader.look().state == "steady" and abs((reader.look().grams or 0) - grams) < 0.25
    )


@has_ports
@pytest.mark.usefixtures("quick")
def test_a_port_is_read_unplugged_and_found_again_and_belongs_to_one(tmp_path: Path) -> None:
    link = str(tmp_path / "scale")
    with ScaleEmulator("marks", rate_hz=50, link=link) as scale, reading("marks", link) as first:
        until(steady_at(first, 0.0))
        with reading("marks", link) as second:
            until(lambda: second.busy)
            assert second.look().why == "Another bench has the scale's port."
            scale.during("unplugged", 0.3)
            until(lambda: first.look().state == "gone" and not first.look().why)
        until(steady_at(first, 0.0))


@has_ports
def test_a_scale_that_must_be_asked_is() -> None:
    with (
        ScaleEmulator("three", rate_hz=50, demand=b"W") as scale,
        reading("three", scale.port, "W") as reader,
    ):
        until(steady_at(reader, 0.0))


@has_ports
def test_a_listener_that_stumbles_is_said() -> None:
    def stumbles(live: Live) -> None:
        raise ZeroDivisionError(live.state)

    with (
        ScaleEmulator("plain", rate_hz=50) as scale,
        reading("plain", scale.port, tell=stumbles) as reader,
    ):
        until(lambda: "ZeroDivisionError" in reader.look().why)


# Published -----------------------------------------------------------------------------------


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
