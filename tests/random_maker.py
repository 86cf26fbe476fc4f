"""A maker who tries anything, right or wrong, in a shop held in memory."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, TypeVar

import msgspec

from benchmate.clock import SetClock
from benchmate.job.deciding import commands as cmd
from benchmate.job.deciding.decide import decide
from benchmate.job.deciding.streams.clock import note_clock
from benchmate.job.events import stored as ev
from benchmate.job.state.shop import JOB, PLACE, Shop, grow
from benchmate.job.state.state import JobState, Recorded
from benchmate.job.windows.agenda import Act, agenda
from benchmate.moment import Moment
from benchmate.plan.plan import Plan, Window
from benchmate.refusal import Refused
from tests.strategies import Move
from tests.unit.shop_of_tests import moment

T = TypeVar("T")
FREE_WINDOW = Window(
    name="clamps", address="", label="a jig, clamps", opens_s=1800.0, full_s=86_400.0, closes_s=9e4
)
SAID_S = (0.9, -0.4, -30.0, -300.0, -7200.0, -90_000.0, -180_000.0)
ANSWERS = ("spoiled", "extra step", "in time", "let it be")


class RandomMaker:
    """Plays moves through the real decisions; every event goes through its bytes."""

    def __init__(self, plan: Plan, job: str = "t") -> None:
        self.job = job
        self.clock = SetClock(moment())
        self.shop = Shop()
        self.rows: list[tuple[str, Recorded]] = []
        self.refusals: list[str] = []
        self.mind_clock()
        self.do(cmd.StartJob(job=job, title="Bookends", plan=plan))

    @property
    def state(self) -> JobState:
        return self.shop.jobs[self.job]

    @property
    def now(self) -> Moment:
        return self.clock.now()

    @property
    def now_s(self) -> float:
        return self.shop.timeline.at(self.now)

    def record(self, stream: str, event: ev.AnyEvent) -> None:
        version = self.shop.versions.get(stream, 0) + 1
        self.rows.append((stream, Recorded(version, ev.decode(ev.encode(event)))))
        self.shop = grow(self.shop, self.rows[-1:])

    def mind_clock(self) -> None:
        for stream, event in note_clock(self.shop, self.now):
            self.record(stream, event)

    def do(self, command: cmd.Command) -> Sequence[ev.JobEvent]:
        """Do a command; nothing where it is refused."""
        try:
            made = decide(self.shop.jobs.get(self.job), command, self.now, self.shop.around)
        except Refused as refused:
            self.refusals.append(str(refused))
            return ()
        for event in made:
            self.record(JOB + self.job, event)
        return made

    def play(self, move: Move) -> Sequence[ev.JobEvent]:
        """Let time pass, then try it."""
        what, pick, other, wait_s = move
        self.clock.tick(wait_s)
        self.mind_clock()
        if what in WORLD:
            WORLD[what](self, pick, other)
            return ()
        command = COMMANDS[what](self, pick, other)
        return self.do(command) if command else ()

    def earlier(self, other: float) -> Moment | None:
        """Mostly now; else a moment ahead, or up to two days ago."""
        if other < 0.6:
            return None
        return self.now.shifted(one_of(SAID_S, (other - 0.6) / 0.4))

    def step(self, pick: float) -> str:
        return one_of(list(self.state.steps), pick)


def one_of(things: Sequence[T], pick: float) -> T:
    return things[int(pick * len(things))]


def _next_act(m: RandomMaker, pick: float, other: float) -> cmd.Command | None:
    """What the bench shows, or now and then what comes second."""
    found = agenda(m.shop.live, m.shop.around, m.now_s)
    if not found.ready:
        if found.later:
            m.clock.tick(max(0.0, found.later[0].ready_at - m.now_s) + 1.0)
        return None
    act = found.ready[min(int(pick * 2), len(found.ready) - 1)]
    return _command_for(act, other, m.earlier(other))


def _command_for(act: Act, other: float, at: Moment | None) -> cmd.Command:
    if act.kind == "weigh":
        plan_g = act.step.weigh.plan_g if act.step and act.step.weigh else None
        return cmd.Weigh(address=act.address, net_g=(plan_g or 500.0) * (0.9 + other / 5), at=at)
    if act.kind == "check" and act.check:
        return cmd.AnswerCheck(address=act.address, name=act.check.name, value=6 * other, at=at)
    if act.kind == "answer":
        return cmd.AnswerMissed(window=act.address, answer=one_of(ANSWERS, other), at=at)
    return cmd.MarkDone(address=act.address, at=at)


def _weigh(m: RandomMaker, pick: float, other: float) -> cmd.Command:
    stands = "It is far off the plan." if other > 0.5 else ""
    return cmd.Weigh(
        address=m.step(pick), net_g=other * 400 - 20, stands=stands, at=m.earlier(other)
    )


def _correct(m: RandomMaker, pick: float, other: float) -> cmd.Command:
    version = one_of(list(m.state.weighings) or [1], pick)
    return cmd.Correct(version=version, net_g=other * 300)


def _missed(m: RandomMaker, pick: float, other: float) -> cmd.Command | None:
    if not m.state.windows:
        return None
    answer = one_of(ANSWERS, other)
    at = m.now.shifted(-pick * 7200) if answer == "in time" else None
    return cmd.AnswerMissed(window=one_of(list(m.state.windows), pick), answer=answer, at=at)


def _free(m: RandomMaker, pick: float, other: float) -> cmd.Command:
    windows = (msgspec.structs.replace(FREE_WINDOW, opens_s=1800.0 * other),)
    return cmd.DoFreely(
        act=one_of(("clamped", "coated"), pick), windows=windows, name="jig", at=m.earlier(other)
    )


def _read(m: RandomMaker, pick: float, other: float) -> cmd.Command:
    adding = one_of(("", "shot", "resin"), other)
    return cmd.ReadScale(address=m.step(pick), reading_g=900 * other, text="", adding=adding)


def _check(m: RandomMaker, pick: float, other: float) -> cmd.Command:
    return cmd.AnswerCheck(address=m.step(pick), name="wall", value=other * 6)


def _change(m: RandomMaker, pick: float, other: float) -> cmd.Command | None:
    """One step more, or the last one fewer."""
    plan = m.state.plan
    if plan is None:
        return None
    more = msgspec.structs.replace(plan.steps[-1], address=f"t/B/cover/more#{int(9 * pick)}")
    steps = plan.steps[:-1] if other < 0.3 else (*plan.steps, more)
    return cmd.ChangePlan(plan=msgspec.structs.replace(plan, steps=steps), amounts=())


COMMANDS: dict[str, Callable[[RandomMaker, float, float], cmd.Command | None]] = {
    "next act": _next_act,
    "begin": lambda m, p, o: cmd.Begin(address=m.step(p), at=m.earlier(o)),
    "mark": lambda m, p, o: cmd.MarkDone(address=m.step(p), anyway=o > 0.5, at=m.earlier(o)),
    "amounts": lambda m, p, o: cmd.SayAmounts(address=m.step(p), left_g=40 * o - 4),
    "weigh": _weigh,
    "read": _read,
    "correct": _correct,
    "check": _check,
    "missed": _missed,
    "free": _free,
    "skip": lambda m, p, o: cmd.Skip(address=m.step(p), reason="not needed" if o < 0.9 else ""),
    "spoil": lambda m, p, o: cmd.Spoil(piece=one_of("ABC", p), reason="split", remake=o < 0.6),
    "note": lambda m, p, o: cmd.Note(text="odd grain", address=m.step(p) if o < 0.5 else ""),
    "wish": lambda m, p, o: cmd.WishNextTime(file_step="pour", text="warmer"),
    "pause": lambda m, p, o: cmd.Pause(reason="holiday"),
    "resume": lambda m, p, o: cmd.Resume(),
    "tick": lambda m, p, o: cmd.Tick(what=one_of(("clamp", "tape"), p), there=o < 0.7),
    "see": lambda m, p, o: cmd.See(keys=(one_of(("a", "b"), p),)),
    "change": _change,
    "stop": lambda m, p, o: cmd.Stop(reason="the wood split"),
    "finish": lambda m, p, o: cmd.Finish(outcome="good"),
    "take back": lambda m, p, o: cmd.TakeBack(),
    "take back any": lambda m, p, o: cmd.TakeBack(
        version=1 + int(p * m.state.version), along=o < 0.8
    ),
}


def _air(m: RandomMaker, pick: float, other: float) -> None:
    damp = None if pick < 0.3 else 20 + 75 * pick
    event = ev.AirRead(
        happened=m.now, recorded=m.now, temperature_c=2 + other * 28, humidity_pct=damp
    )
    m.record(PLACE + "shop", event)


def _set_wall(m: RandomMaker, pick: float, other: float) -> None:
    """Somebody sets the wall clock, by up to two hours either way."""
    was = m.clock.moment
    m.clock.moment = Moment(
        was.wall_ns + round((pick - 0.5) * 4 * 3600e9), was.boot_id, was.boot_ns
    )
    m.mind_clock()


def _restart(m: RandomMaker, pick: float, other: float) -> None:
    """The machine was off for up to a day; now and then its clock's battery is dead."""
    was = m.clock.moment
    off_ns = round(pick * 86_400e9) if other < 0.9 else round(-pick * 40 * 86_400e9)
    m.clock.moment = Moment(was.wall_ns + off_ns, f"boot-{len(m.rows)}-{pick}", 12_000_000_000)
    m.mind_clock()


WORLD: dict[str, Callable[[RandomMaker, float, float], Any]] = {
    "air": _air,
    "set wall": _set_wall,
    "restart": _restart,
}
