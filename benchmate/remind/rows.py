"""Deliveries as rows of a table with one row for each (key, channel), changed in place."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Sequence
from math import inf
from typing import Any, Protocol

from benchmate.remind.rules.edges import Stage
from benchmate.remind.rules.said import Delivery, State

MARK = "\x1f"
"""Between the parts of a row's key: a character that no address has."""
ANSWERED = "@"
"""Before the place where the maker answered, so that it takes no channel's row."""
SLACK_S = 30.0
"""So far back the table is read again: another process may have had to wait before it could
write a row with an earlier time."""

Entry = tuple[str, str, State, float, str]
"""A row to be: key, channel, state, time, detail."""
_ANSWERS = ("acknowledged", "call again at")


class Row(Protocol):
    """A row as the table gives it."""

    @property
    def key(self) -> str: ...
    @property
    def channel(self) -> str: ...
    @property
    def state(self) -> Any: ...
    @property
    def at_wall(self) -> float: ...
    @property
    def detail(self) -> str: ...


class Table(Protocol):
    """The journal's table of deliveries."""

    def record_all(self, entries: Iterable[Entry]) -> None:
        """Enter the rows or change them: all with one sync, or none."""

    def since(self, at_wall: float) -> Sequence[Row]:
        """The rows changed at or after a time."""


def row_of(line: Delivery) -> Entry:
    """A delivery as the table keeps it: key, channel, state, time, detail.

    The time is the shop's time line's, which stays near Unix time and never goes back, so that a
    wall clock set back hides no row from another process.
    """
    detail: dict[str, Any] = {"at": line.at_s}
    if line.again:
        detail["again"] = True
    if line.note:
        detail["note"] = line.note
    at_s = line.at_s if line.until_s is None else line.until_s
    key = MARK.join((line.key, line.stage, str(line.round)))
    channel = f"{ANSWERED}{line.channel}" if line.state in _ANSWERS else line.channel
    return key, channel, line.state, at_s, json.dumps(detail, ensure_ascii=False)


def line_of(row: Row) -> Delivery | None:
    """The delivery a row keeps; None for a row that somebody else wrote."""
    try:
        key, stage, number = row.key.split(MARK)
        detail = json.loads(row.detail)
        return Delivery(
            key=key,
            stage=Stage(stage),
            state=row.state,
            at_s=float(detail["at"]),
            channel=row.channel.removeprefix(ANSWERED),
            round=int(number),
            until_s=row.at_wall if row.state == "call again at" else None,
            again=bool(detail.get("again", False)),
            note=str(detail.get("note", "")),
        )
    except (ValueError, KeyError, TypeError):
        return None


class TableLog:
    """A DeliveryLog that keeps its lines in such a table."""

    def __init__(
        self,
        table: Table,
        since_s: Callable[[], float] = lambda: 0.0,
        now_s: Callable[[], float] = lambda: inf,
    ) -> None:
        """`since_s`: what was said before this place on the time line matters no more.

        Both are asked at each reading: a wall that was years ahead at the computer's start takes
        the time line back when it is put right, and nothing may be read from beyond that.
        """
        self._table, self._since_s, self._now_s = table, since_s, now_s
        self._seen: dict[tuple[str, str], tuple[str, float, str]] = {}

    def record(self, deliveries: Sequence[Delivery]) -> None:
        """Keep these, all or none; they are synced when this returns."""
        self._table.record_all(row_of(line) for line in deliveries)

    def since(self, mark: float) -> tuple[float, Sequence[Delivery]]:
        """What was recorded after a mark, or changed since then."""
        rows = self._table.since(max(self._since_s(), min(mark, self._now_s()) - SLACK_S))
        known = self._seen if mark else {}
        self._seen = {(row.key, row.channel): _value(row) for row in rows}
        new = (row for row in rows if known.get((row.key, row.channel)) != _value(row))
        lines = [line for row in new if (line := line_of(row)) is not None]
        return max([mark, *_times(lines)]), lines


def _value(row: Row) -> tuple[str, float, str]:
    return row.state, row.at_wall, row.detail


def _times(lines: Iterable[Delivery]) -> Iterable[float]:
    return (line.at_s for line in lines)
