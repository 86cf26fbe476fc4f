"""Four benches work on one job at once: no act is lost, none is there twice, all see the same."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from benchmate.bench import Bench
from benchmate.job.events import stored as ev
from benchmate.job.state.fold import fold_all
from benchmate.journal import verify
from benchmate.settings import Settings, find_folders
from tests.faults.campaign import scaled, start, tell
from tests.unit.two_benches import same

WRITERS = ("a", "b", "c", "d")
SECONDS = scaled(2, 20)


@pytest.mark.timeout(300)
def test_four_benches_lose_nothing_and_write_nothing_twice(tmp_path: Path) -> None:
    """They also start the job and note the boot: all four at once, on an empty folder."""
    folders = find_folders(tmp_path)
    with_screen = Bench.open(folders, Settings())
    writers = [start("bench_writer", tmp_path, name, SECONDS) for name in WRITERS]
    while any(writer.poll() is None for writer in writers):
        with_screen.refresh()
        try:
            writers[0].wait(0.05)
        except Exception:
            continue
    outputs = [writer.communicate(timeout=60)[0] for writer in writers]
    assert [writer.returncode for writer in writers] == [0] * len(WRITERS)

    said = Counter(tuple(line.split("\t")) for out in outputs for line in out.splitlines())
    assert all(len(out.splitlines()) > 10 for out in outputs)
    with_screen.refresh()
    again = Bench.open(folders, Settings())
    try:
        assert kept(again) == said
        state = again.shop.jobs["t"]
        assert [r.version for r in state.records] == list(range(1, state.version + 1))
        assert fold_all(state.records) == state
        assert same(again.shop, with_screen.shop)
        clocks = [ev.decode(r.data) for r in again.journal.read_stream("clock")]
        assert [ev.kind_of(e) for e in clocks] == ["clock began"]
        assert [ev.kind_of(r.event) for r in state.records].count("job started") == 1
    finally:
        again.close()
        with_screen.close()
    assert verify(folders.data).ok
    tell(
        f"4 benches, {SECONDS} s: {sum(said.values())} acts "
        f"({'/'.join(str(len(out.splitlines())) for out in outputs)}), {state.version} events"
    )


def kept(bench: Bench) -> Counter[tuple[str, str]]:
    """What the writers say of what they have recorded, worked out from the journal alone."""
    state = bench.shop.jobs["t"]
    found: Counter[tuple[str, str]] = Counter()
    for record in state.records:
        event, back = record.event, record.version in state.void
        if isinstance(event, ev.Noted):
            found["note and back" if back else "note", event.text] += 1
        elif isinstance(event, ev.Weighed):
            found["weigh", event.what] += 1
        elif isinstance(event, ev.NextTime):
            found["wish", event.text] += 1
    for row in bench.journal.read_stream("place:shop"):
        reading = ev.decode(row.data)
        assert isinstance(reading, ev.AirRead)
        found["air", reading.source] += 1
    wishes = Counter(w.text for w in bench.shop.lessons.wishes)
    assert wishes == Counter(text for kind, text in found if kind == "wish")
    return found
