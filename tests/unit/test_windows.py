"""Windows at their very edges: the second at which each becomes what it becomes."""

from __future__ import annotations

from typing import Literal

import msgspec
import pytest

from benchmate.air.log import AirLog
from benchmate.air.readings import Reading
from benchmate.job.deciding import commands as cmd
from benchmate.job.windows.agenda import Act, agenda
from benchmate.job.windows.before import is_of_wood, touch_caution
from benchmate.job.windows.cold import FRESH_S, NIGHT_S, coldest_since, fresh_reading
from benchmate.job.windows.cold_ahead import (
    AHEAD_S,
    LEAST_DROP_C,
    LEAST_SPAN_S,
    LOOK_BACK_S,
    falls_below_s,
)
from benchmate.job.windows.damp import AT_HOME_S, LEAST_KNOWN_S, mean_air
from benchmate.job.windows.windows import LINGER_S, soon_s, view
from benchmate.plan.plan import PartPlan, Step, Window
from benchmate.plan.rates import Rule
from tests.unit.shop_of_tests import MIN, moment, plan
from tests.unit.test_job_flow import AROUND, MIX, POUR, Rehearsal

H = 3600.0


def window(closes_s: float, opens_s: float | None = None) -> Window:
    return Window(name="w", address="t/a/b/c#1:w", label="w", opens_s=opens_s, closes_s=closes_s)


@pytest.mark.parametrize(
    ("closes_s", "opens_s", "soon"),
    [
        (30 * MIN, None, 6 * MIN),
        (2 * MIN, None, 60.0),
        (5 * MIN, None, 60.0),
        (6 * MIN, None, 72.0),
        (9 * H, None, 6480.0),
        (10 * H, None, 7200.0),
        (20 * H, None, 7200.0),
        (30 * MIN, 20 * MIN, 2 * MIN),
    ],
)
def test_closing_begins_a_fifth_before_the_close(
    closes_s: float, opens_s: float | None, soon: float
) -> None:
    assert soon_s(window(closes_s, opens_s)) == soon


def state(job: Rehearsal, name: str, after_s: float) -> str | None:
    seen = view(job.state, job.state.windows[name], AROUND, AROUND.timeline.at(moment(after_s)))
    return seen.state if seen is not None else None


@pytest.mark.parametrize(
    ("after_s", "wanted"),
    [
        (0.0, "open"),
        (24 * MIN - 1, "open"),
        (24 * MIN, "closing"),
        (30 * MIN - 1, "closing"),
        (30 * MIN, "missed"),
    ],
)
def test_a_cups_pot_life_second_by_second(after_s: float, wanted: str) -> None:
    job = Rehearsal()
    assert state(job, f"{MIX}:pot life", 0.0) is None  # not begun
    job.done(MIX)
    assert state(job, f"{MIX}:pot life", after_s) == wanted


@pytest.mark.parametrize(
    ("anchor", "begun_s", "marked_begun_s", "counts_from_s"),
    [
        ("done", 60.0, None, 300.0),
        ("begun", 60.0, None, 60.0),
        ("begun", None, 120.0, 120.0),
        ("begun", None, None, 300.0),
    ],
)
def test_a_window_counts_from_what_it_is_anchored_to(
    anchor: Literal["begun", "done"],
    begun_s: float | None,
    marked_begun_s: float | None,
    counts_from_s: float,
) -> None:
    made = plan()
    windows = tuple(msgspec.structs.replace(w, anchor=anchor) for w in made.steps[0].windows)
    mix = msgspec.structs.replace(made.steps[0], windows=windows)
    job = Rehearsal()
    changed = msgspec.structs.replace(made, steps=(mix, *made.steps[1:]))
    job.do(cmd.ChangePlan(plan=changed, amounts=()))
    if begun_s is not None:
        job.after_s = begun_s
        job.do(cmd.Begin(address=MIX))
    job.after_s = 300.0
    job.done(MIX, begun=None if marked_begun_s is None else moment(marked_begun_s))
    seen = view(job.state, windows[0], AROUND, AROUND.timeline.at(moment(300.0)))
    assert seen is not None
    assert seen.anchor == AROUND.timeline.at(moment(counts_from_s))


@pytest.mark.parametrize(("after_s", "wanted"), [(24 * H - 1, "shut"), (24 * H, "open")])
def test_a_cure_second_by_second(after_s: float, wanted: str) -> None:
    job = Rehearsal()
    job.done(MIX)
    for n in (1, 2):
        job.do(cmd.Weigh(address=POUR.format("A", n), net_g=127.0))
    job.done("t/A/block/cap#1")
    assert state(job, "t/A/block/cap#1:cure", after_s) == wanted


