"""A wish for next time, taken into the procedure's file: one line more, and nothing else."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from benchmate.bench import Bench
from benchmate.bench.history.wishes import drop, take_into_file, taking, wishes_of
from benchmate.bench.starting.starting import start_job
from benchmate.clock import SetClock
from benchmate.job.deciding import commands as cmd
from benchmate.job.events import stored as ev
from benchmate.job.state.shop import LEARNED
from benchmate.job.words.phrases import remembered
from benchmate.procedure.file.document import load
from benchmate.procedure.finding import find_all, library, load_file
from benchmate.procedure.proofread import proofread_text
from benchmate.procedure.writing.noting import NoPlace, with_note
from benchmate.refusal import Refused
from benchmate.settings import Settings, find_folders
from benchmate.shelf import FAMILIES
from tests.hand_made import record
from tests.tui.benches import START

WISH = "tap the sides longer [/x]"
PAIR = "matched-bookends"


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return Bench.open(find_folders(tmp_path), Settings(), clock=SetClock(START))


def wish(bench: Bench, step: str = "pour", text: str = WISH) -> ev.NextTimeKept:
    job = start_job(bench, PAIR)
    bench.do(job, cmd.WishNextTime(file_step=step, text=text))
    bench.do(job, cmd.Stop(reason="rehearsal"))
    return wishes_of(bench, PAIR)[-1]


def own_file(bench: Bench) -> Path:
    return bench.folders.procedures / f"{PAIR}.toml"


# The editor ----------------------------------------------------------------------------------


@pytest.mark.parametrize("name", [f.name for f in find_all()])
def test_every_step_of_every_shipped_file_takes_two_notes_and_still_proofreads(name: str) -> None:
    (found,) = [f for f in find_all() if f.name == name]
    first = load_file(found.path)
    for flat in first.standard.steps:
        once = with_note(first, flat.key, "first")
        second = load(once.text, first.file, first.library)
        twice = with_note(second, flat.key, "second, {not a parameter}")
        third = load(twice.text, first.file, first.library)
        notes = {f.key: f.spec.note for f in third.standard.steps if f.spec.note}
        assert notes == {flat.key: ("first", "second, (not a parameter)")}
        kept = [line for line in twice.text.splitlines() if line in first.text.splitlines()]
        assert kept == first.text.splitlines(), "order, comments and every other line stay"
    assert proofread_text(twice.text, name, library(), materials={}, families=FAMILIES) == []


HEAD = """name = "Tray"
[parts.a]
wood = "black walnut"
size = "200 x 80 x 12 mm"
[parts.b]
wood = "black walnut"
size = "200 x 80 x 12 mm"
[materials]
glue = "yellow wood glue"
"""
GLUE = '[[steps]]\nuse = "wood-glue joint in clamps"\nof = ["a", "b"]\n'


@pytest.mark.parametrize(
    ("steps", "step", "added"),
    [
        ('[[steps]]\nid    = "sand"\ndo    = "Sand it."', "sand", 'note  = "N"'),
        ('[[steps]]\ndo = """\nSand it."""  # why\n\n# end\n', "sand-it", 'note = "N"'),
        ('[[steps]]\ndo = "Sand it."\nnote = "M" # mine\n', "sand-it", 'note = ["M", "N"] # mine'),
        (GLUE, "spread", 'change.spread.note = "N"'),
        (GLUE, "dry-run", 'change."dry run".note = "N"'),
        (f'{GLUE}[steps.change.spread]\nhands = "4 min"\n', "spread", 'note  = "N"'),
        (
            f'{GLUE}change = {{ spread = {{ hands = "4 min" }} }}  # slow\n',
            "spread",
            'change = { spread = { hands = "4 min", note = "N" } }  # slow',
        ),
        (f'{GLUE}change.spread.hands = "4 min"\n', "spread", 'change.spread.note = "N"'),
    ],
    ids=[
        "aligned",
        "after many lines",
        "one already",
        "block",
        "step with a blank",
        "own heading",
        "inline",
        "dotted",
    ],
)
def test_a_note_is_written_as_the_file_writes(steps: str, step: str, added: str) -> None:
    text = HEAD + steps
    noted = with_note(load(text, "tray.toml", library()), step, "N")
    new = [line for line in noted.text.splitlines() if line not in text.splitlines()]
    assert new == [added]
    assert f"+{added}" in noted.change
    assert load(noted.text, "tray.toml", library()).standard.steps


@pytest.mark.parametrize(
    ("steps", "step", "note", "why"),
    [
        ('[[steps]]\ndo = "Sand it."\n', "scrape", "N", "no longer has a step"),
        ('[[steps]]\ndo = "Sand it."\n', "sand-it", " \n", "nothing in this note"),
        ("[ignored]\n", "sand-it", "N", "beyond this editor"),
    ],
    ids=["unknown step", "nothing said", "steps in one line"],
)
def test_what_cannot_be_written_is_refused_with_the_reason(
    steps: str, step: str, note: str, why: str
) -> None:
    text = HEAD + steps
    if "ignored" in steps:
        text = 'name = "Tray"\nsteps = [{ do = "Sand it." }]\n'
    with pytest.raises(NoPlace, match=why):
        with_note(load(text, "tray.toml", library()), step, note)


# The bench -----------------------------------------------------------------------------------


def test_a_shipped_procedure_is_copied_first_and_the_next_job_shows_the_note(bench: Bench) -> None:
    kept = wish(bench)
    running = start_job(bench, PAIR)
    found = taking(bench, kept)
    assert "came with benchmate: a copy becomes your own" in found.said[0]
    assert f'+change.pour.note = "{WISH}"' in found.said
    assert not own_file(bench).exists(), "nothing is written before it is agreed to"
    assert str(own_file(bench)) in take_into_file(bench, found)
    assert wishes_of(bench, PAIR) == []
    later = start_job(bench, PAIR)
    plan = bench.shop.jobs[later].plan
    assert plan is not None
    assert (plan.notes, plan.next_time) == ({"pour": (WISH,)}, {})
    pour = next(s for s in plan.steps if s.file_step == "pour")
    assert remembered(bench.shop.jobs[later], pour) == (f"Note: {WISH}",)
    old = bench.shop.jobs[running]
    assert remembered(old, pour) == (f"Next time, you said: {WISH}",), "a running job is frozen"


def test_an_own_file_is_kept_beside_as_it_was(bench: Bench) -> None:
    take_into_file(bench, taking(bench, wish(bench)))
    before = own_file(bench).read_text()
    said = take_into_file(bench, taking(bench, wish(bench, "outside", "plane first")))
    assert "matched-bookends.toml.before" in said
    assert own_file(bench).with_name("matched-bookends.toml.before").read_text() == before
    take_into_file(bench, taking(bench, wish(bench, "outside", "sharpen")))
    assert own_file(bench).with_name("matched-bookends.toml.before-2").exists()
    assert [
        s["note"] for s in tomllib.loads(own_file(bench).read_text())["steps"] if "note" in s
    ] == [["plane first", "sharpen"]]
    assert [f.name for f in find_all(bench.folders.procedures.parent)].count(PAIR) == 1


def test_a_wish_that_the_file_says_already_only_leaves_the_list(bench: Bench) -> None:
    take_into_file(bench, taking(bench, wish(bench)))
    again = taking(bench, wish(bench))
    assert "says it already" in again.said[0]
    before = own_file(bench).read_text()
    take_into_file(bench, again)
    assert own_file(bench).read_text() == before
    assert wishes_of(bench, PAIR) == []


def test_a_file_saved_meanwhile_is_not_overwritten(bench: Bench) -> None:
    take_into_file(bench, taking(bench, wish(bench)))
    kept = wish(bench, "outside", "plane first")
    found = taking(bench, kept)
    own_file(bench).write_text(own_file(bench).read_text() + "# mine\n")
    with pytest.raises(Refused, match="saved meanwhile"):
        take_into_file(bench, found)
    assert wishes_of(bench, PAIR) == [kept]


def test_a_folder_that_cannot_be_written_is_said_and_the_wish_stays(bench: Bench) -> None:
    kept = wish(bench)
    bench.folders.procedures.parent.mkdir(exist_ok=True)
    bench.folders.procedures.write_text("a file where the folder should be")
    with pytest.raises(Refused, match="can't be written"):
        take_into_file(bench, taking(bench, kept))
    assert wishes_of(bench, PAIR) == [kept]


def test_a_disk_that_refuses_leaves_the_own_file_as_it_was(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    take_into_file(bench, taking(bench, wish(bench)))
    kept = wish(bench, "outside", "plane first")
    before = own_file(bench).read_text()

    def refuses(path: Path, content: bytes) -> None:
        raise OSError(30, "Read-only file system")

    monkeypatch.setattr("benchmate.journal.files.write_durably", refuses)
    with pytest.raises(Refused, match=r"read-only file system\. It is as it was"):
        take_into_file(bench, taking(bench, kept))
    assert own_file(bench).read_text() == before
    assert wishes_of(bench, PAIR) == [kept]


def test_a_broken_file_is_to_be_put_right_first(bench: Bench) -> None:
    take_into_file(bench, taking(bench, wish(bench)))
    kept = wish(bench, "outside", "plane first")
    own_file(bench).write_text(own_file(bench).read_text().replace("[[needs]]", "[[neds]]"))
    with pytest.raises(Refused, match="Put the file right first"):
        taking(bench, kept)


def test_a_wish_for_a_step_that_is_gone_can_be_forgotten(bench: Bench) -> None:
    kept = replaced(bench, wish(bench))
    with pytest.raises(Refused, match="no longer has a step “gone”"):
        taking(bench, kept)
    drop(bench, kept)
    assert kept not in wishes_of(bench, PAIR)


def replaced(bench: Bench, kept: ev.NextTimeKept) -> ev.NextTimeKept:
    now = bench.now()
    gone = ev.NextTimeKept(happened=now, recorded=now, procedure=PAIR, file_step="gone", text="x")
    record(bench, (LEARNED, gone))
    return wishes_of(bench, PAIR, "gone")[0]


def test_wishes_of_the_file_and_of_jobs_stand_together(bench: Bench) -> None:
    take_into_file(bench, taking(bench, wish(bench)))
    text = own_file(bench).read_text()
    own_file(bench).write_text(
        f'{text}\n[next_time]\n"shot pour" = "warm the resin"\noutside = "plane first"\n'
    )
    bench.do(start_job(bench, PAIR), cmd.WishNextTime(file_step="outside", text="sharpen"))
    job = start_job(bench, PAIR)
    plan = bench.shop.jobs[job].plan
    assert plan is not None
    assert plan.next_time == {"tape": ("warm the resin",), "outside": ("plane first", "sharpen")}
