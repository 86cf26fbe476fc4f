"""The calendar file, read back by the `icalendar` library and held to the rules of RFC 5545.

Cases K-1 to K-7 of the reference values (RFC 5545 sections 3.1, 3.3.6, 3.3.11; the mandatory
properties of 3.6 are from memory).
"""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from icalendar import Calendar, Component, vDuration, vText
from icalendar.parser import Contentlines
from whenever import Instant

from benchmate.papers.calendar import CalendarEntry, CalendarFileError, calendar_bytes, uid_of

STAMP = Instant.from_utc(2026, 11, 25, 12, 0)
CLAMPS = CalendarEntry(
    key="lamp-1/all/foot/clamp#1:clamp time/opens",
    summary="lamp foot, clamps: may come off",
    starts=Instant.from_utc(2026, 11, 25, 17, 23),
    description="Take the clamps off; 5 min.",
    alarms_before_s=(0.0, 900.0),
)
COAT = CalendarEntry(
    key="lamp-1/all/column/coat#2:recoat/closes",
    summary="lamp column, coat 2: last call",
    starts=Instant.from_utc(2026, 11, 26, 15, 50),
    lasts_s=1200,
)


def unfold(data: bytes) -> list[str]:
    """Content lines by the rule of section 3.1: a break and one blank are taken out."""
    return re.sub(rb"\r\n[ \t]", b"", data).decode().split("\r\n")[:-1]


def events(data: bytes) -> list[Component]:
    return Calendar.from_ical(data).walk("VEVENT")


def test_k1_unfolding_takes_out_exactly_one_blank() -> None:
    folded = b"DESCRIPTION:This is a lo\r\n ng description\r\n  that exists on a long line.\r\n"
    expected = "DESCRIPTION:This is a long description that exists on a long line."
    assert unfold(folded) == [expected]
    assert Contentlines.from_ical(folded)[0] == expected


def test_k2_text_is_escaped_as_the_rfc_says() -> None:
    assert vText("a;b,c\\d\ne").to_ical() == rb"a\;b\,c\\d\ne"
    data = calendar_bytes(
        [CalendarEntry("k", "a;b,c\\d\ne", COAT.starts, description='say "x": y')], STAMP
    )
    lines = unfold(data)
    assert r"SUMMARY:a\;b\,c\\d\ne" in lines
    assert 'DESCRIPTION:say "x": y' in lines
    assert str(events(data)[0]["SUMMARY"]) == "a;b,c\\d\ne"


@pytest.mark.parametrize(
    ("text", "seconds"),
    [
        ("P15DT5H0M20S", 1_314_020),
        ("P7W", 4_233_600),
        ("-PT15M", -900),
        ("PT1H30M", 5400),
        ("+PT5M", 300),
    ],
)
def test_k3_the_reader_reads_durations(text: str, seconds: int) -> None:
    assert vDuration.from_ical(text) == timedelta(seconds=seconds)


@pytest.mark.parametrize("text", ["PT1.5H", "P1Y", "P1M"])
def test_k4_the_reader_refuses_what_is_no_duration(text: str) -> None:
    with pytest.raises(ValueError):
        vDuration.from_ical(text)


@given(st.text(st.characters(exclude_categories=["C"]), max_size=200))
@settings(max_examples=150, deadline=None)
def test_k5_and_k7_lines_are_short_whole_characters_and_end_as_they_should(text: str) -> None:
    # The library takes a backslash and N for the standard's own sign for a line end.
    assume("\\N" not in text)
    data = calendar_bytes([CalendarEntry("k", text, COAT.starts, description=text)], STAMP)
    for octets in data.split(b"\r\n"):
        assert len(octets) <= 75
        octets.decode()
    assert data.count(b"\n") == data.count(b"\r\n")
    assert data.endswith(b"\r\n")
    assert str(events(data)[0]["SUMMARY"]) == text


def test_k5_forty_accented_letters() -> None:
    data = calendar_bytes([CalendarEntry("k", "é" * 40, COAT.starts)], STAMP)
    assert "SUMMARY:" + "é" * 40 in unfold(data)


