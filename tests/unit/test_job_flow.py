"""What a maker does in a job, and what the core makes of it."""

from __future__ import annotations

import pytest

from benchmate.job.deciding import commands as cmd
from benchmate.job.deciding.decide import decide
from benchmate.job.events import stored as ev
from benchmate.job.state.fold import fold, fold_all
from benchmate.job.state.state import JobState, Recorded
from benchmate.job.windows.agenda import agenda
from benchmate.refusal import AlreadySo, NotNow, Refused, RestsOn, TooLate, UnknownAddress
from tests.unit.shop_of_tests import MIN, around, moment, plan

AROUND = around()
MIX, POUR = "t/all/all/mix#1", "t/{}/block/pour#{}"


class Rehearsal:
    """A job played in memory, with a clock that is set by hand."""

    def __init__(self) -> None:
        self.after_s = 0.0
        start = cmd.StartJob(job="t", title="Bookends", plan=plan())
        made = decide(None, start, moment(), AROUND)
        self.records = [Recorded(1, made[0])]
        self.state = fold_all(self.records)

    def do(self, command: cmd.Command) -> list[ev.JobEvent]:
        made = decide(self.state, command, moment(self.after_s), AROUND)
        for event in made:
            event = ev.decode(ev.encode(event))  # every event survives its bytes
            self.records.append(Recorded(len(self.records) + 1, event))
            self.state = fold(self.state, self.records[-1])
        return made

    def done(self, address: str, **more: object) -> None:
        self.do(cmd.MarkDone(address=address, **more))  # type: ignore[arg-type]

    def next(self) -> str:
        found = agenda([self.state], AROUND, AROUND.timeline.at(moment(self.after_s))).next
        return f"{found.kind} {found.address}" if found else "nothing"


@pytest.fixture
def job() -> Rehearsal:
    return Rehearsal()


def test_the_first_act_is_the_first_step(job: Rehearsal) -> None:
    assert job.next() == f"do {MIX}"


def test_after_the_mix_the_first_pour_is_next_and_carries_the_pot_life(job: Rehearsal) -> None:
    job.done(MIX)
    found = agenda([job.state], AROUND, AROUND.timeline.at(moment(60))).next
    assert found is not None
    assert found.address == POUR.format("A", 1)
    assert found.spoils
    assert found.bound is not None
    assert found.bound.window.label == "mix 1, pot life"


def test_a_poured_layer_asks_for_its_weight_before_the_next_layer(job: Rehearsal) -> None:
    job.done(MIX)
    job.done(POUR.format("A", 1))
    assert job.next() == f"weigh {POUR.format('A', 1)}"
    job.do(cmd.Weigh(address=POUR.format("A", 1), net_g=127.0))
    assert job.next() == f"do {POUR.format('A', 2)}"


def test_weighing_an_unmarked_pour_marks_it(job: Rehearsal) -> None:
    job.done(MIX)
    made = job.do(cmd.Weigh(address=POUR.format("A", 1), net_g=127.0))
    assert [ev.kind_of(e) for e in made] == ["done", "weighed"]


def test_running_readings_are_split_by_what_was_added(job: Rehearsal) -> None:
    job.done(MIX)
    where = POUR.format("A", 1)
    for reading, adding in ((600.0, ""), (690.0, "shot"), (699.5, "resin"), (716.0, "shot")):
        job.do(cmd.ReadScale(address=where, reading_g=reading, text=str(reading), adding=adding))
    job.do(cmd.Weigh(address=where, net_g=116.0))
    weighing = job.state.weighing_at(where)
    assert weighing is not None
    assert weighing.split == pytest.approx({"shot": 106.5, "resin": 9.5})


def test_a_pour_before_its_mix_is_refused_with_what_comes_first(job: Rehearsal) -> None:
    with pytest.raises(NotNow, match=r"Do t/all/all/mix#1 first \(Mix resin"):
        job.done(POUR.format("A", 1))


def test_a_pour_after_the_pot_life_is_refused_and_the_maker_is_asked(job: Rehearsal) -> None:
    job.done(MIX)
    job.after_s = 31 * MIN
    with pytest.raises(TooLate, match="ran out 1 min before"):
        job.done(POUR.format("A", 1))
    assert job.next() == f"answer {MIX}:pot life"


