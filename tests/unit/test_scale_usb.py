"""A weighing device on USB: found, read by its reports, gone and back; no device is needed."""

from __future__ import annotations

import sys
from collections import deque
from types import SimpleNamespace
from typing import Any

import pytest

from benchmate.clock import steady_s, wait_s
from benchmate.scales.usb_reader import UsbReader, devices, is_usb, name_of
from tests.scale_forms import DESCRIPTOR

SCALE = {"usage_page": 0x8D, "vendor_id": 0x1234, "product_id": 0xABCD, "path": b"/dev/null"}
MOUSE = SCALE | {"usage_page": 0x01, "product_id": 1}


class Device:
    """What the library gives: `plays` holds reports; an error is the plug."""

    plays: deque[bytes | OSError]
    asked = b""
    descriptor = DESCRIPTOR

    def open_path(self, path: bytes) -> None:
        if not self.plays and not self.asked:
            raise OSError("open failed")

    def get_report_descriptor(self) -> list[int]:
        return list(self.descriptor)

    def read(self, most: int, wait_ms: int) -> list[int]:
        wait_s(0.11 if self.plays else 0.02)
        got = self.plays.popleft() if self.plays else b""
        if isinstance(got, OSError):
            raise got
        return list(got)

    def get_input_report(self, report_id: int, most: int) -> list[int]:
        if not self.asked:
            raise OSError("not answered")
        return list(self.asked)

    def close(self) -> None: ...


@pytest.fixture
def played(monkeypatch: pytest.MonkeyPatch) -> type[Device]:
    made = type("Played", (Device,), {"plays": deque()})
    library = SimpleNamespace(enumerate=lambda: [MOUSE, SCALE], device=made)
    monkeypatch.setitem(sys.modules, "hidraw" if sys.platform == "linux" else "hid", library)
    monkeypatch.setattr("benchmate.scales.reader.AGAIN_S", 0.02)
    return made


def until(reader: UsbReader, state: str) -> None:
    end_s = steady_s() + 20.0
    while reader.look().state != state:
        assert steady_s() < end_s, f"it never came to be {state}: {reader.look()}"
        wait_s(0.01)


def heard(device: Any, *states: str) -> list[str]:
    """Its states in turn, until each of these has come."""
    turns: list[str] = []
    reader = UsbReader("usb", lambda live: turns.append(live.state))
    reader.begin()
    for state in states:
        until(reader, state)
    reader.end()
    return turns


def test_a_weighing_device_is_found_among_others_by_its_page_or_its_name(played: Any) -> None:
    assert devices() == devices("usb:1234") == devices("USB:1234:ABCD") == [SCALE]
    assert devices("usb:1234:0001") == []
    assert name_of(SCALE) == "usb:1234:abcd"
    assert is_usb("usb")
    assert is_usb("usb:1234:abcd")
    assert not is_usb("/dev/ttyUSB0")


def test_it_moves_stands_still_is_pulled_and_found_again(played: Any) -> None:
    moving = [bytes.fromhex("04 03 02 FF 39 30")] * 2
    still = [bytes.fromhex("04 04 02 FF 04 05")] * 8
    played.plays.extend([*moving, *still, OSError("read error"), *still])
    turns = heard(played, "moving", "steady", "gone", "steady")
    assert turns[:2] == ["moving", "moving"]
    # Its own mark isn't enough: four readings in 0.4 s.
    assert turns[2:5] == ["moving"] * 3


def test_one_that_sends_on_a_change_alone_is_asked(played: Any) -> None:
    played.asked = bytes.fromhex("04 04 02 FF 04 05")
    assert "steady" in heard(played, "steady")


def test_reports_without_an_id_are_read_where_the_descriptor_says_so(played: Any) -> None:
    played.descriptor = DESCRIPTOR.replace(b"\x85\x04", b"").replace(b"\x85\x03", b"")
    played.asked = bytes.fromhex("00 04 02 FF 04 05")
    assert "steady" in heard(played, "steady")


def test_one_that_may_not_be_read_says_which_rule_is_missing(
    played: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("os.access", lambda path, how: False)
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setitem(sys.modules, "hidraw", sys.modules.get("hidraw", sys.modules.get("hid")))
    reader = UsbReader("usb")
    reader.begin()
    until(reader, "gone")
    end_s = steady_s() + 20.0
    while not reader.look().why and steady_s() < end_s:
        wait_s(0.01)
    reader.end()
    why = reader.look().why or reader._denied
    assert 'ATTRS{idVendor}=="1234", ATTRS{idProduct}=="abcd"' in why
