"""Several benches on one journal: each sees the other's acts, and decides again on them."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from benchmate.bench import Bench
from benchmate.job.deciding import commands as cmd
from benchmate.job.events import stored as ev
from benchmate.job.state.shop import LEARNED
from benchmate.refusal import AlreadySo, Refused
from tests.unit.shop_of_tests import plan
from tests.unit.two_benches import MIX, POUR, Benches, job_of, read_air, same, start


@pytest.fixture
def benches(tmp_path: Path) -> Iterator[Benches]:
    with Benches(tmp_path) as opened:
        yield opened


def seqs_read(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """From which event on each later catching up reads."""
    seen: list[int] = []
    read = bench.journal.read_since

    def noted(seq: int, limit: int = -1) -> object:
        seen.append(seq)
        return read(seq, limit)

    monkeypatch.setattr(bench.journal, "read_since", noted)
    return seen


# Seeing each other ----------------------------------------------------------------------------


def test_each_sees_what_the_other_did(benches: Benches) -> None:
    one, other = benches.one, benches.other
    one.do("t", cmd.MarkDone(address=MIX))
    assert MIX not in job_of(other).done
    assert other.refresh()
    assert MIX in job_of(other).done
    other.do("t", cmd.Weigh(address=POUR, net_g=127.0))
    assert one.refresh()
    assert job_of(one) == job_of(other)
    assert not one.refresh()
    assert not other.refresh()


def test_a_job_that_another_bench_starts_is_there_after_a_refresh(benches: Benches) -> None:
    one, other = benches.one, benches.other
    start(one, "lamp")
    other.refresh()
    assert list(other.shop.jobs) == list(one.shop.jobs) == ["t", "lamp"]


def test_reading_one_stream_passes_over_no_other(benches: Benches) -> None:
    """Another bench records air, then starts and stops a job; this one first asks for that job."""
    one, other = benches.one, benches.other
    read_air(one, 12.0)
    start(one, "lamp")
    one.do("lamp", cmd.Stop(reason="no shade"))
    assert other.job("lamp") == one.job("lamp")
    other.refresh()
    assert len(other.shop.air_of("shop")) == 1
    assert same(one.shop, other.shop)


def test_own_acts_between_two_of_another_s_pass_over_none(benches: Benches) -> None:
    one, other = benches.one, benches.other
    for celsius in (12.0, 13.0, 14.0):
        read_air(one, celsius)
        benches.clock.tick(60.0)
        other.do("t", cmd.Note(text=f"{celsius:g} degrees"))
    one.refresh()
    assert same(one.shop, other.shop)
    assert len(one.shop.air_of("shop")) == 3


def test_news_is_told_to_whoever_asked_for_it(benches: Benches) -> None:
    one, other = benches.one, benches.other
    told: list[str] = []
    other.on_change = lambda: told.append("changed")
    other.refresh()
    assert not told
    one.do("t", cmd.Note(text="odd grain"))
    other.refresh()
    assert told == ["changed"]


# Deciding again -------------------------------------------------------------------------------


def test_a_late_writer_decides_again_on_what_the_first_one_did(benches: Benches) -> None:
    one, other = benches.one, benches.other
    one.do("t", cmd.MarkDone(address=MIX))
    other.do("t", cmd.Note(text="cup 2"))
    one.do("t", cmd.Weigh(address=POUR, net_g=127.0))
    other.refresh()
    kinds = [ev.kind_of(r.event) for r in job_of(one).records]
    assert kinds == ["job started", "done", "noted", "done", "weighed"]
    assert job_of(one) == job_of(other)


def test_nothing_is_refused_for_what_another_bench_has_done_already(benches: Benches) -> None:
    """To the bench that hasn't looked yet the mix is still to come, and the pour can't be."""
    one, other = benches.one, benches.other
    one.do("t", cmd.MarkDone(address=MIX))
    other.do("t", cmd.Weigh(address=POUR, net_g=127.0))
    one.refresh()
    assert job_of(one) == job_of(other)


def test_taking_back_takes_what_was_the_newest_on_this_bench(benches: Benches) -> None:
    one, other = benches.one, benches.other
    one.do("t", cmd.Note(text="mine"))
    other.refresh()
    other.do("t", cmd.Note(text="yours"))
    one.do("t", cmd.TakeBack())
    assert [n.event.text for n in job_of(one).notes] == ["yours"]


def test_taking_back_on_a_bench_that_knows_no_act_takes_none_of_another_s(benches: Benches) -> None:
    one, other = benches.one, benches.other
    one.do("t", cmd.Note(text="mine"))
    with pytest.raises(Refused, match="nothing left to undo"):
        other.do("t", cmd.TakeBack())
    other.refresh()
    assert job_of(other) == job_of(one)
    assert len(job_of(one).notes) == 1


def test_the_same_act_twice_is_refused_as_already_done(benches: Benches) -> None:
    one, other = benches.one, benches.other
    one.do("t", cmd.MarkDone(address=MIX))
    with pytest.raises(AlreadySo, match="already mixed"):
        other.do("t", cmd.MarkDone(address=MIX))
    assert job_of(other) == job_of(one)
    assert job_of(one).version == 2


def test_the_same_job_started_twice_is_refused(benches: Benches) -> None:
    one, other = benches.open(), benches.open()
    start(one, "lamp")
    with pytest.raises(AlreadySo, match="already a job called lamp"):
        start(other, "lamp")


def test_a_tick_the_other_has_made_already_is_made_once(benches: Benches) -> None:
    one, other = benches.one, benches.other
    assert one.do("t", cmd.Tick(what="4 clamps"))
    assert other.do("t", cmd.Tick(what="4 clamps")) == ()
    assert job_of(other).version == 2


def test_readings_from_two_sides_are_all_kept(benches: Benches) -> None:
    for n in range(6):
        benches.clock.tick(600.0)
        read_air((benches.one, benches.other)[n % 2], 15.0 + n)
    for bench in (benches.one, benches.other):
        bench.refresh()
        assert [r.temperature_c for r in bench.shop.air_of("shop").readings] == [
            15.0,
            16.0,
            17.0,
            18.0,
            19.0,
            20.0,
        ]


# Closed jobs ----------------------------------------------------------------------------------


def test_a_closed_job_is_not_read_at_opening_nor_by_a_refresh(
    benches: Benches, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A job without a plan leaves no lesson behind its end: the end is the journal's last event."""
    one = benches.one
    one.do("free", cmd.StartJob(job="free", title="Jigs"))
    one.do("free", cmd.Stop(reason="done"))
    late = benches.open()
    assert "free" not in late.shop.jobs
    read = seqs_read(late, monkeypatch)
    one.do("t", cmd.Note(text="odd grain"))
    assert late.refresh()
    assert read == [one.journal.end - 1]
    assert "free" not in late.shop.jobs
    found = late.job("free")
    assert found is not None
    assert found.status == "stopped"