@pytest.mark.parametrize(("after_s", "name"), [(0.0, "opens"), (24 * H, "full"), (48 * H, None)])
def test_the_next_edge_is_the_soonest_to_come(after_s: float, name: str | None) -> None:
    job = Rehearsal()
    job.done(MIX)
    for n in (1, 2):
        job.do(cmd.Weigh(address=POUR.format("A", n), net_g=127.0))
    job.done("t/A/block/cap#1")
    cure = job.state.windows["t/A/block/cap#1:cure"]
    seen = view(job.state, cure, AROUND, AROUND.timeline.at(moment(after_s)))
    assert seen is not None
    assert (seen.next_edge[0] if seen.next_edge else None) == name


def test_a_clock_that_nobody_waits_for_lingers_after_its_last_edge_and_is_met() -> None:
    job = Rehearsal()
    job.do(
        cmd.DoFreely(
            act="waxed",
            name="box",
            windows=(
                Window(name="dry", address="", label="box, dry", opens_s=600.0, full_s=900.0),
            ),
        )
    )
    (name,) = (a for a in job.state.windows if a.endswith(":dry"))
    assert state(job, name, 900.0 + LINGER_S) == "open"
    assert state(job, name, 900.0 + LINGER_S + 1.0) == "met"


class TestTheAgenda:
    def acts(self, job: Rehearsal, after_s: float = 60.0) -> list[str]:
        found = agenda([job.state], AROUND, AROUND.timeline.at(moment(after_s)))
        return [f"{a.kind} {a.address}" for a in found.ready]

    def second_cup(self) -> Rehearsal:
        """Bookend B is poured from a cup of its own."""
        made = plan()
        again = msgspec.structs.replace(
            made.steps[0],
            address="t/all/all/mix#2",
            windows=tuple(
                msgspec.structs.replace(w, address="t/all/all/mix#2:pot life")
                for w in made.steps[0].windows
            ),
        )
        steps = [
            msgspec.structs.replace(
                s, after=("t/all/all/mix#2",), within=("t/all/all/mix#2:pot life",)
            )
            if s.address == POUR.format("B", 1)
            else s
            for s in made.steps
        ]
        job = Rehearsal()
        changed = msgspec.structs.replace(made, steps=(steps[0], again, *steps[1:]))
        job.do(cmd.ChangePlan(plan=changed, amounts=()))
        return job

    def test_a_weight_that_is_owed_goes_before_the_next_cup(self) -> None:
        job = self.second_cup()
        job.done(MIX)
        for n in (1, 2):
            job.done(POUR.format("A", n), anyway=True)
            if n == 1:
                job.do(cmd.Weigh(address=POUR.format("A", 1), net_g=127.0))
        job.do(cmd.AnswerMissed(window=f"{MIX}:pot life", answer="let it be"))
        ready = self.acts(job)
        assert ready.index(f"weigh {POUR.format('A', 2)}") < ready.index("do t/all/all/mix#2")

    def test_a_weight_is_due_a_second_before_the_next_layer(self) -> None:
        job = Rehearsal()
        job.done(MIX)
        job.done(POUR.format("A", 1))
        found = {
            (a.kind, a.address): a
            for a in agenda([job.state], AROUND, AROUND.timeline.at(moment(60.0))).ready
        }
        weight = found["weigh", POUR.format("A", 1)]
        pour = found["do", POUR.format("A", 2)]
        assert isinstance(weight, Act)
        assert weight.latest_at == pour.latest_at - 1.0
        closes_s = AROUND.timeline.at(moment(30 * MIN))
        assert pour.latest_at == closes_s - 2 * MIN  # less the hands' time