def test_k6_a_spring_morning_in_london_with_an_alarm_five_minutes_before() -> None:
    nine = datetime(2026, 3, 29, 9, 0, tzinfo=ZoneInfo("Europe/London"))
    entry = CalendarEntry("k", "coat 2", Instant(nine), lasts_s=2400, alarms_before_s=(300.0,))
    data = calendar_bytes([entry], STAMP)
    lines = unfold(data)
    assert "DTSTART:20260329T080000Z" in lines
    assert "DTEND:20260329T084000Z" in lines
    assert "TRIGGER:-PT5M" in lines
    (event,) = events(data)
    assert event["DTSTART"].dt == nine
    assert event["DTEND"].dt - event["DTSTART"].dt == timedelta(minutes=40)
    assert event.walk("VALARM")[0]["TRIGGER"].dt == timedelta(minutes=-5)


def test_every_mandatory_property_is_there() -> None:
    data = calendar_bytes([CLAMPS, COAT], STAMP)
    calendar = Calendar.from_ical(data)
    assert calendar["VERSION"] == "2.0"
    assert calendar["PRODID"]
    for event in events(data):
        assert event["UID"]
        assert event["DTSTAMP"].dt == datetime(2026, 11, 25, 12, 0, tzinfo=UTC)
        assert event["DTSTART"].dt.utcoffset() == timedelta(0)
        assert not ("DTEND" in event and "DURATION" in event)
        for alarm in event.walk("VALARM"):
            assert alarm["ACTION"] == "DISPLAY"
            assert alarm["DESCRIPTION"]
            assert "TRIGGER" in alarm
    lines = unfold(data)
    assert lines[0] == "BEGIN:VCALENDAR"
    assert lines[-1] == "END:VCALENDAR"
    assert not [line for line in lines if "TZID" in line]


def test_alarms_come_as_asked() -> None:
    (event,) = events(calendar_bytes([CLAMPS], STAMP))
    triggers = [alarm["TRIGGER"].dt for alarm in event.walk("VALARM")]
    assert triggers == [timedelta(0), timedelta(minutes=-15)]


def test_an_event_is_long_enough_to_be_touched() -> None:
    (event,) = events(calendar_bytes([CalendarEntry("k", "x", COAT.starts, lasts_s=0)], STAMP))
    assert event["DTEND"].dt - event["DTSTART"].dt == timedelta(minutes=5)


def test_the_same_edge_keeps_its_uid_for_ever() -> None:
    """A fixed value: were it to change, every phone would show every edge twice."""
    assert uid_of("a", "shop") == "73a0c410-d96e-5431-9985-44994e420f40@benchmate"


def test_edges_and_shops_have_uids_of_their_own() -> None:
    uids = [uid_of("a", "x"), uid_of("b", "x"), uid_of("a", "y"), uid_of("xa", ""), uid_of("a", "")]
    assert len(set(uids)) == len(uids)


