"""Doing again and saying later: made again, answered, weighed anew, taken back, "was done at …"."""

from __future__ import annotations

import msgspec
import pytest

from benchmate.job.deciding import commands as cmd
from benchmate.job.events import stored as ev
from benchmate.job.windows.agenda import agenda
from benchmate.job.windows.windows import Around, view
from benchmate.plan.plan import WeighPoint
from benchmate.refusal import NotNow, RestsOn
from tests.random_maker import RandomMaker
from tests.unit.shop_of_tests import MIN, moment, plan

MIX, SPREAD = "t/all/all/mix#1", "t/A/cover/spread#1"
POUR = "t/{}/block/pour#{}"


class Maker(RandomMaker):
    """The same maker, who says what she does; a refusal is raised."""

    def say(self, command: cmd.Command) -> list[str]:
        before = len(self.refusals)
        made = self.do(command)
        assert len(self.refusals) == before, self.refusals[-1]
        return [ev.kind_of(e) for e in made]

    def refused(self, command: cmd.Command) -> str:
        assert not self.do(command)
        return self.refusals[-1]

    def done(self, *addresses: str) -> None:
        for address in addresses:
            self.clock.tick(60.0)
            self.say(cmd.MarkDone(address=address, anyway=True))

    def poured(self) -> None:
        """All up to the covers."""
        self.done(MIX)
        for piece in "AB":
            for n in (1, 2):
                self.say(cmd.Weigh(address=POUR.format(piece, n), net_g=127.0))
        self.done("t/A/block/cap#1", "t/B/block/cap#1")

    def next(self) -> str:
        found = agenda([self.state], self.shop.around, self.now_s).next
        return f"{found.kind} {found.address}" if found else ""


@pytest.fixture
def maker() -> Maker:
    return Maker(plan())


# Made again -----------------------------------------------------------------------------------


def test_a_piece_made_again_meets_its_missed_windows_anew(maker: Maker) -> None:
    maker.poured()
    maker.done(SPREAD)
    maker.clock.tick(6 * MIN)
    maker.say(cmd.AnswerMissed(window=f"{SPREAD}:open time", answer="extra step"))
    assert "t/A/cover/extra#1" in maker.state.steps
    maker.say(cmd.Spoil(piece="A", reason="drilled through", remake=True))
    assert "t/A/cover/extra#1" not in maker.state.steps
    assert f"{SPREAD}:open time" not in maker.state.answers
    for n in (1, 2):
        maker.say(cmd.AnswerMissed(window=f"{MIX}:pot life", answer="let it be"))
        maker.say(cmd.Weigh(address=POUR.format("A", n), net_g=127.0))
    maker.done("t/A/block/cap#1", SPREAD)
    maker.clock.tick(6 * MIN)
    assert maker.next() == f"answer {SPREAD}:open time"


def test_a_cup_that_is_mixed_again_is_weighed_again() -> None:
    base = plan()
    point = WeighPoint(kind="whole", plan_g=50.0, tolerance_g=1.0, what="cup")
    mix = msgspec.structs.replace(base.steps[0], weigh=point)
    maker = Maker(msgspec.structs.replace(base, steps=(mix, *base.steps[1:])))
    maker.say(cmd.Weigh(address=MIX, net_g=50.2))
    maker.clock.tick(40 * MIN)
    maker.say(cmd.AnswerMissed(window=f"{MIX}:pot life", answer="spoiled"))
    assert maker.state.weighing_at(MIX) is None
    maker.done(MIX)
    found = agenda([maker.state], maker.shop.around, maker.now_s)
    assert ("weigh", MIX) in [(a.kind, a.address) for a in found.ready]


# Said later -----------------------------------------------------------------------------------


def test_a_time_before_what_comes_first_is_refused(maker: Maker) -> None:
    maker.done(MIX)
    maker.clock.tick(10 * MIN)
    where, early = POUR.format("A", 1), moment(-120.0)
    for command in (
        cmd.MarkDone(address=where, at=early),
        cmd.Weigh(address=where, net_g=127.0, at=early),
    ):
        assert maker.refused(command) == (
            f"{MIX} was done 3 min after that time. Give a later one, or undo that first."
        )


def test_a_time_said_to_the_minute_is_not_before_what_comes_first(maker: Maker) -> None:
    maker.done(MIX)
    maker.clock.tick(10 * MIN)
    maker.say(cmd.Weigh(address=POUR.format("A", 1), net_g=127.0, at=moment(15.0)))
    assert maker.state.done[POUR.format("A", 1)].done == maker.state.done[MIX].done