class TestFallingAir:
    """Towards 10 °C, at a degree an hour or as given."""

    def foreseen(self, *readings: Reading, now_s: float) -> float | None:
        return falls_below_s(AirLog(readings), 10.0, now_s)

    @pytest.mark.parametrize(("first_s", "counts"), [(LOOK_BACK_S, True), (LOOK_BACK_S + 2, False)])
    def test_looks_three_hours_back(self, first_s: float, *, counts: bool) -> None:
        now_s = 10 * H
        assert LOOK_BACK_S == 3 * H
        # The second reading held when the span began, or just after; the first fell from far.
        second_s = first_s - 1.0
        readings = (Reading(now_s - first_s, 16.0), Reading(now_s - second_s, 11.4))
        found = self.foreseen(*readings, Reading(now_s, 11.0), now_s=now_s)
        assert (found is not None) is counts

    @pytest.mark.parametrize(
        ("span_s", "drop_c", "counts"),
        [
            (LEAST_SPAN_S, 2.0, True),
            (LEAST_SPAN_S - 1, 2.0, False),
            (H, LEAST_DROP_C, True),
            (H, LEAST_DROP_C - 0.01, False),
        ],
    )
    def test_needs_a_quarter_of_an_hour_and_a_degree(
        self, span_s: float, drop_c: float, *, counts: bool
    ) -> None:
        assert (LEAST_SPAN_S, LEAST_DROP_C) == (900.0, 1.0)
        last = Reading(5 * H, 10.5)
        earlier = Reading(5 * H - span_s, 10.5 + drop_c)
        assert (self.foreseen(earlier, last, now_s=5 * H) is not None) is counts

    @pytest.mark.parametrize(("celsius", "counts"), [(12.0, True), (12.01, False), (10.0, True)])
    def test_two_hours_ahead(self, celsius: float, *, counts: bool) -> None:
        assert AHEAD_S == 2 * H
        found = self.foreseen(Reading(0.0, celsius + 1.0), Reading(H, celsius), now_s=H)
        assert (found is not None) is counts
        if counts:
            assert found == pytest.approx(H + (celsius - 10.0) * H)


class TestReadingsToGoBy:
    def test_are_no_older_than_three_hours(self) -> None:
        log = AirLog([Reading(0.0, 15.0)])
        assert FRESH_S == 3 * H
        assert fresh_reading(log, FRESH_S) is not None
        assert fresh_reading(log, FRESH_S + 1.0) is None

    def test_the_coldest_of_a_night_counts(self) -> None:
        assert NIGHT_S == 12 * H
        log = AirLog([Reading(0.0, 5.0), Reading(H, 12.0), Reading(13 * H - 1, 15.0)])
        assert coldest_since(log, 13 * H) == 12.0

    def test_a_mean_goes_by_how_long_each_held(self) -> None:
        assert (AT_HOME_S, LEAST_KNOWN_S) == (14 * 24 * H, 48 * H)
        end_s = 72 * H
        log = [Reading(0.0, 10.0, 40.0), Reading(48 * H, 16.0, 70.0)]
        assert mean_air(log, 0.0, end_s) == pytest.approx((12.0, 50.0))
        # Before the stretch nothing counts: only a day and a day are left of it.
        assert mean_air(log, 24 * H, end_s) == pytest.approx((13.0, 55.0))
        assert mean_air(log, 24 * H + 1.0, end_s) is None
        assert mean_air([], 0.0, end_s) is None


class TestBeforeAnAct:
    def waiting(self, rule: Rule, *, full: bool = False) -> tuple[Rehearsal, Step]:
        job = Rehearsal()
        job.do(
            cmd.DoFreely(
                act="coated",
                name="lid",
                windows=(
                    Window(
                        name="tack",
                        address="",
                        label="lid, tack",
                        opens_s=600.0,
                        full_s=900.0,
                        rule=rule,
                        opens_text="tacky",
                        full_text="hard",
                    ),
                ),
            )
        )
        (name,) = (a for a in job.state.windows if a.endswith(":tack"))
        waits = {"waits_full" if full else "waits": (name,)}
        return job, Step(address="t/A/lid/join#1", do="Join", act="joined", **waits)  # type: ignore[arg-type]

    def test_a_solvent_is_tried_with_the_finger(self) -> None:
        job, step = self.waiting(Rule(family="evaporation"))
        assert touch_caution(job.state, step) == "A touch test decides, not the clock: tacky."
        job, step = self.waiting(Rule(family="evaporation"), full=True)
        assert touch_caution(job.state, step) == "A touch test decides, not the clock: hard."

    def test_anything_else_goes_by_its_clock(self) -> None:
        job, step = self.waiting(Rule(family="waterborne"))
        assert touch_caution(job.state, step) is None
        unknown = msgspec.structs.replace(step, waits=("t/A/lid/coat#9:tack",))
        assert touch_caution(job.state, unknown) is None

    @pytest.mark.parametrize(("density", "wood"), [(0.7, True), (1.39, True), (7.8, False)])
    def test_a_part_of_metal_takes_up_no_water(self, density: float, *, wood: bool) -> None:
        job = Rehearsal()
        part = PartPlan(piece="A", name="block", mass_g=300.0, mass_u_g=5.0, density_g_cm3=density)
        job.do(cmd.ChangePlan(plan=msgspec.structs.replace(plan(), parts=(part,)), amounts=()))
        step = next(s for s in plan().steps if s.address == POUR.format("A", 1))
        assert is_of_wood(job.state, step) is wood
