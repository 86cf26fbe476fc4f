"""Make a journal for `tests/journals/`: every kind of event there is, played by the real service.

    python -m tests.journals.make v2
    python -m tests.journals.make newer

Done once for each change of the events. What is made is never made anew: a journal of an earlier
version is worth keeping because an earlier version wrote it. "newer" is one that a benchmate of
the future wrote into.
"""

from __future__ import annotations

import json
import sys
import tempfile
from contextlib import closing
from pathlib import Path

from benchmate.air.followed.notices import Notice
from benchmate.air.readings import Reading
from benchmate.bench import Bench
from benchmate.bench.shelf.shelf import describe_material, find_material, material_gone, start_clock
from benchmate.bench.starting.changing import Wish, change_of, take_change
from benchmate.bench.starting.starting import start_job
from benchmate.bench.trying.rehearsal import Rehearsal, scatter
from benchmate.bench.weights.measured_void import take_measured
from benchmate.clock import SetClock
from benchmate.job.deciding import commands as cmd
from benchmate.job.deciding.streams import commands as shop
from benchmate.job.events import stored as ev
from benchmate.job.events.stored import AmountChanged
from benchmate.job.state.shop import CLOCK, LEARNED, PLACE, STORES
from benchmate.job.windows.agenda import Act
from benchmate.journal import NewRow
from benchmate.moment import Moment
from benchmate.plan.plan import MIXED, Amount
from benchmate.settings import Settings, find_folders
from benchmate.shelf import Material
from tests.hand_made import record
from tests.journals.digest import digest

HERE = Path(__file__).parent
HOUR_S, DAY_S = 3600.0, 86_400.0
START = Moment(1_795_683_600_000_000_000, "boot-of-tests", 9_000_000_000_000)
PAIR = "pair_of_bookends"
FILE = HERE.parent / "unit" / "pair_of_bookends.toml"
FIRST, SECOND, THIRD = f"{PAIR}-1", f"{PAIR}-2", f"{PAIR}-3"


def main(name: str) -> None:
    """Make one version's journal and what it must still say when it is opened later."""
    target = HERE / name
    if target.exists():
        raise SystemExit(f"{target} is there already; a journal that was made stays as it is.")
    with tempfile.TemporaryDirectory() as folder:
        folders, clock = find_folders(Path(folder)), SetClock(START)
        with closing(Bench.open(folders, Settings(), clock=clock)) as bench:
            if name == "newer":
                write_the_future(bench)
            else:
                Shop(bench, clock).work()
                insist_on_all_kinds(bench)
        with closing(Bench.open(folders, Settings(), clock=clock)) as bench:
            text = json.dumps(digest(bench), indent=1, ensure_ascii=False, sort_keys=True)
        target.mkdir()
        for file in ("journal.db", "journal.head"):
            (target / file).write_bytes((folders.data / file).read_bytes())
    (target / "digest.json").write_text(text + "\n", encoding="utf-8")


def insist_on_all_kinds(bench: Bench) -> None:
    """What isn't in the journal is not held to anything by it."""
    there = {ev.kind_of(ev.decode(row.data)) for row in bench.journal.read_since(0)}
    if ev.KINDS - there:
        raise SystemExit(f"No event of these kinds was made: {', '.join(ev.KINDS - there)}.")


FUTURE = b'{"kind":"levitated","schema":99,"by_mm":12,"happened":[1,null,null],"recorded":[1]}'


def write_the_future(bench: Bench) -> None:
    """Two jobs, one of which holds what nobody here can read, as does the shelf."""
    for name in ("lamp", "hammer"):
        bench.do(name, cmd.StartJob(job=name, title=name.title()))
        bench.do(name, cmd.Note(text="odd grain"))
    rows = [NewRow("job:lamp", FUTURE), NewRow(STORES, FUTURE)]
    bench.journal.append(rows, {"job:lamp": 2, STORES: 0}, open_streams={STORES: True})


