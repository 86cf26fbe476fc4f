"""Living with the day sheet: adopted, lived by, late, moved, in the calendar."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from icalendar import Calendar

from benchmate.bench import Bench
from benchmate.bench.planning import planning
from benchmate.bench.planning.asking import Asking, best_of
from benchmate.bench.planning.planning import LATE_S, adopt, late_text, plan_now, what_fits
from benchmate.bench.planning.question import Question, question_of
from benchmate.bench.planning.saying import aims_text
from benchmate.bench.planning.sheet import Sheet, adopted_sheet, sheet_of
from benchmate.bench.planning.times import span_ahead, time_ahead
from benchmate.bench.reminding.reminding import write_calendar
from benchmate.bench.starting.starting import plan_for
from benchmate.job.deciding.streams import commands as cmd
from benchmate.job.events import stored as ev
from benchmate.job.windows.agenda import agenda
from benchmate.localtime import local
from benchmate.planner.problem import PlannerAim, PlannerProblem
from benchmate.planner.wire import Told
from benchmate.quantities import QuantityError
from benchmate.refusal import Refused
from benchmate.settings import find_folders
from tests.planning_help import asked_here
from tests.unit.loop_help import Worked
from tests.unit.test_commands import Shop
from tests.unit.test_import_hygiene import HEAVY, loaded_by

HOUR_S = 3600.0


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Worked]:
    """A hammer just started."""
    shop = Worked(tmp_path)
    shop.start("plane-setting-hammer")
    yield shop
    shop.bench.close()


def quick_sheet(bench: Bench) -> Sheet:
    """A plan by simple rules, without another process."""
    question = question_of(bench)
    old = bench.shop.dates.dates if bench.shop.dates else {}
    told = best_of(asked_here(question.request(1.0, old)))
    assert told is not None
    return sheet_of(bench, question, told)


def test_a_fortnight_lived_by_the_sheet(shop: Worked) -> None:
    """Whatever waits comes when the sheet says, and every step can be done at its time."""
    bench = shop.bench
    adopt(bench, quick_sheet(bench))
    sheet = adopted_sheet(bench)
    assert sheet is not None
    assert {r.address for r in sheet.rows} == set(shop.state.steps)
    seen = 0
    for row in sheet.rows:
        shop.clock.tick(max(0.0, row.begins + 1.0 - bench.now().wall_s))
        seen += agreeing(bench)
        if row.address in shop.state.done:
            continue
        # Hands were a little slower than planned: the clock may still run for as long.
        late = [a.ready_at for a in bench.agenda().later if a.address == row.address]
        assert all(at - bench.now_s() < LATE_S for at in late)
        shop.clock.tick(max([0.0, *(at - bench.now_s() + 1.0 for at in late)]))
        ready = [a for a in bench.agenda().ready if a.address == row.address]
        assert ready, f"{row.what} can be done when the sheet says"
        while ready and row.address not in shop.state.done:
            shop.do(ready[0])
            ready = [a for a in bench.agenda().ready if a.address == row.address]
        for act in [a for a in bench.agenda().ready if a.address == row.address]:
            shop.do(act)
        seen += agreeing(bench)
    assert seen > 10
    assert all(a in shop.state.done for a in shop.state.steps)
    assert late_text(bench) == ""


def agreeing(bench: Bench) -> int:
    """How many steps wait on the bench, each until the sheet's time or its clock's, if later."""
    by_clocks = agenda(bench.shop.live, bench.shop.around, bench.now_s()).later
    plain = {a.address: a.ready_at for a in by_clocks}
    assert bench.shop.dates is not None
    later = bench.agenda().later
    for act in later:
        planned = bench.shop.dates.dates[act.address] + bench.now_s() - bench.now().wall_s
        assert act.ready_at == pytest.approx(max(planned, plain[act.address]))
    return len(later)


def test_what_was_not_done_in_time_is_said_and_planned_anew(shop: Worked) -> None:
    bench = shop.bench
    adopt(bench, quick_sheet(bench))
    shop.clock.tick(3 * 86_400.0)
    assert late_text(bench).startswith("Behind the day sheet: ")
    anew = quick_sheet(bench)
    adopt(bench, anew)
    assert late_text(bench) == ""
    assert min(r.begins for r in anew.rows) >= bench.now().wall_s


def test_pins_hours_deliveries_and_promises_are_kept(shop: Worked) -> None:
    bench, now = shop.bench, shop.bench.now().wall_s
    step = next(a for a in shop.state.steps if a.endswith("shape-handle#1"))
    saturday = time_ahead("Sat 11:00", now)
    bench.settle(cmd.PinStep(step=step, at=saturday))
    begins, ends = span_ahead("tomorrow 0:00-23:59", now)
    bench.settle(cmd.ChangeHours(hours=ev.OtherHours(begins=begins, ends=ends, why="away")))
    weighed = next(a for a in shop.state.steps if "weigh-blanks" in a)
    comes = now + 30 * HOUR_S
    bench.settle(cmd.AwaitDelivery(what="walnut", steps=(weighed,), comes=comes))
    sheet = quick_sheet(bench)
    by_step = {r.address: r.begins for r in sheet.rows}
    assert by_step[step] == saturday
    assert by_step[weighed] >= comes - 60
    assert not [r for r in sheet.rows if begins <= r.begins < ends]
    bench.settle(cmd.PromiseFinish(job=shop.job, by=now + 20 * 86_400, to="a neighbour"))
    assert question_of(bench).problem.dues[0].promised
    assert len(bench.shop.versions) > 0
    assert bench.shop.dates is not None
    assert bench.shop.dates.changed == "promise"
    again = bench.settle(cmd.PinStep(step=step, at=saturday))
    assert again == (), "what is so already is no event"


@pytest.mark.parametrize(
    "command",
    [
        cmd.PinStep(step="no/such/step", at=2e9),
        cmd.AdoptDays(dates={}, ends={}, done_by={}),
        cmd.ChangeHours(hours=ev.OtherHours(begins=20.0, ends=10.0)),
        cmd.ChangeHours(hours=ev.OtherHours(begins=1.9e9, ends=2e9), undo=True),
        cmd.AwaitDelivery(what="nothing that is used", comes=2e9),
        cmd.PromiseFinish(job="nobody", by=2e9),
    ],
    ids=lambda c: type(c).__name__,
)
def test_what_cannot_be_is_refused(shop: Worked, command: cmd.ShopCommand) -> None:
    with pytest.raises(Refused):
        shop.bench.settle(command)
    assert shop.bench.shop.dates is None


def test_the_calendar_carries_the_visits_and_a_moved_one_is_newer(
    shop: Worked, tmp_path: Path
) -> None:
    bench, target = shop.bench, tmp_path / "shop.ics"
    adopt(bench, quick_sheet(bench))
    write_calendar(bench, target)
    before = visits_in(target)
    sheet = adopted_sheet(bench)
    assert sheet is not None
    assert len(before) == len(sheet.visits)
    starts = {e["DTSTART"].dt.timestamp() for e in before.values()}
    assert starts == {v.begins for v in sheet.visits}
    begins = sheet.visits[0].begins
    held_up = ev.OtherHours(begins=begins - HOUR_S, ends=begins + 600)
    bench.settle(cmd.ChangeHours(hours=held_up))
    adopt(bench, quick_sheet(bench))
    write_calendar(bench, target)
    after = visits_in(target)
    moved = [u for u in before if u in after and before[u]["DTSTART"].dt != after[u]["DTSTART"].dt]
    assert moved, "the first visit begins ten minutes later"
    for uid, event in after.items():
        if uid in before and str(event["STATUS"]) == "CONFIRMED":
            newer = int(event["SEQUENCE"]) > int(before[uid]["SEQUENCE"])
            assert newer or event["DTSTART"].dt == before[uid]["DTSTART"].dt


def test_a_clock_starts_when_the_last_of_an_act_is_done(shop: Worked) -> None:
    bench, day = shop.bench, 86400.0
    awaited = {w for s in shop.state.steps.values() for w in (*s.waits, *s.waits_full)}
    clock = next(w for s in shop.state.steps.values() for w in s.windows if w.address in awaited)
    act, now = clock.address.partition(":")[0], bench.now().wall_s
    begins = {act: now + day, f"{act}~2": now + 2 * day}
    ends = {key: at + HOUR_S for key, at in begins.items()}
    bench.settle(cmd.AdoptDays(dates=begins, ends=ends, done_by={}))
    sheet = adopted_sheet(bench)
    assert sheet is not None
    first, last = sheet.visits
    assert not any(clock.label in rest.says for rest in first.rests)
    assert any(clock.label in rest.says for rest in last.rests)


def visits_in(target: Path) -> dict[str, dict]:
    """The file's visits by their UID, read back by the library."""
    calendar = Calendar.from_ical(target.read_bytes())
    events = calendar.walk("VEVENT")
    return {str(e["UID"]): e for e in events if str(e["SUMMARY"]).startswith("Shop: ")}


