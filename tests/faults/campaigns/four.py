"""Two and four processes that write to one shop at once: a job's streams and the shop's."""

from __future__ import annotations

import random
import time
from collections import Counter
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

from click.testing import CliRunner

from benchmate.bench import Bench
from benchmate.bench.page.picture import picture_of
from benchmate.bench.reminding.minding import minder_of
from benchmate.cli.group import cli
from benchmate.job.deciding import commands as cmd
from benchmate.job.events import stored as ev
from benchmate.job.state.fold import fold_all
from benchmate.journal import verify
from benchmate.refusal import AlreadySo, Refused
from benchmate.settings import Settings, find_folders
from tests.faults.work import Campaign, Child, Tell, Work
from tests.remind_help import FakeChannel, InStepSender
from tests.unit.shop_of_tests import plan
from tests.unit.two_benches import same

POUR = "t/A/block/pour#1"
KINDS = ("note", "note", "weigh", "air", "wish", "note and back", "shelf", "scale")


def start(bench: Bench) -> None:
    try:
        bench.do("t", cmd.StartJob(job="t", title="Bookends", plan=plan()))
        bench.do("t", cmd.MarkDone(address="mix"))
    except AlreadySo:
        pass


def bench(home: Path, name: str, acts: int) -> Callable[[Tell], None]:
    """A bench that acts, says each act once it is recorded, and looks between as a screen does."""

    def work(tell: Tell) -> None:
        chance = random.Random(name)
        with closing(Bench.open(find_folders(home), Settings())) as bench:
            start(bench)
            for number in range(acts):
                text = f"{name}{number}"
                kind = chance.choice(KINDS)
                try:
                    _act(bench, home, kind, text)
                except Refused:
                    continue
                tell(f"{kind}\t{text}")
                bench.refresh()

    return work


def _act(bench: Bench, home: Path, kind: str, text: str) -> None:
    match kind:
        case "weigh":
            bench.do("t", cmd.Weigh(address=POUR, net_g=127.5, what=text))
        case "wish":
            bench.do("t", cmd.WishNextTime(file_step="pour", text=text))
        case "note" | "note and back":
            (noted,) = bench.do("t", cmd.Note(text=text))
            if kind == "note and back":
                bench.do("t", cmd.TakeBack(version=noted.version))
        case _:
            words = {
                "air": ("air", "18C", "--place", text, "--keep"),
                "shelf": ("shelf", "add", text, "--kind", "yellow wood glue"),
                "scale": ("scale", text, "--division", "0.1g"),
            }[kind]
            done = CliRunner().invoke(cli, ["--home", str(home), *words])
            assert done.exit_code == 0, done.output


def mind(home: Path) -> Callable[[Tell], None]:
    """Who reminds and who serves the page: both read all the while, and note what they gave."""

    def work(_: Tell) -> None:
        with closing(Bench.open(find_folders(home), Settings())) as bench:
            minder = minder_of(bench, InStepSender(FakeChannel("sound")))
            while True:
                bench.refresh()
                minder.tick()
                picture_of(bench)
                time.sleep(0.01)

    return work


def run(work: Work) -> None:
    each = 40 if work.short else 250
    for number in range(max(2, work.count // each)):
        benches = 2 if number % 2 else 4
        with work.part(f"{benches} benches") as home:
            with closing(Bench.open(find_folders(home), Settings())) as looking:
                makers = [Child(bench(home, f"{n}x{number}-", each)) for n in range(benches)]
                reader = Child(mind(home))
                told = [maker.ended() for maker in makers]
                reader.kill_after(0)
                for lines, code in told:
                    work.hold(code == 0, f"a bench ended with {code} after {len(lines)} acts")
                looking.refresh()
                said = Counter(tuple(line.split("\t")) for lines, _ in told for line in lines)
                _check(work, home, looking, said)
            work.did(f"runs of {benches} benches beside a mind and a page")
            work.did("acts at once", said.total())


def _check(work: Work, home: Path, looking: Bench, said: Counter[tuple[str, ...]]) -> None:
    verdict = verify(find_folders(home).data)
    work.hold(verdict.ok, verdict.sentence)
    there = _recorded(looking)
    for row, times in said.items():
        work.hold(times == 1 == there[row], f"{row} was said {times} times, is there {there[row]}")
    more = {row: n for row, n in there.items() if row not in said}
    work.hold(not more, f"there and never said: {list(more)[:3]}")
    with closing(Bench.open(find_folders(home), Settings())) as again:
        work.hold(same(again.shop, looking.shop), "who looked on sees another shop")
        state = again.shop.jobs["t"]
        work.hold(fold_all(state.records) == state, "folding it again gives another job")


def _recorded(bench: Bench) -> Counter[tuple[str, str]]:
    """What was recorded, by its kind and text, each with how often."""
    void = bench.shop.jobs["t"].void
    found: Counter[tuple[str, str]] = Counter()
    for row in bench.journal.read_since(0):
        match ev.decode(row.data):
            case ev.Noted(text=text):
                found["note and back" if row.version in void else "note", text] += 1
            case ev.NextTime(text=text):
                found["wish", text] += 1
            case ev.Weighed(what=text):
                found["weigh", text] += 1
            case ev.AirRead():
                found["air", row.stream.partition(":")[2]] += 1
            case ev.MaterialDescribed(name=text):
                found["shelf", text] += 1
            case ev.ScaleDescribed(name=text):
                found["scale", text] += 1
    return found


CAMPAIGN = Campaign(
    "four",
    "Two and four benches, commands, a mind and a page at once lose nothing and double nothing.",
    "forked benches that note, weigh, wish, undo, read air, fill the shelf and describe scales at "
    "the same time, beside one that reminds and serves the page; each act against what it said",
    10_000,
    160,
    run,
)
