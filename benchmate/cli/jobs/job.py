"""`benchmate job`: the jobs that are open; pause, resume, finish, stop, scrap a piece."""

from __future__ import annotations

from pathlib import Path

import click

from benchmate.bench.keeping.rescue import is_missing
from benchmate.bench.shelf.cups import newest_act, read_amounts
from benchmate.cli.opening import (
    answer_back,
    fail,
    job_option,
    json_option,
    pick_job,
    say_json,
    the_bench,
)
from benchmate.cli.saying import put
from benchmate.cli.verbs import Verbs
from benchmate.job.deciding import commands as cmd
from benchmate.job.looking_back.summary import FINISHED
from benchmate.job.state.state import JobState
from benchmate.quantities import parse_reading
from benchmate.settings import find_folders

NO_JOB = "No job is open. `benchmate start` starts one."


def progress(state: JobState) -> tuple[int, int]:
    """Steps settled and steps in all."""
    return sum(state.is_settled(a) for a in state.steps), len(state.steps)


@click.group(
    cls=Verbs,
    invoke_without_command=True,
    later={"change": ("benchmate.cli.jobs.change", "Change a running job; shown first.")},
)
@json_option
@click.pass_context
def job(ctx: click.Context, as_json: bool) -> None:
    """The jobs that are open, and what becomes of one. Without a word it lists them."""
    if ctx.invoked_subcommand is None:
        list_jobs(ctx.obj, as_json=as_json)


def list_jobs(home: Path | None, *, as_json: bool) -> None:
    """List the jobs that are open, each with how far it is."""
    if is_missing(find_folders(home).data):
        say_json([]) if as_json else put(NO_JOB)
        return
    with the_bench(home, write=False) as bench:
        found = bench.shop.live
        if as_json:
            say_json(
                [
                    {
                        "job": j.job,
                        "title": j.title,
                        "status": j.status,
                        "done": progress(j)[0],
                        "steps": progress(j)[1],
                    }
                    for j in found
                ]
            )
            return
        for j in found:
            done, steps = progress(j)
            paused = "  paused" if j.status == "paused" else ""
            far = f"{done} of {steps} steps" if j.plan is not None else "no plan"
            put(f"{j.job}  {j.title}  {far}{paused}")
        if not found:
            put(NO_JOB)


@job.command()
@click.argument("reason", default="")
@job_option
@click.pass_obj
def pause(home: Path | None, reason: str, job: str | None) -> None:
    """Pause a job, with the REASON or the job's name: no reminders until it is resumed. Glue and
    resin don't wait."""
    with the_bench(home) as bench:
        named = job is None and bench.job(reason) is not None
        state = pick_job(bench, reason if named else job)
        bench.do(state.job, cmd.Pause(reason="" if named else reason))
        put(f"{state.title} is paused. To go on: `benchmate job resume {state.job}`")


@job.command()
@click.argument("which", metavar="[JOB]", default="")
@job_option
@click.pass_obj
def resume(home: Path | None, which: str, job: str | None) -> None:
    """Resume a paused job."""
    with the_bench(home) as bench:
        state = pick_job(bench, job or which or None)
        bench.do(state.job, cmd.Resume())
        put(f"{state.title} is resumed.")


@job.command()
@click.argument("reason")
@job_option
@click.pass_obj
def stop(home: Path | None, reason: str, job: str | None) -> None:
    """Stop a job before its last step, with the reason."""
    with the_bench(home) as bench:
        state = pick_job(bench, job)
        bench.do(state.job, cmd.Stop(reason=reason))
        put(f"{state.title} is stopped.")


@job.command()
@click.argument("outcome", default="")
@click.option("--photo", default="", help="A photo's path.")
@click.option(
    "--weight",
    "weights",
    multiple=True,
    metavar="PIECE=WEIGHT",
    help="A finished weight that no step asked for: A=850g.",
)
@click.option(
    "--used",
    multiple=True,
    metavar="WHAT=AMOUNT",
    help='What it used up, for the next buying list: "abrasive sheet=5", "tape=2 m".',
)
@job_option
@click.pass_obj
def finish(
    home: Path | None,
    outcome: str,
    photo: str,
    weights: tuple[str, ...],
    used: tuple[str, ...],
    job: str | None,
) -> None:
    """Finish a job whose steps are all done, and say how it turned out."""
    with the_bench(home) as bench:
        state = pick_job(bench, job)
        told = [_weight_told(state, text) for text in weights]
        taken = read_amounts(state, newest_act(state), "; ".join(used)) if used else None
        done, steps = progress(state)
        # With steps still to do it can't be finished, and then nothing is to be recorded.
        for weigh in told if done == steps else ():
            bench.do(state.job, weigh)
        if taken is not None and done == steps:
            bench.do(state.job, taken)
        bench.do(state.job, cmd.Finish(outcome=outcome, photo=photo))
        put(f"{state.title} is finished.")
        if state.plan is not None:
            put(
                f"`benchmate start --like {state.job}` starts another like it; "
                "--bigger 20 makes it 20 % bigger."
            )


@job.command()
@click.argument("piece")
@click.argument("reason")
@click.option("--remake", is_flag=True, help="Make it again from its first step.")
@job_option
@click.pass_obj
def scrap(home: Path | None, piece: str, reason: str, remake: bool, job: str | None) -> None:
    """Scrap a piece, or make it again; the others go on."""
    with the_bench(home) as bench:
        state = pick_job(bench, job)
        bench.do(state.job, cmd.Spoil(piece=piece, reason=reason, remake=remake))
        answer_back(bench, f"Piece {piece} is {'to be made again' if remake else 'scrap'}.")


def _weight_told(state: JobState, text: str) -> cmd.Weigh:
    """ "A=850 g" as a weighing of a finished piece."""
    piece, equals, weight = text.partition("=")
    if not equals:
        fail(f"“{text[:40]}” is no PIECE=WEIGHT; write it like A=850g.")
    return cmd.Weigh(
        net_g=parse_reading(weight).value_g,
        gross=(weight.strip(),),
        piece=piece.strip(),
        what=FINISHED,
    )