def test_what_fits_is_whole_where_halfway_would_ruin(shop: Worked) -> None:
    shop.until("mix#1", "do")
    chain = 5 + 3 + 2 * 5 + 4 + 5  # mixed with set-up, two layers, cap and its clean-up
    assert not [r for r in what_fits(shop.bench, chain - 1).rows if r.what.startswith("mix")]
    fits = what_fits(shop.bench, chain)
    assert [r.address.rpartition("/")[2] for r in fits.rows] == [
        "mix#1",
        "pour#1",
        "pour#2",
        "cap#1",
    ]
    assert not [r for r in fits.rows if shop.state.is_settled(r.address)]
    assert max(r.ends for r in fits.rows) <= shop.bench.now().wall_s + 60 * (chain + 1)


def test_whoever_works_now_is_in_the_shop_whatever_its_hours(shop: Worked) -> None:
    """Just started nobody is at work yet; just done something, the sheet goes on from here."""
    bench = shop.bench
    assert local(bench.now().wall_s).hour < 18
    assert question_of(bench).problem.sessions["shop hours"][0][0] > 0
    act = shop.next()
    assert act is not None
    shop.do(act)
    assert question_of(bench).problem.sessions["shop hours"][0] == (0, 55), (
        "an hour, its clean-up taken off"
    )
    assert quick_sheet(bench).rows[0].begins < bench.now().wall_s + 120
    shop.clock.tick(20 * 60.0)
    assert question_of(bench).problem.sessions["shop hours"][0][0] > 0


