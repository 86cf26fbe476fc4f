"""The sum of the deliveries does not depend on how its lines come in; rows keep every line."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import NamedTuple

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchmate.remind.rows import Entry, TableLog, line_of, row_of
from benchmate.remind.rules.due import look
from benchmate.remind.rules.edges import Stage
from benchmate.remind.rules.said import Delivery, Said
from benchmate.remind.rules.settings import RemindSettings
from tests.remind_help import MIN, NOON_S, MemoryLog, after, edge, line

ONE = edge()
LINES = st.builds(
    lambda stage, state, minute, channel, number, until: line(
        ONE, stage, state, minute, channel, number, until
    ),
    st.sampled_from([Stage.SOON, Stage.CLOSING, Stage.MISSED]),
    st.sampled_from(["about to", "sent", "failed", "acknowledged"]),
    st.integers(0, 60),
    st.sampled_from(["sound", "speech", "message:1"]),
    st.integers(0, 3),
    st.none(),
)
CALLS = st.builds(
    lambda minute, until: line(ONE, Stage.CLOSING, "call again at", minute, "bench", 0, until),
    st.integers(0, 60),
    st.integers(1, 90),
)


def unique(lines: list[Delivery]) -> list[Delivery]:
    """One line for each call and moment: two outcomes of one call at once can't be."""
    found = {(d.stage, d.round, d.channel, d.at_s, d.state == "call again at"): d for d in lines}
    return list(found.values())


@given(st.lists(st.one_of(LINES, CALLS), max_size=12), st.randoms(), st.integers(0, 90))
@settings(max_examples=150, deadline=None)
def test_lines_may_come_in_any_order_and_more_than_once(
    lines: list[Delivery], random: object, minute: int
) -> None:
    known = sorted(unique(lines), key=lambda d: d.at_s)
    shuffled = known + known[: len(known) // 2]
    random.shuffle(shuffled)  # type: ignore[attr-defined]
    plain = look([ONE], Said(known), RemindSettings(), after(minute))
    assert look([ONE], Said(shuffled), RemindSettings(), after(minute)) == plain


@given(st.lists(st.one_of(LINES, CALLS), max_size=12), st.integers(0, 90))
@settings(max_examples=100, deadline=None)
def test_lines_added_one_by_one_sum_to_the_same(lines: list[Delivery], minute: int) -> None:
    said = Said()
    for one in unique(lines):
        said.of(ONE, Stage.CLOSING)
        said.add(one)
    whole = look([ONE], Said(unique(lines)), RemindSettings(), after(minute))
    assert look([ONE], said, RemindSettings(), after(minute)) == whole


class FakeRow(NamedTuple):
    key: str
    channel: str
    state: str
    at_wall: float
    detail: str


class FakeTable:
    """One row for each (key, channel), as the journal's table has."""

    def __init__(self) -> None:
        self.rows: dict[tuple[str, str], FakeRow] = {}

    def record_all(self, entries: Iterable[Entry]) -> None:
        for entry in entries:
            self.rows[entry[:2]] = FakeRow(*entry)

    def since(self, at_wall: float) -> list[FakeRow]:
        return [row for row in self.rows.values() if row.at_wall >= at_wall]


@given(st.one_of(LINES, CALLS), st.booleans(), st.text(max_size=20))
@settings(max_examples=100, deadline=None)
def test_a_row_gives_back_the_line_it_was_made_of(one: Delivery, again: bool, note: str) -> None:
    kept = Delivery(
        one.key, one.stage, one.state, one.at_s, one.channel, one.round, one.until_s, again, note
    )
    assert line_of(FakeRow(*row_of(kept))) == kept


@pytest.mark.parametrize(
    "row",
    [
        FakeRow("a key of somebody else", "sound", "sent", 0.0, "{}"),
        FakeRow("a\x1fno stage\x1f0", "sound", "sent", 0.0, '{"at": 1}'),
        FakeRow("a\x1fsoon\x1f0", "sound", "sent", 0.0, "no json"),
        FakeRow("a\x1fsoon\x1f0", "sound", "sent", 0.0, "[]"),
    ],
    ids=["key", "stage", "detail", "detail of another shape"],
)
def test_a_foreign_row_is_passed_over(row: FakeRow) -> None:
    assert line_of(row) is None


def test_a_table_log_tells_what_another_process_wrote() -> None:
    table = FakeTable()
    mine, theirs = TableLog(table), TableLog(table)
    mine.record([line(ONE, Stage.CLOSING, "about to", 29)])
    mark, lines = theirs.since(0.0)
    assert [d.state for d in lines] == ["about to"]
    mine.record([line(ONE, Stage.CLOSING, "sent", 29.1)])
    mark, lines = theirs.since(mark)
    assert [d.state for d in lines] == ["sent"]
    mine.record([line(ONE, Stage.CLOSING, "call again at", 30, "bench", until_min=45)])
    _, lines = theirs.since(mark)
    (call,) = [d for d in lines if d.state == "call again at"]
    assert call.until_s == NOON_S + 45 * MIN
    assert call.at_s == NOON_S + 30 * MIN


def test_old_deliveries_are_not_read() -> None:
    table = FakeTable()
    TableLog(table).record([line(ONE, Stage.CLOSING, "sent", 29)])
    assert TableLog(table, lambda: NOON_S + 60 * MIN).since(0.0)[1] == []


def test_a_time_line_that_was_years_ahead_hides_no_row_once_it_is_put_right() -> None:
    """Else the same reminder would be given without an end."""
    table, now_s = FakeTable(), [NOON_S + 9 * 366 * 86_400]
    log = TableLog(table, lambda: now_s[0] - 86_400.0, lambda: now_s[0])
    log.record([replace(line(ONE, Stage.SOON, "sent", 0), at_s=now_s[0])])
    mark, _ = log.since(0.0)
    now_s[0] = NOON_S + 30 * MIN
    log.record([line(ONE, Stage.CLOSING, "sent", 30)])
    assert [d.stage for d in log.since(mark)[1]] == [Stage.CLOSING]


def test_a_memory_log_gives_only_what_is_new() -> None:
    log = MemoryLog()
    log.record([line(ONE, Stage.SOON, "sent", 1)])
    mark, _ = log.since(0)
    log.record([line(ONE, Stage.SOON, "acknowledged", 2)])
    assert [d.state for d in log.since(mark)[1]] == ["acknowledged"]


def test_an_answer_given_at_a_channel_leaves_the_record_of_its_call_alone() -> None:
    log = TableLog(FakeTable())
    log.record([line(ONE, Stage.CLOSING, "sent", 29, "command")])
    log.record([line(ONE, Stage.CLOSING, "acknowledged", 30, "command")])
    assert {(d.channel, d.state) for d in log.since(0.0)[1]} == {
        ("command", "sent"),
        ("command", "acknowledged"),
    }
