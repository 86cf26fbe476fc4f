"""What was said to whom: the reminders' own table, beside the events but not in their chain.

That something is due is derived from the events; only what reached the maker is kept here. One
row for each (key, channel), changed in place.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, Literal, NamedTuple

from benchmate.journal.database import Database

State = Literal["about to", "sent", "failed", "acknowledged", "call again at"]
Entry = tuple[str, str, State, float, str]
"""What is to be entered: key, channel, state, at_wall, detail."""
_SELECT = "SELECT id, key, channel, state, at_wall, detail FROM deliveries"


class Delivery(NamedTuple):
    """One thing said, or about to be, through one channel.

    `at_wall` is in seconds since 1970: when the state was reached, and for "call again at" when to
    call. `key` and `detail` are the reminders' own.
    """

    id: int
    key: str
    channel: str
    state: State
    at_wall: float
    detail: str


class Deliveries:
    """Read and write the table. What is written is synced, as events are."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def record(
        self, key: str, channel: str, state: State, at_wall: float, detail: str = ""
    ) -> Delivery:
        """Set the state of (key, channel), entering it if it is new."""
        with self._database.transaction():
            self._database.insist_in_place()
            self._write(key, channel, state, at_wall, detail)
            return self._all("WHERE key = ? AND channel = ?", key, channel)[0]

    def record_all(self, entries: Iterable[Entry]) -> None:
        """Set the states of several (key, channel) as one: all of them with one sync, or none."""
        entered = list(entries)
        if not entered:
            return
        with self._database.transaction():
            self._database.insist_in_place()
            for entry in entered:
                self._write(*entry)

    def find(self, key: str, channel: str) -> Delivery | None:
        """What is known of (key, channel)."""
        found = self._all("WHERE key = ? AND channel = ?", key, channel)
        return found[0] if found else None

    def of(self, key: str) -> list[Delivery]:
        """Everything said about one key, channel by channel."""
        return self._all("WHERE key = ? ORDER BY channel", key)

    def last_at(self, state: State) -> float | None:
        """When a state was last reached; None: never."""
        found = self._database.run("SELECT max(at_wall) FROM deliveries WHERE state = ?", (state,))
        return None if found[0][0] is None else float(found[0][0])

    def since(self, at_wall: float) -> list[Delivery]:
        """All deliveries whose state was reached at or after a time, oldest first."""
        return self._all("WHERE at_wall >= ? ORDER BY at_wall, id", at_wall)

    def _write(self, key: str, channel: str, state: State, at_wall: float, detail: str) -> None:
        self._database.run(
            """INSERT INTO deliveries (key, channel, state, at_wall, detail) VALUES (?, ?, ?, ?, ?)
            ON CONFLICT (key, channel) DO UPDATE SET
                state = excluded.state, at_wall = excluded.at_wall, detail = excluded.detail""",
            (key, channel, state, at_wall, detail),
        )

    def _all(self, where: str, *values: Any) -> list[Delivery]:
        return [Delivery(*row) for row in self._database.run(f"{_SELECT} {where}", values)]