# Times ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("Sat 10:00", "2026-11-28 10:00"),
        ("tomorrow 18:30", "2026-11-27 18:30"),
        ("20 Dec", "2026-12-20 09:00"),
        ("Fri 20 Dec 18:00", "2026-12-20 18:00"),
        ("2026-12-20 18:00", "2026-12-20 18:00"),
        ("3 Jan 10:00", "2027-01-03 10:00"),
    ],
)
def test_times_to_come(shop: Worked, text: str, shown: str) -> None:
    when = local(time_ahead(text, shop.bench.now().wall_s))
    assert f"{when.date()} {when.hour:02d}:{when.minute:02d}" == shown


@pytest.mark.parametrize("text", ["20 Foo", "2026-11-01", "sometime", "20 Dec 25:00", ""])
def test_what_is_no_time_to_come(shop: Worked, text: str) -> None:
    with pytest.raises(QuantityError):
        time_ahead(text, shop.bench.now().wall_s)


def test_a_bare_day_is_all_of_it(shop: Worked) -> None:
    begins, ends = span_ahead("Sat", shop.bench.now().wall_s)
    assert ends - begins == 86_400
    with pytest.raises(QuantityError):
        span_ahead("Sat 12:00-10:00", shop.bench.now().wall_s)


# The process and the command --------------------------------------------------------------------


def test_the_planner_can_be_stopped_and_what_it_told_stays(shop: Worked) -> None:
    asking = Asking(question_of(shop.bench).request(600.0))
    answers = asking.take(60.0)
    assert answers, "the first plan doesn't wait for the solver"
    asking.stop()
    while not asking.is_over:
        answers += asking.take(1.0)
    assert asking.trouble == ""
    told = best_of(answers)
    assert told is not None
    assert told.steps


