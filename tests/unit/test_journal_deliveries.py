"""The reminders' table: changed in place, safe beside the events."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest

from benchmate.journal import Delivery, Journal, JournalError

from .journal_help import add


def test_a_state_is_changed_in_place_and_outlives_the_process(tmp_path: Path) -> None:
    with Journal.open(tmp_path) as journal:
        first = journal.deliveries.record("k", "bell", "about to", 1.0, "first")
        sent = journal.deliveries.record("k", "bell", "sent", 2.0)
        assert sent == Delivery(first.id, "k", "bell", "sent", 2.0, "")
    with Journal.open(tmp_path) as journal:
        assert journal.deliveries.find("k", "bell") == sent
        assert journal.deliveries.find("k", "mail") is None


def test_recording_enters_what_was_never_entered(tmp_path: Path) -> None:
    with Journal.open(tmp_path) as journal:
        journal.deliveries.record("k", "maker", "call again at", 600.0)
        assert [d.state for d in journal.deliveries.of("k")] == ["call again at"]


def test_deliveries_are_found_by_key_and_by_time(tmp_path: Path) -> None:
    with Journal.open(tmp_path) as journal:
        kept = journal.deliveries
        kept.record("a", "mail", "sent", 3.0)
        kept.record("a", "bell", "failed", 2.0)
        kept.record("b", "bell", "sent", 1.0)
        assert [(d.key, d.channel) for d in kept.of("a")] == [("a", "bell"), ("a", "mail")]
        assert [d.at_wall for d in kept.since(2.0)] == [2.0, 3.0]
        assert kept.last_at("sent") == 3.0
        assert kept.last_at("acknowledged") is None


def test_several_are_entered_as_one_or_not_at_all(tmp_path: Path) -> None:
    with Journal.open(tmp_path) as journal:
        journal.deliveries.record("a", "bell", "about to", 1.0)
        before = journal.data_version()
        journal.deliveries.record_all(
            [("a", "bell", "sent", 2.0, ""), ("b", "mail", "failed", 3.0, "no answer")]
        )
        journal.deliveries.record_all([])
        kept = [(d.key, d.state, d.at_wall, d.detail) for d in journal.deliveries.since(0.0)]
        assert kept == [("a", "sent", 2.0, ""), ("b", "failed", 3.0, "no answer")]
        assert journal.data_version() == before
        with pytest.raises(JournalError):
            journal.deliveries.record_all(
                [("a", "bell", "acknowledged", 4.0, ""), ("c", "bell", "shouted", 4.0, "")]  # type: ignore[list-item]
            )
        assert [d.state for d in journal.deliveries.since(0.0)] == ["sent", "failed"]


def test_what_was_said_lately_is_found_by_an_index(tmp_path: Path) -> None:
    with Journal.open(tmp_path) as journal:
        journal.deliveries.record("a", "bell", "sent", 1.0)
    with sqlite3.connect(tmp_path / "journal.db") as plain:
        question = "SELECT id FROM deliveries WHERE at_wall >= 5 ORDER BY at_wall, id"
        plan = plain.execute(f"EXPLAIN QUERY PLAN {question}").fetchall()
    assert [row[3] for row in plan] == [
        "SEARCH deliveries USING COVERING INDEX deliveries_by_time (at_wall>?)"
    ]


def test_an_unknown_state_is_refused_and_changes_nothing(tmp_path: Path) -> None:
    with Journal.open(tmp_path) as journal:
        journal.deliveries.record("a", "bell", "sent", 1.0)
        with pytest.raises(JournalError):
            journal.deliveries.record("a", "bell", "shouted", 2.0)  # type: ignore[arg-type]
        assert [d.state for d in journal.deliveries.of("a")] == ["sent"]


def test_deliveries_are_no_part_of_the_chain(tmp_path: Path) -> None:
    with Journal.open(tmp_path) as journal:
        add(journal, "job:a", "1")
        before = journal.verify()
        journal.deliveries.record("a", "bell", "sent", 1.0)
        assert journal.verify() == before


def test_another_bench_sees_that_something_was_delivered(tmp_path: Path) -> None:
    with Journal.open(tmp_path) as mine, Journal.open(tmp_path) as other:
        before = other.data_version()
        mine.deliveries.record("a", "bell", "acknowledged", 1.0)
        assert other.data_version() != before
        assert [d.state for d in other.deliveries.of("a")] == ["acknowledged"]
