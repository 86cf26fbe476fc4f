"""What is told beside the steps: missed, skip, note, undo."""

from __future__ import annotations

from pathlib import Path

import click

from benchmate.bench.history.newest import newest_beside
from benchmate.cli.opening import (
    answer_back,
    at_option,
    fail,
    job_option,
    moment_from,
    pick_job,
    the_bench,
)
from benchmate.cli.saying import put
from benchmate.job.deciding import commands as cmd
from benchmate.job.deciding.guards import clocks_named
from benchmate.job.deciding.taking_back import describe
from benchmate.job.state.state import JobState
from benchmate.job.words.event_text import tell
from benchmate.nearest import advice
from benchmate.plan.address import parse
from benchmate.refusal import RestsOn

ANSWERS = {
    "ruined": "spoiled",
    "extra step": "extra step",
    "in time": "in time",
    "carry on": "let it be",
}
"""What may have happened when a clock ran out, and how that is stored."""


@click.command()
@click.argument("step")
@click.argument("reason")
@job_option
@click.pass_obj
def skip(home: Path | None, step: str, reason: str, job: str | None) -> None:
    """Leave out a step (or a weight that is still owed), with the reason."""
    with the_bench(home) as bench:
        state = pick_job(bench, job, step)
        done = bench.do(state.job, cmd.Skip(address=step, reason=reason))
        answer_back(bench, f"Recorded: {describe(done[0], bench.shop.jobs[state.job])}.")


@click.command()
@click.argument("clock")
@click.argument("what", type=click.Choice(list(ANSWERS)))
@click.option("--reason", default="", help="In your own words; an extra step's work.")
@job_option
@at_option
@click.pass_obj
def missed(
    home: Path | None, clock: str, what: str, reason: str, job: str | None, at: str | None
) -> None:
    """Say what happened when a CLOCK ran out; "in time" needs --at."""
    with the_bench(home) as bench:
        state = pick_job(bench, job, clock, fits=lambda j: bool(clocks_named(j, clock)))
        bench.do(
            state.job,
            cmd.AnswerMissed(
                window=clock, answer=ANSWERS[what], reason=reason, at=moment_from(bench, at)
            ),
        )
        answer_back(bench, f"Recorded: {what}.")


@click.command()
@click.argument("text", required=False, default="")
@click.option("--step", "address", default="", help="The step it is about.")
@click.option("--photo", default="", help="A photo's path.")
@click.option(
    "--next-time", metavar="STEP", help="Show it before that step in the next job like this."
)
@job_option
@at_option
@click.pass_obj
def note(
    home: Path | None,
    text: str,
    address: str,
    photo: str,
    next_time: str | None,
    job: str | None,
    at: str | None,
) -> None:
    """Write a note, or a photo's path, into a job; or keep it for next time."""
    with the_bench(home) as bench:
        if next_time is not None:
            state = pick_job(bench, job)
            step = _file_step(state, next_time)
            bench.do(state.job, cmd.WishNextTime(file_step=step, text=text))
            put("Kept for next time.")
            return
        state = pick_job(bench, job, address, also_clocks=True)
        bench.do(
            state.job, cmd.Note(text=text, address=address, photo=photo, at=moment_from(bench, at))
        )
        put("Noted.")


def _file_step(state: JobState, step: str) -> str:
    """The step of the file that is meant, by its id or an address: no other is ever met again."""
    names = list(dict.fromkeys(at.step for a in state.steps if (at := parse(a)) is not None))
    wanted = step.rpartition("/")[2].partition("#")[0]
    if state.plan is not None and wanted not in names:
        fail(f"{state.title} has no step “{step[:40]}”; {advice(wanted, names)}.")
    return wanted if state.plan is not None else step


@click.command()
@job_option
@click.option("--entry", type=int, help="An entry by its number in the job's logbook.")
@click.option("--along", is_flag=True, help="Undo what rests on it too.")
@click.option("--clock", is_flag=True, help="Take the last set of the computer's time otherwise.")
@click.pass_obj
def undo(home: Path | None, job: str | None, entry: int | None, along: bool, clock: bool) -> None:
    """Undo the last entry of a job. It corrects the record, not the wood."""
    with the_bench(home) as bench:
        if clock:
            answer_back(bench, bench.undo_clock())
            return
        state = pick_job(bench, job, also_clocks=True)
        beside = newest_beside(bench, state.job) if job is None and entry is None else None
        if beside is not None:
            fail(
                f"The last entry is another: {tell(beside)}. Add --job {state.job} to undo the "
                "last entry of that job."
            )
        try:
            made = bench.do(state.job, cmd.TakeBack(version=entry, along=along))
        except RestsOn as question:
            fail(f"{question} Add --along to undo them too.")
        versions = made[0].event.versions  # type: ignore[union-attr]
        names = [describe(r, state) for r in state.records if r.version in versions]
        answer_back(bench, f"Undone: {', '.join(names)}.")