class TestExportedAgain:
    def again(
        self, entries: list[CalendarEntry], previous: bytes, hours: int = 1
    ) -> list[Component]:
        return events(calendar_bytes(entries, STAMP.add(hours=hours), previous=previous))

    def test_unchanged_events_keep_their_sequence(self) -> None:
        first = calendar_bytes([CLAMPS, COAT], STAMP)
        again = self.again([COAT, CLAMPS], first)
        assert [int(e["SEQUENCE"]) for e in again] == [0, 0]
        assert [e["UID"] for e in again] == [e["UID"] for e in events(first)]
        assert again[0]["DTSTAMP"].dt == datetime(2026, 11, 25, 13, 0, tzinfo=UTC)

    @pytest.mark.parametrize(
        "changed",
        [
            CalendarEntry(
                CLAMPS.key,
                CLAMPS.summary,
                CLAMPS.starts.add(minutes=20),
                300,
                CLAMPS.description,
                CLAMPS.alarms_before_s,
            ),
            CalendarEntry(
                CLAMPS.key,
                "other words",
                CLAMPS.starts,
                300,
                CLAMPS.description,
                CLAMPS.alarms_before_s,
            ),
            CalendarEntry(
                CLAMPS.key,
                CLAMPS.summary,
                CLAMPS.starts,
                600,
                CLAMPS.description,
                CLAMPS.alarms_before_s,
            ),
            CalendarEntry(
                CLAMPS.key, CLAMPS.summary, CLAMPS.starts, 300, "", CLAMPS.alarms_before_s
            ),
            CalendarEntry(
                CLAMPS.key, CLAMPS.summary, CLAMPS.starts, 300, CLAMPS.description, (60.0,)
            ),
        ],
        ids=["time", "words", "length", "description", "alarm"],
    )
    def test_a_changed_event_raises_its_sequence_each_time(self, changed: CalendarEntry) -> None:
        first = calendar_bytes([CLAMPS], STAMP)
        second = calendar_bytes([changed], STAMP.add(hours=1), previous=first)
        assert [int(e["SEQUENCE"]) for e in events(second)] == [1]
        assert [int(e["SEQUENCE"]) for e in self.again([CLAMPS], second, 2)] == [2]

    def test_what_is_no_longer_to_come_is_cancelled_until_its_time_is_past(self) -> None:
        first = calendar_bytes([CLAMPS, COAT], STAMP)
        second = calendar_bytes([COAT], STAMP.add(hours=1), previous=first)
        gone = {str(e["UID"]): e for e in events(second)}[uid_of(CLAMPS.key, "")]
        assert (str(gone["STATUS"]), int(gone["SEQUENCE"])) == ("CANCELLED", 1)
        assert gone.walk("VALARM") == []
        third = calendar_bytes([COAT], STAMP.add(hours=2), previous=second)
        kept = {str(e["UID"]): e for e in events(third)}[uid_of(CLAMPS.key, "")]
        assert (str(kept["STATUS"]), int(kept["SEQUENCE"])) == ("CANCELLED", 1)
        assert len(self.again([COAT], third, 8)) == 1

    def test_what_comes_back_is_confirmed_again_with_a_higher_sequence(self) -> None:
        first = calendar_bytes([CLAMPS], STAMP)
        second = calendar_bytes([], STAMP.add(hours=1), previous=first)
        (back,) = self.again([CLAMPS], second, 2)
        assert (str(back["STATUS"]), int(back["SEQUENCE"])) == ("CONFIRMED", 2)

    def test_what_was_met_is_neither_cancelled_nor_kept(self) -> None:
        first = calendar_bytes([CLAMPS, COAT], STAMP)
        assert len(self.again([COAT], first, 6)) == 1

    @pytest.mark.parametrize("previous", [b"no calendar", b"BEGIN:VCALENDAR\r\n", b"\xff\xfe"])
    def test_an_earlier_file_that_is_none_is_refused_in_a_sentence(self, previous: bytes) -> None:
        with pytest.raises(CalendarFileError, match="can't be read"):
            calendar_bytes([CLAMPS], STAMP, previous=previous)

    def test_strangers_in_the_earlier_file_do_no_harm(self) -> None:
        odd = (
            b"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:x\r\nBEGIN:VEVENT\r\nSUMMARY:no uid\r\n"
            b"END:VEVENT\r\nBEGIN:VEVENT\r\nUID:odd\r\nDTSTART;VALUE=DATE:20261201\r\n"
            b"SEQUENCE:many\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n"
        )
        assert len(self.again([CLAMPS], odd)) == 1


def test_an_empty_calendar_is_a_calendar() -> None:
    data = calendar_bytes([], STAMP)
    assert events(data) == []
    assert Calendar.from_ical(data)["VERSION"] == "2.0"


def test_a_changed_event_says_when_and_an_unchanged_one_keeps_its_time() -> None:
    """RFC 5546 3.2 (METHOD), RFC 7986 5.1 (NAME), RFC 5545 3.8.7.3 (LAST-MODIFIED)."""
    first = calendar_bytes([CLAMPS, COAT], STAMP)
    assert b"\r\nMETHOD:PUBLISH\r\n" in first
    assert b"\r\nNAME:The bench\r\n" in first
    later = STAMP.add(hours=1)
    moved = replace(COAT, starts=COAT.starts.add(minutes=5))
    again = {
        str(e["UID"]): e for e in events(calendar_bytes([CLAMPS, moved], later, previous=first))
    }
    kept, changed = again[uid_of(CLAMPS.key, "")], again[uid_of(COAT.key, "")]
    assert kept["LAST-MODIFIED"].dt == STAMP.to_stdlib()
    assert changed["LAST-MODIFIED"].dt == later.to_stdlib()