def test_the_command_plans_adopts_and_shows(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shop = Shop(tmp_path, monkeypatch)
    assert "Nothing to plan" in shop.run("days").output
    shop.ok("start", "plane-setting-hammer")
    text = shop.ok("days", "--seconds", "1")
    assert "Not adopted yet" in text
    assert "Plane-setting hammer: done " in text
    monkeypatch.setattr(planning, "asked", asked_here)
    assert "Adopted: 33 steps" in shop.ok("days", "--adopt")
    data = json.loads(shop.ok("days", "--json"))
    assert data["how"] == "adopted"
    assert sum(len(v["steps"]) for v in data["visits"]) == 33
    assert "wanted" in shop.ok("days", "--pin", "shape-handle=Sat 10:00")
    assert "wanted by" in shop.ok("days", "--due", "plane-setting-hammer-1=20 Dec")
    assert "What was typed" not in shop.refused("days", "--pin", "shape-handle")
    assert "hammer A: weigh blanks" in shop.ok("days", "--fits", "1 h")


def test_what_cannot_be_in_time_says_why_and_what_would_free_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    pytest.importorskip("ortools")
    shop = Shop(tmp_path, monkeypatch)
    shop.ok("start", "plane-setting-hammer")
    text = shop.ok("days", "--promise", "plane-setting-hammer-1=Sat", "--seconds", "3")
    assert "Plane-setting hammer by Sat 28 Nov can't be done" in text
    assert re.search(r"Plane-setting hammer \d+ days later", text)


def test_a_pin_that_cannot_be_is_refused_with_the_reason(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    pytest.importorskip("ortools")
    shop = Shop(tmp_path, monkeypatch)
    shop.ok("start", "plane-setting-hammer")
    text = shop.run("days", "--pin", "dry-fit=Sat 10:00", "--seconds", "30").output
    assert "dry fit of Plane-setting hammer at Sat 10:00 can't be done with its waits" in text
    assert "dry fit of Plane-setting hammer whenever it fits" in text


def test_neither_screens_nor_the_solver_are_loaded_for_it(tmp_path: Path) -> None:
    heavy = (*HEAVY, "ortools")
    home = ["--home", str(tmp_path)]
    assert "ortools" not in loaded_by([*home, "start", "plane-setting-hammer"], heavy)
    assert loaded_by([*home, "days", "--adopt", "--seconds", "0.1"], heavy) == ""
    assert loaded_by([*home, "next"], heavy) == ""


def test_wishes_are_planned_but_not_adopted(shop: Worked, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(planning, "asked", asked_here)
    wish = plan_for(shop.bench, "turned-lamp-base")[0]
    _, sheet = plan_now(shop.bench, 1.0, [wish])
    assert wish.job in sheet.done_by
    adopt(shop.bench, sheet)
    assert shop.bench.shop.dates is not None
    assert all(a.startswith(shop.job) for a in shop.bench.shop.dates.dates)


def test_a_cold_shop_is_planned_with_and_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(planning, "asked", asked_here)
    shop = Shop(tmp_path, monkeypatch)
    shop.ok("start", "plane-setting-hammer")
    warm = json.loads(shop.ok("days", "--json"))
    settings = find_folders(tmp_path).settings_file
    settings.parent.mkdir(parents=True, exist_ok=True)
    settings.write_text('[shop]\ntemperature = ["6:00 9 °C", "15:00 13 °C"]\n', encoding="utf-8")
    assert "Planned with the temperature expected: " in shop.ok("days")
    cold = json.loads(shop.ok("days", "--json"))
    assert cold["jobs"][0]["done_by"] > warm["jobs"][0]["done_by"]


def test_a_clock_that_several_steps_miss_is_named_once() -> None:
    told = Told(
        aims=(PlannerAim(name="spoiled", value=3),), missed=("cup 2", "cup 2", "oil, coat 1")
    )
    said = aims_text(Question(problem=PlannerProblem(activities=()), now_wall=0.0, jobs={}), told)
    assert said[0].startswith("3 steps too late: ruined work")
    assert said[1] == "Clocks missed: cup 2 (2 steps); oil, coat 1."
