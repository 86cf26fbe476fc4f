"""Three pieces in coats, one pair of hands: no oil goes on while other oil has to come off."""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from benchmate.job.deciding import commands as cmd
from benchmate.job.deciding.decide import decide
from benchmate.job.state.fold import fold_all
from benchmate.job.state.state import JobState, Recorded
from benchmate.job.windows.agenda import Agenda, agenda
from benchmate.job.windows.hands import give_way
from benchmate.job.words.phrases import bound_text
from benchmate.plan.address import window_address
from benchmate.plan.plan import PiecePlan, Plan, Step, Window
from tests.unit.shop_of_tests import MIN, around, moment

AROUND = around()
OIL_MIN, SOAK_MIN, CLOSES_MIN, WIPE_MIN = 10.0, 10.0, 20.0, 6.0


@dataclass
class Coats:
    """Pieces that are oiled and wiped, worked minute by minute."""

    records: list[Recorded]
    at_min: float = 0.0

    @property
    def state(self) -> JobState:
        return fold_all(self.records)

    def agenda(self) -> Agenda:
        now = AROUND.timeline.at(moment(self.at_min * MIN))
        return give_way(agenda([self.state], AROUND, now), [self.state], AROUND, now)

    def offered(self) -> list[str]:
        return [a.address.removeprefix("t/").removesuffix("#1") for a in self.agenda().ready]

    def done(self, what: str, takes_min: float) -> None:
        self.at_min += takes_min
        made = decide(
            self.state, cmd.MarkDone(address=f"t/{what}#1"), moment(self.at_min * MIN), AROUND
        )
        self.records.append(Recorded(len(self.records) + 1, made[0]))


def coats(pieces: str = "ABC", closes_min: float = CLOSES_MIN) -> Coats:
    steps: list[Step] = []
    for piece in pieces:
        oil, wipe = f"t/{piece}/all/oil#1", f"t/{piece}/all/wipe#1"
        soak, off = window_address(oil, "soak"), window_address(oil, "wipe off")
        windows = (
            Window(name="soak", address=soak, label=f"{piece}, soak", opens_s=SOAK_MIN * MIN),
            Window(
                name="wipe off",
                address=off,
                label=f"{piece}, wipe off",
                closes_s=closes_min * MIN,
                missed="extra work",
                closes_text="the excess turns sticky",
            ),
        )
        steps += [
            Step(
                address=oil,
                do="Oil",
                act="coated",
                piece=piece,
                hands_s=OIL_MIN * MIN,
                windows=windows,
            ),
            Step(
                address=wipe,
                do="Wipe",
                act="wiped",
                piece=piece,
                hands_s=WIPE_MIN * MIN,
                after=(oil,),
                waits=(soak,),
                within=(off,),
            ),
        ]
    sand = Step(address="t/A/all/sand#1", do="Sand", act="sanded", piece="A", hands_s=3600.0)
    plan = Plan(
        procedure="p",
        title="T",
        job="t",
        steps=(*steps, sand),
        pieces=tuple(PiecePlan(name=p) for p in pieces),
    )
    begun = decide(None, cmd.StartJob(job="t", title="T", plan=plan), moment(), AROUND)[0]
    return Coats([Recorded(1, begun)])


def test_the_third_oil_waits_until_the_second_is_wiped_off_and_says_why() -> None:
    shop = coats()
    shop.done("A/all/oil", OIL_MIN)
    assert "B/all/oil" in shop.offered(), "there is time for it while A's soaks in"
    shop.done("B/all/oil", OIL_MIN)
    assert "C/all/oil" not in shop.offered(), "A's has to come off by now"
    shop.done("A/all/wipe", WIPE_MIN)
    # B's soaks for 4 min more, and 10 min of C's oil would leave its excess to turn sticky.
    assert shop.offered() == ["A/all/sand"], "what starts no clock can be put down"
    held = next(a for a in shop.agenda().later if a.address == "t/C/all/oil#1")
    assert held.ready_at == AROUND.timeline.at(moment(36 * MIN))
    said = bound_text(held, lambda at: f"{(at - AROUND.timeline.at(moment(0.0))) / MIN:.0f} min")
    assert said == "first B, wipe off: the excess turns sticky at 40 min; until 36 min"
    shop.at_min = 30.0
    shop.done("B/all/wipe", WIPE_MIN)
    assert "C/all/oil" in shop.offered()


@pytest.mark.parametrize(
    ("pieces", "closes_min", "offered"),
    [
        pytest.param("AB", 19.0, True, id="time enough for both"),
        pytest.param("AB", 17.0, False, id="the first would be late"),
        pytest.param("B", 5.0, True, id="what no hands could meet is the plan's own trouble"),
    ],
)
def test_a_clock_is_started_only_where_no_other_is_missed_for_it(
    pieces: str, closes_min: float, offered: bool
) -> None:
    shop = coats(pieces, closes_min)
    if "A" in pieces:
        shop.done("A/all/oil", OIL_MIN)
        shop.at_min += 2.0
    assert ("B/all/oil" in shop.offered()) is offered


def test_worked_as_offered_no_oil_turns_sticky() -> None:
    shop = coats("ABCDE")
    hands = {"oil": OIL_MIN, "wipe": WIPE_MIN}
    for _ in range(60):
        found = shop.offered()
        name = next((n for n in found if "sand" not in n), None)
        if name is None:
            shop.at_min += 1.0
        else:
            shop.done(name, hands[name.rpartition("/")[2]])
        missed = [v.address for v in shop.agenda().windows if v.state == "missed"]
        assert not missed
    assert len(shop.state.done) == 10
