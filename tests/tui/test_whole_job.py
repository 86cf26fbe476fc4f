"""Whole jobs by keys alone through the real app, and by commands: both leave equal states."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner
from textual.pilot import Pilot
from textual.widgets import Input

from benchmate.bench.starting.starting import start_job
from benchmate.cli import opening
from benchmate.cli.group import cli
from benchmate.job.deciding.to_hand import missing_for
from benchmate.job.state.state import JobState
from benchmate.job.weights.drift import to_see
from benchmate.job.windows.agenda import Act
from benchmate.tui.app import BenchApp
from benchmate.tui.prompts.choose import Choose
from tests.tui.whole_job import Script, answer, ended, reading

PROCEDURES = (
    "matched-bookends",
    "turned-lamp-base",
    "plane-setting-hammer",
    "built-up-hammer",
    "square-lamp-base",
    "candle-holders",
)


async def by_keys(home: Path, procedure: str) -> JobState:
    """The job done with the glove key, digits, typed weights and Enter."""
    script = Script()
    bench = script.open(home)
    job = start_job(bench, procedure)
    app = BenchApp(bench)
    # Time leaps here, and the real second must not find an act that changed in the leap: a press
    # just after that is rightly turned away.
    app.tick = lambda: None  # type: ignore[method-assign]
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        while (act := script.next_act(bench)) is not None:
            app.screen.look()  # type: ignore[attr-defined]  # what the hands see before they begin
            script.pass_time(act)
            await acted(pilot, app, act)
        app.screen.look()  # type: ignore[attr-defined]
        await _moved_on(pilot, app, "o")
        await _moved_on(pilot, app, "1")
        await _type(pilot, app, "as planned")
        await _moved_on(pilot, app, "enter")  # no photo
        await _moved_on(pilot, app, "1")  # and no other one like it
    bench.close()
    return ended(home, script, job)


async def _until(pilot: Pilot[None], holds: Callable[[], bool]) -> None:
    """Wait for what a key brings: a pause alone ends as soon as the machine is busy elsewhere."""
    for _ in range(200):
        if holds():
            return
        await pilot.pause()
    raise AssertionError("the key brought nothing")


async def acted(pilot: Pilot[None], app: BenchApp, act: Act) -> None:
    before = len(app.bench.shop.jobs[act.job].records)
    await _by_keys(pilot, app, act)
    await _until(pilot, lambda: len(app.bench.shop.jobs[act.job].records) > before)


async def _moved_on(pilot: Pilot[None], app: BenchApp, key: str) -> None:
    """A key that opens or leaves a question."""
    screen = app.screen
    await pilot.press(key)
    await _until(pilot, lambda: app.screen is not screen)


async def _by_keys(pilot: Pilot[None], app: BenchApp, act: Act) -> None:
    job = app.bench.shop.jobs[act.job]
    bench = app.screen
    await pilot.press("space")
    await _until(pilot, lambda: app.screen is not bench or app.bench.shop.jobs[act.job] is not job)
    if act.kind == "do" and isinstance(app.screen, Choose):
        await pilot.press("1")  # all of it is laid out
        await _until(pilot, lambda: app.screen is bench)
        app.hand.presses.forget()
        await pilot.press("space")
    elif act.kind == "weigh":
        await _type(pilot, app, reading(act))
    elif act.kind == "answer":
        await pilot.press("4")  # carry on as it is
    elif act.kind == "check":
        assert act.check is not None
        if act.check.unit:
            await _type(pilot, app, answer(act))
        else:
            await pilot.press("1")


async def _type(pilot: Pilot[None], app: BenchApp, text: str) -> None:
    await _until(pilot, lambda: bool(app.screen.query(Input)))
    app.screen.query_one(Input).value = ""
    await pilot.press(*["space" if c == " " else "full_stop" if c == "." else c for c in text])
    await pilot.press("enter")
    await pilot.pause()


def by_commands(home: Path, procedure: str, monkeypatch: pytest.MonkeyPatch) -> JobState:
    """The job done with mark, weigh and check, each a command of its own."""
    script = Script()
    monkeypatch.setattr(opening, "make_clock", lambda: script.clock)
    _run(home, "start", procedure)
    job = f"{procedure}-1"
    looker = script.open(home)
    while True:
        looker.refresh()
        act = script.next_act(looker)
        if act is None:
            break
        script.pass_time(act)
        if act.kind == "weigh":
            _run(home, "weigh", reading(act), act.address)
        elif act.kind == "check":
            assert act.check is not None
            _run(home, "done", act.address, "--check", f"{act.check.name}={answer(act)}")
        else:
            assert act.step is not None
            missing = missing_for(looker.shop.jobs[job], act.step)
            _run(home, "done", act.address, *(["--ready"] if missing else []))
    looker.close()
    _run(home, "job", "finish", "as planned")
    return ended(home, script, job)


def _run(home: Path, *words: str) -> str:
    result = CliRunner().invoke(cli, ["--home", str(home), *words], catch_exceptions=False)
    assert result.exit_code == 0, (words, result.output)
    return result.output


@pytest.mark.parametrize("procedure", PROCEDURES)
async def test_keys_and_commands_leave_equal_states(
    procedure: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    keys = await by_keys(tmp_path / "keys", procedure)
    commands = by_commands(tmp_path / "commands", procedure, monkeypatch)
    assert keys.status == "finished"
    assert keys.plan is not None
    assert set(keys.done) == {s.address for s in keys.plan.steps}, "every step of every piece"
    assert {s.piece for s in keys.plan.steps} >= {p.name for p in keys.plan.pieces}
    assert not keys.skipped
    assert not keys.spoiled
    assert keys.ticked, "all was laid out before anything was poured or spread"
    assert keys == commands


def test_a_job_done_as_planned_leaves_nothing_to_see(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    state = by_commands(tmp_path, PROCEDURES[0], monkeypatch)
    script = Script()
    bench = script.open(tmp_path)
    assert to_see(state, bench.shop.around, bench.now_s()) == ()
    bench.close()