def test_a_spoiled_mix_is_mixed_again_and_the_poured_layers_stay(job: Rehearsal) -> None:
    job.done(MIX)
    job.do(cmd.Weigh(address=POUR.format("A", 1), net_g=127.0))
    job.after_s = 40 * MIN
    job.do(cmd.AnswerMissed(window=f"{MIX}:pot life", answer="spoiled"))
    assert job.next() == f"do {MIX}"
    job.done(MIX)
    assert job.next() == f"do {POUR.format('A', 2)}"


def test_a_pour_that_was_in_time_is_recorded_at_its_time(job: Rehearsal) -> None:
    job.done(MIX)
    job.after_s = 40 * MIN
    job.do(cmd.AnswerMissed(window=f"{MIX}:pot life", answer="in time", at=moment(20 * MIN)))
    record = job.state.done[POUR.format("A", 1)]
    assert record.done == moment(20 * MIN)
    assert job.next() == f"answer {MIX}:pot life"


def test_in_time_after_the_close_is_refused(job: Rehearsal) -> None:
    job.done(MIX)
    job.after_s = 40 * MIN
    with pytest.raises(NotNow, match="was not open"):
        job.do(cmd.AnswerMissed(window=f"{MIX}:pot life", answer="in time", at=moment(35 * MIN)))


def _glued(job: Rehearsal, piece: str = "A") -> str:
    job.done(MIX)
    for p in "AB":
        for n in (1, 2):
            job.do(cmd.Weigh(address=POUR.format(p, n), net_g=127.0))
    for p in "AB":
        job.done(f"t/{p}/block/cap#1")
    job.after_s = 25 * 3600.0
    spread = f"t/{piece}/cover/spread#1"
    job.done(spread)
    return spread


def test_gluing_waits_for_the_cure(job: Rehearsal) -> None:
    _glued(job)
    job.after_s = 2 * 3600.0
    with pytest.raises(NotNow, match="bookend B, cure: 1320 min too early"):
        job.done("t/B/cover/spread#1")
    job.done("t/B/cover/spread#1", anyway=True)


def test_an_extra_step_stands_before_the_late_act_and_frees_it(job: Rehearsal) -> None:
    spread = _glued(job)
    job.after_s += 6 * MIN
    job.do(cmd.AnswerMissed(window=f"{spread}:open time", answer="extra step"))
    assert job.next() == "do t/A/cover/extra#1"
    with pytest.raises(NotNow, match=r"Do t/A/cover/extra#1 first \(Scrape off"):
        job.done("t/A/cover/clamp#1")
    job.done("t/A/cover/extra#1")
    job.done("t/A/cover/clamp#1")
    assert "t/A/cover/clamp#1" in job.state.done


def test_a_spoiled_piece_leaves_the_other_to_go_on(job: Rehearsal) -> None:
    job.done(MIX)
    job.do(cmd.Spoil(piece="A", reason="drilled through the wall"))
    assert job.next() == f"do {POUR.format('B', 1)}"
    with pytest.raises(NotNow, match="scrap"):
        job.done(POUR.format("A", 1))


def test_a_piece_made_again_starts_from_its_first_step(job: Rehearsal) -> None:
    job.done(MIX)
    job.do(cmd.Weigh(address=POUR.format("A", 1), net_g=127.0))
    job.do(cmd.Spoil(piece="A", reason="void cracked", remake=True))
    assert job.next() == f"do {POUR.format('A', 1)}"
    assert job.state.weighing_at(POUR.format("A", 1)) is None


def test_skipping_needs_a_reason_and_settles_the_step(job: Rehearsal) -> None:
    with pytest.raises(Refused, match="reason"):
        job.do(cmd.Skip(address=MIX, reason=" "))
    job.do(cmd.Skip(address=MIX, reason="mixed with the lamp's"))
    assert job.next() == f"do {POUR.format('A', 1)}"


def test_an_owed_weight_can_be_skipped(job: Rehearsal) -> None:
    job.done(MIX)
    job.done(POUR.format("A", 1))
    job.do(cmd.Skip(address=POUR.format("A", 1), reason="no hand free"))
    assert job.next() == f"do {POUR.format('A', 2)}"