@pytest.mark.parametrize("with_plan", [True, False], ids=["a planned job", "a job without a plan"])
def test_a_closed_job_that_another_bench_opens_again_is_read_whole(
    benches: Benches, with_plan: bool
) -> None:
    one = benches.one
    benches.clock.tick(60.0)
    one.do("x", cmd.StartJob(job="x", title="X", plan=plan() if with_plan else None))
    one.do("x", cmd.Note(text="odd grain"))
    benches.clock.tick(60.0)
    start(one, "later")
    one.do("x", cmd.Stop(reason="by mistake"))
    late = benches.open()
    assert "x" not in late.shop.jobs
    one.do("x", cmd.TakeBack())
    assert late.refresh()
    assert job_of(late, "x").status == "open"
    assert job_of(late, "x") == job_of(one, "x")
    fresh = benches.open()
    # Its rank among the jobs is its old one, on every bench.
    assert list(late.shop.jobs) == list(fresh.shop.jobs) == ["t", "x", "later"]


def test_a_closed_job_is_opened_again_by_a_bench_that_never_read_it(benches: Benches) -> None:
    one = benches.one
    one.do("t", cmd.Stop(reason="by mistake"))
    late = benches.open()
    late.do("t", cmd.TakeBack())
    assert job_of(late).status == "open"
    one.refresh()
    assert job_of(one) == job_of(late)


def test_a_closed_job_stays_closed_when_something_else_in_it_is_taken_back(
    benches: Benches,
) -> None:
    one = benches.one
    one.do("t", cmd.Note(text="odd grain"))
    one.do("t", cmd.Stop(reason="split"))
    one.do("t", cmd.TakeBack(version=2))
    assert job_of(one).status == "stopped"
    assert "t" not in benches.open().shop.jobs


def test_lessons_go_with_what_they_came_from(benches: Benches) -> None:
    one, other = benches.one, benches.other
    one.do("t", cmd.WishNextTime(file_step="pour", text="warm the resin"))
    one.do("t", cmd.Stop(reason="split"))
    assert [e.status for e in one.shop.lessons.ended] == ["stopped"]
    other.refresh()
    other.do("t", cmd.TakeBack())
    assert other.shop.lessons.ended == ()
    other.do("t", cmd.TakeBack())
    assert other.shop.lessons.wishes == ()
    other.do("t", cmd.Stop(reason="split after all"))
    one.refresh()
    assert [e.job for e in one.shop.lessons.ended] == ["t"]
    assert one.shop.lessons == other.shop.lessons
    assert one.shop.versions[LEARNED] == 5