class Shop:
    """A few days of a small shop, with all that can happen in them."""

    def __init__(self, bench: Bench, clock: SetClock) -> None:
        self.bench, self.clock = bench, clock
        self._off = scatter()

    def work(self) -> None:
        """All of it."""
        self.around()
        self.first_pair()
        self.second_pair()
        self.changed_pair()
        self.clocks()
        self.machine()

    def around(self) -> None:
        """Scale, materials, air, what was learned, dates."""
        now = self.bench.now()
        value = shop.LearnedValue(key="packing", value=0.603, old=0.6, n=6)
        wish = ev.NextTimeKept(
            happened=now, recorded=now, procedure=PAIR, file_step="pour", text="warm the resin"
        )
        record(self.bench, (LEARNED, wish))
        for command in (
            shop.DescribeScale(
                name="bench scale", division_g=0.1, repeatability_g=0.1, capacity_g=3000.0
            ),
            shop.CheckScale(name="bench scale", nominal_g=500.0, reading_g=500.1),
            shop.SetRules(near_fraction=0.7),
            shop.Learn(procedure=PAIR, values=(value,)),
            shop.DropWish(wish=wish),
            shop.ChangeHours(
                hours=ev.OtherHours(begins=now.wall_s, ends=now.wall_s + HOUR_S, why="dentist")
            ),
        ):
            self.bench.settle(command)
        describe_material(self.bench, Material(name="slow resin", family="slow casting epoxy"))
        describe_material(self.bench, Material(name="old glue", family="yellow wood glue"))
        material_gone(self.bench, "old glue")
        self.air(now)

    def air(self, now: Moment) -> None:
        """From a file, which then falls silent; and what looks like a slip, and stands."""
        file = "thermometer file"
        readings = tuple(
            shop.Logged(now.shifted((hour - 6) * HOUR_S), 15.0 + hour / 2, 58.0)
            for hour in range(6)
        )
        self.bench.settle(shop.LogAir(place="shop", source=file, readings=readings))
        last = Reading(self.bench.now_s() - HOUR_S, 17.5, 58.0)
        odd = Reading(last.t_s + 60.0, 41.5)
        for notice in (
            Notice(file, "left out", last=last, reading=odd),
            Notice(file, "silent", "it is empty", HOUR_S, last=last),
        ):
            self.bench.settle(shop.LogAir(place="shop", source=file, notice=notice))
        self.clock.tick(60.0)
        self.bench.settle(shop.ReadAir(place="shop", temperature_c=17.0, humidity_pct=58.0))
        self.clock.tick(60.0)
        self.bench.settle(shop.ReadAir(place="shop", temperature_c=26.5, stands=True))
        version, at = self.bench.shop.versions[PLACE + "shop"], self.bench.now()
        self.bench.settle(shop.CorrectAir(place="shop", version=version, at=at, temperature_c=16.5))
        back = ev.EdgeSetBack(
            happened=now,
            recorded=now,
            schema=2,
            window="a/b/c/d#1:e",
            edge="opens",
            at=now.shifted(-HOUR_S),
            until=now.shifted(HOUR_S),
            sure="about",
        )
        record(self.bench, (PLACE + "shop", back))

    def first_pair(self) -> None:
        """From the blanks to the felt, with what goes wrong on the way put right."""
        start_job(self.bench, str(FILE))
        wall_s = self.bench.now().wall_s
        last = list(self.bench.shop.jobs[FIRST].steps)[-1]
        for command in (
            shop.AwaitDelivery(what="felt", steps=(last,), comes=wall_s + DAY_S),
            shop.PinStep(step=last, at=wall_s + 20 * DAY_S),
            shop.PromiseFinish(job=FIRST, by=wall_s + 30 * DAY_S, to="the shop next door"),
            shop.AdoptDays(dates={last: wall_s + 20 * DAY_S}, ends={}, done_by={}),
        ):
            self.bench.settle(command)
        self.rehearse(2 * HOUR_S)
        version, weighing = max(self.bench.shop.jobs[FIRST].weighings.items())
        right_g = weighing.net_g - 0.4
        self.do(FIRST, cmd.Correct(version=version, net_g=right_g, reason="read the wrong line"))
        self.do(FIRST, cmd.Note(text="[b]odd[/b] grain, “café” \x1b[31m, 木"))
        self.do(FIRST, cmd.TakeBack())
        self.do(FIRST, cmd.Note(text="clamps 2 and 3 slip"))
        mix = next(a for a in self.bench.shop.jobs[FIRST].done if "/mix#" in a)
        self.do(
            FIRST, cmd.SayAmounts(address=mix, left_g=6.5, used=(Amount(what=MIXED, amount=130.0),))
        )
        self.do(FIRST, cmd.WishNextTime(file_step="pour", text="use the smaller funnel"))
        self.do(FIRST, cmd.Tick(what="4 clamps"))
        self.do(FIRST, cmd.See(keys=("scale too coarse",)))
        self.do(FIRST, cmd.Pause(reason="holiday"))
        self.clock.tick(3 * DAY_S)
        self.do(FIRST, cmd.Resume())
        self.rehearse(20 * DAY_S)
        self.do(FIRST, cmd.Finish(outcome="they match"))

    def second_pair(self) -> None:
        """Stopped half-way: a cup gelled, a piece split."""
        start_job(self.bench, str(FILE))
        self.rehearse(0.2 * HOUR_S)
        while not self.pour_ahead():
            self.rehearse(0.1 * HOUR_S)
        pour = self.pour_ahead()
        self.do(SECOND, cmd.Begin(address=pour))
        self.do(SECOND, cmd.ReadScale(address=pour, reading_g=600.0, text="600.0 g"))
        self.do(SECOND, cmd.ReadScale(address=pour, reading_g=716.5, text="716.5 g", adding="shot"))
        self.do(
            SECOND,
            cmd.Weigh(
                address=pour,
                net_g=99.0,
                gross=("699.0 g",),
                tare=("600.0 g",),
                stands="That is far below the plan.",
            ),
        )
        self.clock.tick(3 * HOUR_S)
        missed = next(v for v in self.bench.agenda().windows if v.state == "missed")
        self.do(SECOND, cmd.AnswerMissed(window=missed.address, answer="let it be"))
        state = self.bench.shop.jobs[SECOND]
        assert state.plan is not None
        self.do(
            SECOND,
            cmd.ChangePlan(
                plan=state.plan,
                amounts=(AmountChanged(address=pour, what="resin", old=9.0, new=9.4),),
                reason="coarser scale",
            ),
        )
        left = next(a for a in state.steps if not state.is_settled(a))
        self.do(SECOND, cmd.Skip(address=left, reason="not needed"))
        self.do(SECOND, cmd.Spoil(piece="B", reason="drilled through the wall"))
        self.do(SECOND, cmd.Stop(reason="the wood split"))

    def changed_pair(self) -> None:
        """Changed in each way while it runs, an act that no plan foresaw among it, and finished."""
        start_job(self.bench, str(FILE))
        take_measured(self.bench, self.bench.shop.jobs[THIRD], "A=46 mm")
        while "B/block/cap#1" not in "".join(self.bench.shop.jobs[THIRD].done):
            self.rehearse(0.2 * HOUR_S)
        self.change(Wish(target_g=846.0, tolerance_g=6.0, piece="B"), "the shelf is weak")
        self.change(Wish(materials={"glue": "white wood glue"}), "the yellow one is used up")
        self.change(Wish(pieces=3), "a third is wanted")
        cured, spread = f"{THIRD}/A/block/cured#1", f"{THIRD}/B/all/spread#1"
        self.change(Wish(add=(cured, "Sign the underside", 300.0)), "it is a gift")
        added = f"{THIRD}/A/block/sign-the-underside#1"
        self.change(Wish(move=(added, f"{THIRD}/A/all/outside#1")), "first the outside")
        self.change(Wish(amount=(spread, "", 2.5)), "thin glue")
        self.change(Wish(leave_out=f"{THIRD}/B/all/weigh-sanded#1"), "once is enough")
        with tempfile.TemporaryDirectory() as folder:
            edited = Path(folder) / "edited.toml"
            text = FILE.read_text(encoding="utf-8").replace("Sand the outer", "Plane the outer")
            edited.write_text(text, encoding="utf-8")
            self.change(Wish(file=str(edited)), "planed, not sanded")
        self.do(THIRD, cmd.DoFreely(act="sharpened", name="the plane"))
        self.do(THIRD, cmd.Spoil(piece="C", reason="the wood split"))
        self.rehearse(20 * DAY_S)
        self.do(THIRD, cmd.Finish(outcome="they match"))

    def change(self, wish: Wish, reason: str) -> None:
        self.clock.tick(20.0)
        job = self.bench.shop.jobs[THIRD]
        take_change(self.bench, job, change_of(self.bench, job, wish), reason)

    def pour_ahead(self) -> str:
        """The pour that is the next act, if one is."""
        found = self.bench.agenda().next
        return found.address if found and "/pour#" in found.address else ""

    def clocks(self) -> None:
        """Clocks straight from materials, one of them running on."""
        resin = find_material(self.bench, "slow resin")
        start_clock(self.bench, resin, "poured", name="test cup", grams=40.0)
        self.clock.tick(600.0)
        cup = next(v for v in self.bench.agenda().windows if v.window.label == "test cup, tacky")
        self.do(cup.job, cmd.Try(window=cup.address, ready=False))
        glue = find_material(self.bench, "yellow wood glue")
        start_clock(self.bench, glue, "clamped", name="drawer")

    def machine(self) -> None:
        """The wall clock is set, and the machine is started again."""
        was = self.clock.moment
        self.clock.moment = Moment(was.wall_ns + round(HOUR_S * 1e9), was.boot_id, was.boot_ns)
        self.bench.mind_clock()
        after = self.clock.tick(HOUR_S)
        self.clock.moment = Moment(after.wall_ns, "another-boot", 40_000_000_000)
        self.bench.mind_clock()
        assert len(self.bench.journal.read_stream(CLOCK)) == 3

    def do(self, job: str, command: cmd.Command) -> None:
        self.clock.tick(20.0)
        self.bench.do(job, command)

    def rehearse(self, seconds: float) -> None:
        Rehearsal(self.bench, self.clock, self.read).run(self.bench.now_s() + seconds, {})

    def read(self, act: Act) -> str:
        """A scale that reads a little off the plan."""
        point = act.step.weigh if act.step else None
        return f"{(point.plan_g or 0.0 if point else 0.0) * (1 + next(self._off)):.1f} g"


if __name__ == "__main__":
    main(sys.argv[1])