def test_a_paused_job_has_no_next_act_but_its_windows_run_on(job: Rehearsal) -> None:
    job.done(MIX)
    job.do(cmd.Pause(reason="holiday"))
    seen = agenda([job.state], AROUND, AROUND.timeline.at(moment(60)))
    assert seen.next is None
    assert [v.window.name for v in seen.windows] == ["pot life"]
    job.do(cmd.Resume())
    assert job.next() == f"do {POUR.format('A', 1)}"


def test_a_time_ten_minutes_ago_starts_the_window_then(job: Rehearsal) -> None:
    job.after_s = 20 * MIN
    job.done(MIX, at=moment(10 * MIN))
    found = agenda([job.state], AROUND, AROUND.timeline.at(moment(20 * MIN))).windows[0]
    assert found.closes is not None
    assert found.closes.at == pytest.approx(AROUND.timeline.at(moment(40 * MIN)))


def test_a_time_to_come_is_refused(job: Rehearsal) -> None:
    with pytest.raises(NotNow, match="still to come"):
        job.done(MIX, at=moment(10 * MIN))


def test_taking_back_the_newest_act_brings_it_up_again(job: Rehearsal) -> None:
    job.done(MIX)
    job.do(cmd.TakeBack())
    assert job.next() == f"do {MIX}"
    assert len(job.state.records) == 3


def test_taking_back_a_taking_back_is_doing_it_again(job: Rehearsal) -> None:
    job.done(MIX)
    job.do(cmd.TakeBack())
    made = ev.TakenBack(happened=moment(), recorded=moment(), versions=(3,))
    state = fold(job.state, Recorded(4, made))
    assert MIX in state.done


def test_what_rests_on_an_act_is_named_and_taken_along_after_asking(job: Rehearsal) -> None:
    job.done(MIX)
    job.done(POUR.format("A", 1))
    with pytest.raises(RestsOn, match=r"poured bookend A, layer 1 \(A/block/pour#1\)") as asked:
        job.do(cmd.TakeBack(version=2))
    assert asked.value.versions == (3,)
    job.do(cmd.TakeBack(version=2, along=True))
    assert not job.state.done


def test_a_corrected_weight_keeps_what_was_read(job: Rehearsal) -> None:
    job.done(MIX)
    job.do(cmd.Weigh(address=POUR.format("A", 1), net_g=217.0))
    job.do(cmd.Correct(version=4, net_g=127.0))
    weighing = job.state.weighing_at(POUR.format("A", 1))
    assert weighing is not None
    assert (weighing.net_g, weighing.as_read_g) == (127.0, 217.0)
    job.do(cmd.TakeBack())
    again = job.state.weighing_at(POUR.format("A", 1))
    assert again is not None
    assert again.net_g == 217.0


def test_a_second_press_is_refused_as_already_done(job: Rehearsal) -> None:
    job.done(MIX)
    with pytest.raises(AlreadySo, match="already mixed"):
        job.done(MIX)


def test_an_unknown_address_names_the_nearest(job: Rehearsal) -> None:
    with pytest.raises(UnknownAddress, match=r"Nearest is t/A/block/pour#1"):
        job.done("t/A/block/puor#1")


def test_a_tail_of_an_address_will_do_where_it_is_unmistakable(job: Rehearsal) -> None:
    job.done("mix")
    assert MIX in job.state.done
    with pytest.raises(UnknownAddress, match="could be any of 2 steps"):
        job.done("pour#1")


def test_folding_all_at_once_is_folding_one_by_one(job: Rehearsal) -> None:
    _glued(job)
    job.do(cmd.TakeBack())
    job.do(cmd.Note(text="[/x] looks \x1b[31m odd", address=MIX))
    assert fold_all(job.records) == job.state


def test_an_unknown_kind_makes_the_job_read_only(job: Rehearsal) -> None:
    raw = b'{"kind":"levitated","schema":7,"happened":[1,null,null],"recorded":[1,null,null]}'
    state: JobState = fold(job.state, Recorded(2, ev.decode(raw)))
    with pytest.raises(Refused, match="newer benchmate"):
        decide(state, cmd.MarkDone(address=MIX), moment(), AROUND)