def test_in_time_can_t_be_before_what_comes_first_either(maker: Maker) -> None:
    maker.done(MIX)
    maker.clock.tick(10 * MIN)
    maker.say(cmd.Weigh(address=POUR.format("A", 1), net_g=127.0))
    maker.clock.tick(30 * MIN)
    early = moment(5 * MIN)
    said = maker.refused(cmd.AnswerMissed(window=f"{MIX}:pot life", answer="in time", at=early))
    assert "was done 6 min after that time" in said


def test_hands_laid_on_after_the_said_time_don_t_count(maker: Maker) -> None:
    maker.clock.tick(10 * MIN)
    maker.say(cmd.Begin(address=MIX))
    maker.clock.tick(MIN)
    maker.say(cmd.MarkDone(address=MIX, at=moment(5 * MIN)))
    assert maker.state.done[MIX].begun is None


def test_a_clock_that_reads_a_moment_ahead_says_now(maker: Maker) -> None:
    maker.say(cmd.MarkDone(address=MIX, at=maker.now.shifted(0.8)))
    assert maker.state.done[MIX].done == maker.now


def test_one_step_left_is_one_step(maker: Maker) -> None:
    maker.poured()
    for address in list(maker.state.steps)[7:-1]:
        maker.done(address)
    assert maker.refused(cmd.Finish()).startswith("Still to do is t/B/cover/clamp#1.")


# Taken back -----------------------------------------------------------------------------------


def test_taking_back_a_weight_takes_back_what_it_was_asked(maker: Maker) -> None:
    maker.done(MIX)
    where = POUR.format("A", 1)
    kinds = maker.say(cmd.Weigh(address=where, net_g=12.0, stands="a tenth of the plan?"))
    assert kinds == ["done", "questioned", "weighed"]
    maker.say(cmd.TakeBack())
    assert maker.next() == f"weigh {where}"
    maker.say(cmd.TakeBack())
    assert maker.next() == f"do {where}"


def test_an_extra_step_that_is_done_rests_on_the_answer_that_made_it(maker: Maker) -> None:
    maker.poured()
    maker.done(SPREAD)
    maker.clock.tick(6 * MIN)
    maker.say(cmd.AnswerMissed(window=f"{SPREAD}:open time", answer="extra step"))
    answer = maker.state.version
    maker.done("t/A/cover/extra#1")
    assert "rests extra step of bookend A, cover (A/cover/extra#1)" in maker.refused(
        cmd.TakeBack(version=answer)
    )
    maker.say(cmd.TakeBack(version=answer, along=True))
    assert "t/A/cover/extra#1" not in maker.state.done
    assert maker.next() == f"answer {SPREAD}:open time"


def test_refusals_of_resting_acts_carry_their_numbers(maker: Maker) -> None:
    from benchmate.job.deciding import taking_back

    maker.done(MIX, POUR.format("A", 1))
    with pytest.raises(RestsOn) as asked:
        taking_back.decide(maker.state, cmd.TakeBack(version=2), maker.now)
    assert asked.value.versions == (3,)
    assert not isinstance(asked.value, NotNow)


# A window in doubt ----------------------------------------------------------------------------


def test_a_window_opens_before_it_closes_however_doubtful_the_air() -> None:
    """Water-borne, damp and cool: its opening is surely past only after its close is likely."""
    from benchmate.air.log import AirLog
    from benchmate.air.readings import Reading
    from benchmate.plan.plan import Window
    from benchmate.plan.rates import Rule

    base = plan()
    recoat = Window(
        name="recoat",
        address=f"{MIX}:recoat",
        label="coat 1, recoat",
        opens_s=4 * 3600.0,
        closes_s=5 * 3600.0,
        missed="extra work",
        rule=Rule(family="waterborne", ref_c=20.0),
    )
    mix = msgspec.structs.replace(base.steps[0], windows=(recoat,))
    maker = Maker(msgspec.structs.replace(base, steps=(mix, *base.steps[1:])))
    maker.done(MIX)
    damp = Around(maker.shop.timeline, {"shop": AirLog([Reading(maker.now_s, 18.0, 85.0)])})
    states = []
    for quarter in range(60):
        seen = view(
            maker.state, maker.state.windows[recoat.address], damp, maker.now_s + quarter * 900
        )
        assert seen is not None
        states.append(seen.state)
    assert list(dict.fromkeys(states)) in (
        ["shut", "open", "closing", "missed"],
        ["shut", "closing", "missed"],
    )
