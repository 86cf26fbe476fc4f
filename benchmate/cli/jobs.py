"""Commands about whole jobs: jobs, pause, resume, stop, finish."""

from __future__ import annotations

from pathlib import Path

import click

from benchmate.cli.opening import job_option, json_option, pick_job, say_json, the_bench
from benchmate.cli.saying import put
from benchmate.job import commands as cmd
from benchmate.job.state import JobState


def progress(state: JobState) -> tuple[int, int]:
    """Steps settled and steps in all."""
    return sum(state.is_settled(a) for a in state.steps), len(state.steps)


@click.command()
@json_option
@click.pass_obj
def jobs(home: Path | None, as_json: bool) -> None:
    """List the jobs that are open."""
    with the_bench(home) as bench:
        found = bench.shop.live
        if as_json:
            say_json(
                [
                    {"job": j.job, "title": j.title, "status": j.status,
                     "done": progress(j)[0], "steps": progress(j)[1]}
                    for j in found
                ]
            )  # fmt: skip
            return
        for j in found:
            done, steps = progress(j)
            paused = "  paused" if j.status == "paused" else ""
            put(f"{j.job}  {j.title}  {done} of {steps} steps{paused}")
        if not found:
            put("No job is running. `benchmate start` starts one.")


@click.command()
@click.argument("reason", default="")
@job_option
@click.pass_obj
def pause(home: Path | None, reason: str, job: str | None) -> None:
    """Silence a job's reminders, for weeks if need be. Its windows run on."""
    with the_bench(home) as bench:
        state = pick_job(bench, job)
        bench.do(state.job, cmd.Pause(reason=reason))
        put(f"{state.title} is paused. `benchmate resume --job {state.job}` goes on.")


@click.command()
@job_option
@click.pass_obj
def resume(home: Path | None, job: str | None) -> None:
    """Bring a paused job back."""
    with the_bench(home) as bench:
        state = pick_job(bench, job)
        bench.do(state.job, cmd.Resume())
        put(f"{state.title} goes on.")


@click.command()
@click.argument("reason")
@job_option
@click.pass_obj
def stop(home: Path | None, reason: str, job: str | None) -> None:
    """End a job before its last step, with the reason."""
    with the_bench(home) as bench:
        state = pick_job(bench, job)
        bench.do(state.job, cmd.Stop(reason=reason))
        put(f"{state.title} is stopped.")


@click.command()
@click.argument("outcome", default="")
@click.option("--photo", default="", help="A photo's path.")
@job_option
@click.pass_obj
def finish(home: Path | None, outcome: str, photo: str, job: str | None) -> None:
    """End a job whose steps are all done, and say how it turned out."""
    with the_bench(home) as bench:
        state = pick_job(bench, job)
        bench.do(state.job, cmd.Finish(outcome=outcome, photo=photo))
        put(f"{state.title} is finished.")
