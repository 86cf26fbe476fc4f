"""A journal that says no, and what can't be recorded or read."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from benchmate.job.deciding import commands as cmd
from benchmate.job.events import stored as ev
from benchmate.job.state.shop import LEARNED, PLACE
from benchmate.journal import (
    Damaged,
    Journal,
    JournalBusy,
    JournalError,
    JournalFull,
    NewRow,
    StaleVersion,
)
from benchmate.refusal import Refused
from tests.hand_made import record
from tests.unit.two_benches import MIX, Benches, job_of, raises, read_air, same, start


@pytest.fixture
def benches(tmp_path: Path) -> Iterator[Benches]:
    with Benches(tmp_path) as opened:
        yield opened


# A journal that says no -----------------------------------------------------------------------


FULL = JournalFull("The disk is full. Nothing was recorded.")


@pytest.mark.parametrize("error", [FULL, JournalBusy("Another benchmate has kept it locked.")])
def test_a_refused_commit_leaves_the_shop_as_it_was(
    benches: Benches, error: JournalError, monkeypatch: pytest.MonkeyPatch
) -> None:
    bench = benches.one
    before = bench.shop
    told: list[str] = []
    bench.on_change = lambda: told.append("changed")

    with monkeypatch.context() as patch:
        patch.setattr(bench.journal, "append", raises(error))
        with pytest.raises(type(error)):
            bench.do("t", cmd.MarkDone(address=MIX))
        with pytest.raises(type(error)):
            record(
                bench,
                (
                    PLACE + "shop",
                    ev.AirSilent(happened=bench.now(), recorded=bench.now(), source="f", said="s"),
                ),
            )
    assert bench.shop is before
    assert told == []
    bench.do("t", cmd.MarkDone(address=MIX))
    assert MIX in job_of(bench).done


def test_a_refresh_that_fails_is_done_again(
    benches: Benches, monkeypatch: pytest.MonkeyPatch
) -> None:
    one, other = benches.one, benches.other
    one.do("t", cmd.MarkDone(address=MIX))
    with monkeypatch.context() as patch:
        patch.setattr(other.journal, "read_since", raises(JournalBusy("locked")))
        with pytest.raises(JournalBusy):
            other.refresh()
    assert other.refresh()
    assert job_of(other) == job_of(one)


def test_an_act_that_is_recorded_is_never_reported_as_refused(
    benches: Benches, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It is committed after another bench's reading, which then can't be read."""
    one, other = benches.one, benches.other
    read_air(one, 12.0)
    with monkeypatch.context() as patch:
        patch.setattr(other.journal, "read_since", raises(JournalBusy("locked")))
        assert other.do("t", cmd.MarkDone(address=MIX))
    assert MIX in job_of(other).done
    assert other.refresh()
    assert len(other.shop.air_of("shop")) == 1
    one.refresh()
    assert same(one.shop, other.shop)


def test_a_journal_is_let_go_when_opening_fails(
    benches: Benches, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    closed: list[str] = []
    let_go = Journal.close

    def noted(journal: Journal) -> None:
        closed.append("closed")
        let_go(journal)

    monkeypatch.setattr(Journal, "close", noted)
    monkeypatch.setattr(Journal, "read_open", raises(Damaged("Entry 3 is missing.")))
    with pytest.raises(Damaged, match=r"Entry 3 is missing\. .*Nothing was overwritten\."):
        benches.open()
    assert closed == ["closed"]


# What can't be recorded -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("command", "said"),
    [
        (cmd.Note(text="caf\udce9"), "Character 4 of that text"),
        (
            cmd.AnswerCheck(address="t/A/cover/clamp#1", name="wall", value=float("nan")),
            "a number in it isn't one",
        ),
        (
            cmd.AnswerCheck(address="t/A/cover/clamp#1", name="wall", value=float("inf")),
            "a number in it isn't one",
        ),
    ],
    ids=["bytes that are no text", "no number", "endless"],
)
def test_what_would_not_read_back_is_refused_and_not_stored(
    benches: Benches, command: cmd.Command, said: str
) -> None:
    bench = benches.one
    end = bench.journal.end
    with pytest.raises(Refused, match=said):
        bench.do("t", command)
    assert bench.journal.end == end
    assert job_of(bench).version == 1


UNKNOWN = b'{"kind":"levitated","schema":99,"happened":[1,null,null],"recorded":[1,null,null]}'


@pytest.mark.parametrize(
    ("data", "said"),
    [(UNKNOWN, "newer benchmate wrote “levitated”"), (b"\xff not json", "Entry 2 of this job")],
    ids=["a newer kind", "no event at all"],
)
def test_one_unreadable_event_makes_its_job_read_only_and_no_other(
    benches: Benches, data: bytes, said: str
) -> None:
    one, other = benches.one, benches.other
    start(one, "lamp")
    one.journal.append([NewRow("job:t", data)], {"job:t": 1}, open_streams={"job:t": True})
    for bench in (other, benches.open()):
        bench.refresh()
        with pytest.raises(Refused, match=said):
            bench.do("t", cmd.Note(text="odd grain"))
    other.do("lamp", cmd.Note(text="odd grain"))
    assert job_of(other, "lamp").version == 2


@pytest.mark.parametrize("stream", ["scales", "stores", LEARNED, PLACE + "shop"])
def test_an_unreadable_event_beside_the_jobs_is_named_and_passed_over(
    benches: Benches, stream: str
) -> None:
    one, other = benches.one, benches.other
    version = one.shop.versions.get(stream, 0)
    one.journal.append([NewRow(stream, UNKNOWN)], {stream: version}, open_streams={stream: True})
    other.refresh()
    assert other.shop.unreadable == (stream,)
    other.do("t", cmd.MarkDone(address=MIX))


def test_a_writer_that_never_gets_its_turn_says_so(
    benches: Benches, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("benchmate.bench.service.GIVE_UP_S", 0.0)
    monkeypatch.setattr(benches.one.journal, "append", raises(StaleVersion("job:t", 1, 1)))
    with pytest.raises(JournalBusy, match="Nothing was recorded; try again"):
        benches.one.do("t", cmd.Note(text="odd grain"))
