"""A bench on a full disk: a sentence, what was recorded stays, the same act goes once it can."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from benchmate.bench import Bench
from benchmate.job.deciding import commands as cmd
from benchmate.job.state.state import JobState
from benchmate.journal import JournalFull, verify
from benchmate.settings import Settings, find_folders
from tests.faults.campaign import ROOT
from tests.faults.mounts import tiny_disk
from tests.unit.shop_of_tests import plan

SENTENCE = "is full. Nothing was recorded. Make some room on the disk, then do it again."


def note_until_refused(bench: Bench, first: int = 1) -> tuple[int, str]:
    """How many notes were recorded in all, and the refusal's sentence."""
    number = first
    while True:
        before = bench.shop
        try:
            bench.do("t", cmd.Note(text=f"{number} " + "x" * 900))
        except JournalFull as refusal:
            assert bench.shop is before
            return number - 1, str(refusal)
        number += 1


def notes_in(state: JobState) -> list[int]:
    return [int(n.event.text.split()[0]) for n in state.notes]


def test_a_bench_on_a_full_disk_records_nothing_and_then_the_same_act(tmp_path: Path) -> None:
    with tiny_disk(tmp_path / "disk", 700) as disk:
        filler = disk / "somebody else's file"
        filler.write_bytes(bytes(200_000))
        folders = find_folders(disk)
        bench = Bench.open(folders, Settings())
        bench.do("t", cmd.StartJob(job="t", title="Bookends", plan=plan()))
        recorded, said = note_until_refused(bench)
        assert SENTENCE in said
        assert recorded > 5
        # Still full, it refuses again, shows what was recorded, and has its next act.
        assert note_until_refused(bench, recorded + 1)[0] == recorded
        assert notes_in(bench.shop.jobs["t"]) == list(range(1, recorded + 1))
        assert bench.agenda().next is not None
        assert "Today's backup couldn't be made" in bench.backup_if_due()
        assert bench.verify_sentence() == ""

        # Whoever only reads can.
        reading = Bench.open(folders, Settings(), create=False, read_only=True)
        assert notes_in(reading.shop.jobs["t"]) == list(range(1, recorded + 1))
        reading.close()

        filler.unlink()
        bench.do("t", cmd.MarkDone(address="mix"))
        again, _ = note_until_refused(bench, recorded + 1)
        assert again > recorded
        bench.close()
        late = Bench.open(folders, Settings(), create=False, read_only=True)
        assert notes_in(late.shop.jobs["t"]) == list(range(1, again + 1))
        assert list(late.shop.jobs["t"].done) == ["t/all/all/mix#1"]
        late.close()
        assert verify(folders.data).ok


LIMITED = """
import resource, sys
from pathlib import Path
from benchmate.bench import Bench
from benchmate.job.deciding import commands as cmd
from benchmate.journal import JournalUnwritable
from benchmate.settings import Settings, find_folders
from tests.unit.shop_of_tests import plan

bench = Bench.open(find_folders(Path(sys.argv[1])), Settings())
bench.do("t", cmd.StartJob(job="t", title="Bookends", plan=plan()))
resource.setrlimit(resource.RLIMIT_FSIZE, (150_000, resource.RLIM_INFINITY))
number = 0
while True:
    try:
        bench.do("t", cmd.Note(text=f"{number + 1} " + "x" * 900))
    except JournalUnwritable as refusal:
        print(refusal)
        break
    number += 1
print(number, len(bench.shop.jobs["t"].notes))
resource.setrlimit(resource.RLIMIT_FSIZE, (resource.RLIM_INFINITY, resource.RLIM_INFINITY))
bench.do("t", cmd.Note(text=f"{number + 1} there is room again"))
bench.close()
"""


@pytest.mark.skipif(os.name == "nt", reason="file size limits are POSIX")
def test_a_journal_that_may_not_grow_refuses_the_act_and_takes_it_when_it_may(
    tmp_path: Path,
) -> None:
    """Needs no superuser."""
    done = subprocess.run(
        [sys.executable, "-c", LIMITED, str(tmp_path)],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )
    said, counts = done.stdout.splitlines()
    assert "Nothing was recorded" in said
    recorded, shown = map(int, counts.split())
    assert recorded == shown > 5
    bench = Bench.open(find_folders(tmp_path), Settings())
    assert notes_in(bench.shop.jobs["t"]) == list(range(1, recorded + 2))
    bench.close()
