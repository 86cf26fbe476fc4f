"""Closing up says who reminds meanwhile, and writes the calendar file for the phone."""

from __future__ import annotations

from pathlib import Path

from icalendar import Calendar

from benchmate.tui.pages.end_of_day import EndOfDay
from benchmate.tui.present.pages.end_of_day import minding_lines
from tests.minding_help import MIX, mark, start_plan
from tests.tui.screen_help import open_bench, opened


def test_without_a_service_nothing_is_said_of_reminders() -> None:
    assert minding_lines([], 80) == []


def test_each_sentence_stands_in_full_at_any_width() -> None:
    said = ["This bench reminds.", "The machine can't be kept awake: switch its sleep off."]
    for cells in (20, 80):
        text = " ".join("".join(s.text for s in line) for line in minding_lines(said, cells))
        assert " ".join(text.split()) == f"Reminders {said[0]} {said[1]}"


async def test_a_key_writes_the_edges_to_come_for_the_phone(tmp_path: Path) -> None:
    bench = open_bench(tmp_path)
    start_plan(bench)
    mark(bench, MIX)
    target = tmp_path / "phone.ics"
    async with opened(bench, EndOfDay()) as hands:
        await hands.press("enter")
        await hands.type(str(tmp_path / "gone" / "phone.ics"))
        await hands.press("enter")
        assert "can't be written" in hands.text()
        await hands.type(str(target))
        await hands.press("enter")
        assert "1 reminder is saved in" in " ".join(hands.text().split())
    (event,) = Calendar.from_ical(target.read_bytes()).walk("VEVENT")
    assert str(event["summary"]) == "mix 1, pot life: the mix gels"
    bench.close()
