"""Journals of every version there was open, verify, and say what they said then."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path

import pytest

from benchmate.bench import Bench
from benchmate.bench.history.logbook import entries
from benchmate.clock import SetClock
from benchmate.job.deciding import commands as cmd
from benchmate.job.events import stored as ev
from benchmate.journal import verify
from benchmate.moment import Moment
from benchmate.refusal import JobClosed
from benchmate.settings import Settings, find_folders
from tests.journals.digest import digest
from tests.journals.make import main
from tests.minding_help import zone

HERE = Path(__file__).parent
VERSIONS = sorted(path.name for path in HERE.glob("v*") if path.is_dir())
NOW = Moment(1_801_000_000_000_000_000, "boot-of-today", 9_000_000_000_000)
Open = Callable[[str], Bench]


@pytest.fixture
def opened(tmp_path: Path) -> Iterator[Open]:
    """Opens a copy of a journal by its folder's name."""
    with ExitStack() as stack:

        def copied(name: str) -> Bench:
            folders = find_folders(tmp_path / name)
            folders.data.mkdir(parents=True)
            for file in ("journal.db", "journal.head"):
                shutil.copy(HERE / name / file, folders.data / file)
            bench = Bench.open(folders, Settings(), clock=SetClock(NOW))
            stack.callback(bench.close)
            return bench

        yield copied


def said_then(name: str) -> object:
    return json.loads((HERE / name / "digest.json").read_text(encoding="utf-8"))


def said_now(bench: Bench) -> dict[str, object]:
    """As it is said in JSON, less the boot that opening it here has added."""
    found: dict[str, dict[str, object]] = json.loads(json.dumps(digest(bench)))
    began = [
        row
        for row in bench.journal.read_stream("clock")
        if getattr(ev.decode(row.data), "happened", None) == NOW
    ]
    assert len(began) == 1
    clock = found["events"].get("clock")
    assert isinstance(clock, int)
    found["events"]["clock"] = clock - 1
    return dict(found)


def test_there_is_a_journal_of_the_first_version() -> None:
    assert "v1" in VERSIONS


@pytest.mark.parametrize("name", [*VERSIONS, "newer"])
def test_a_journal_that_was_written_then_says_the_same_now(name: str, opened: Open) -> None:
    bench = opened(name)
    assert said_now(bench) == said_then(name)
    assert verify(bench.folders.data).ok
    assert bench.verify_sentence() == ""


@pytest.mark.parametrize("name", VERSIONS)
def test_its_jobs_go_on_and_its_logbook_can_be_read(name: str, opened: Open) -> None:
    bench = opened(name)
    for job in bench.shop.live:
        bench.do(job.job, cmd.Note(text="opened again"))
    assert all(entry.text for entry in entries(bench))
    kinds = {ev.kind_of(ev.decode(row.data)) for row in bench.journal.read_since(0)}
    assert kinds <= ev.KINDS
    assert bench.agenda().windows
    for info in bench.journal.streams():
        if info.stream.startswith("job:"):
            assert bench.job(info.stream.removeprefix("job:")) is not None


QUOTED = (("edge set back", "still shut"), ("air silent", "no line since 9:00"))
CHANGED = (("plan changed", "tolerance: 8 g, was 6 g"),)
"""What events of schema 1 hold as sentences is quoted, word by word."""
TOLD = (
    ("edge set back", "b/c/d#1:e", "08:00", "about 10:00"),
    ("air silent", "thermometer file", "1 h", "it is empty", "17.5 °C"),
    ("air silent", "17.5 °C to 41.5 °C in 1 min"),
    ("air read", "26.5 °C", "17 °C to 26.5 °C"),
    ("plan changed", "pour#", "resin 9.0 → 9.4 g"),
)
"""What is told from facts holds these, in whatever words."""
ALTERED = (
    ("plan changed", "measured void", "A/block/pour#1: shot 118.1 → 115.5 g"),
    ("plan changed", "target of B: 850 → 846 g", "the shelf is weak"),
    ("plan changed", "white wood glue in place of", "clamp-time opens after 45 min → 1 h"),
    ("plan changed", "one more piece: C"),
    ("plan changed", "added: A/block/sign-the-underside#1", "it is a gift"),
    ("plan changed", "another order from A/block/sign-the-underside#1 on"),
    ("plan changed", "B/all/spread#1: glue 1.5 → 2.5 g"),
    ("plan changed", "left out: B/all/weigh-sanded#1"),
    ("plan changed", "A/all/outside#1: now “Plane the outer faces.”"),
)
"""A job that was changed in each way tells it."""
SAID = {"v1": CHANGED, "v2": (*QUOTED, *CHANGED), "v3": TOLD, "v4": (*TOLD, *ALTERED)}


@pytest.mark.parametrize("name", list(SAID))
def test_what_was_said_then_is_said_now(name: str, opened: Open) -> None:
    with zone("UTC"):
        told = [(entry.kind, entry.text) for entry in entries(opened(name))]
    for kind, *parts in SAID[name]:
        assert any(k == kind and all(p in text for p in parts) for k, text in told), (kind, parts)


def test_the_newest_journal_holds_an_event_of_every_kind(opened: Open) -> None:
    """A kind was added? `python -m tests.journals.make vN` makes the journal that holds it."""
    newest = opened(max(VERSIONS, key=lambda name: int(name[1:])))
    kinds = {ev.kind_of(ev.decode(row.data)) for row in newest.journal.read_since(0)}
    assert kinds == ev.KINDS


def test_what_a_newer_benchmate_wrote_makes_its_job_read_only_and_no_other(opened: Open) -> None:
    bench = opened("newer")
    with pytest.raises(JobClosed, match="A newer benchmate wrote “levitated” into this job"):
        bench.do("lamp", cmd.Note(text="may I?"))
    with pytest.raises(JobClosed, match="Update benchmate"):
        bench.do("lamp", cmd.TakeBack())
    assert len(bench.shop.jobs["lamp"].notes) == 1
    bench.do("hammer", cmd.Note(text="this one goes on"))
    assert len(bench.shop.jobs["hammer"].notes) == 2
    assert bench.shop.unreadable == ("stores",)


def test_a_journal_that_is_there_is_never_made_anew() -> None:
    before = (HERE / "v1" / "journal.db").read_bytes()
    with pytest.raises(SystemExit, match="is there already"):
        main("v1")
    assert (HERE / "v1" / "journal.db").read_bytes() == before


@pytest.mark.parametrize("name", ["v9000", "newer"])
def test_a_new_one_can_be_made(name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tests.journals.make.HERE", tmp_path)
    main(name)
    (tmp_path / name).rename(tmp_path / "made")
    assert sorted(p.name for p in (tmp_path / "made").iterdir()) == [
        "digest.json",
        "journal.db",
        "journal.head",
    ]
    assert verify(tmp_path / "made").ok
