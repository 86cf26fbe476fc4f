"""A stretch of the day, read as a maker writes it."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchmate.settings import Span


@pytest.mark.parametrize(
    ("text", "span"),
    [
        ("18:00-22:00", Span(1080, 1320)),
        ("9:00-12:30", Span(540, 750)),
        ("09.00 - 17.30", Span(540, 1050)),
        ("9:00–17:00", Span(540, 1020)),
        ("0:00-24:00", Span(0, 1440)),
        ("22:00-07:00", Span(1320, 420)),
        ("22:00-00:00", Span(1320, 0)),
        ("", Span(0, 0)),
        ("  ", Span(0, 0)),
    ],
)
def test_a_span_is_read_in_minutes_of_the_day(text: str, span: Span) -> None:
    assert Span.read(text) == span


@pytest.mark.parametrize(
    "text",
    [
        "evening",
        "18-22",
        "18:00",
        "18:00-22:60",
        "24:00-25:00",
        "9:00-24:01",
        "9:00-9:00",
        "18:00-22:00-23:00",
        "٩:٠٠-١٢:٠٠",
        "-1:00-2:00",
    ],
)
def test_what_is_no_span_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="no span"):
        Span.read(text)


@given(st.integers(0, 1439), st.integers(0, 1440))
def test_a_span_shown_reads_back_as_itself(begins: int, ends: int) -> None:
    if begins != ends:
        assert Span.read(str(Span(begins, ends))) == Span(begins, ends)
    assert str(Span(0, 0)) == ""
