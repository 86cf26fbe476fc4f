"""`benchmate done`: a step is done, or begun; its checks; an act that no plan foresaw."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click

from benchmate.bench import Bench
from benchmate.bench.weights.checking import answer_said, fault_of_answer, read_answer
from benchmate.cli.opening import (
    answer_back,
    at_option,
    fail,
    job_option,
    keep_option,
    moment_from,
    pick_job,
    the_bench,
)
from benchmate.cli.saying import put
from benchmate.job.deciding import commands as cmd
from benchmate.job.deciding.guards import check_step
from benchmate.job.deciding.taking_back import describe
from benchmate.job.deciding.to_hand import missing_for, need_key, need_text, not_to_hand
from benchmate.job.state.state import JobState
from benchmate.job.words.event_text import tell
from benchmate.nearest import advice
from benchmate.plan.plan import Amount

NOW = "now"


@click.command(
    epilog="--started alone says that you are starting the step now: it isn't done yet. With "
    "--check it also takes down an answer before the step is done."
)
@click.argument("step")
@job_option
@at_option
@click.option(
    "--started",
    metavar="WHEN",
    is_flag=False,
    flag_value=NOW,
    help='When you started it: "16:20", "25 min ago". Alone: you are starting it now.',
)
@click.option(
    "--check", "checks", multiple=True, metavar="NAME=VALUE", help="A check: wall=7mm, level=yes."
)
@click.option("--ready", is_flag=True, help="Everything that the job needs is to hand.")
@click.option("--left", metavar="GRAMS", help="What was left in the cup.")
@click.option("--used", multiple=True, metavar="WHAT=GRAMS", help="What the step really used.")
@click.option(
    "--extra", is_flag=True, help="STEP is an act that no plan foresaw, in your own words."
)
@click.option("--name", default="", help="With --extra: what it was done to: lid, base …")
@click.option("--piece", default="", help="With --extra: the piece.")
@keep_option
@click.pass_obj
def done(
    home: Path | None,
    step: str,
    job: str | None,
    at: str | None,
    started: str | None,
    checks: tuple[str, ...],
    ready: bool,
    left: str | None,
    used: tuple[str, ...],
    extra: bool,
    name: str,
    piece: str,
    keep: bool,
) -> None:
    """A STEP is done: job/piece/part/step#n, or enough of its end to be clear.

    What no plan foresaw: benchmate done "sanded" --extra --name lid.
    """
    with the_bench(home) as bench:
        state = pick_job(bench, job, "" if extra else step)
        if extra:
            _extra(
                bench,
                state,
                cmd.DoFreely(act=step, name=name, piece=piece, at=moment_from(bench, at)),
            )
            return
        doubts = _checked(bench, state, step, checks, keep=keep)
        if started == NOW:
            made = bench.do(state.job, cmd.Begin(address=step, at=moment_from(bench, at)))
            put(f"Recorded: {tell(made[0].event)}.")
            return
        if checks and state.is_settled(check_step(state, step).address):
            answer_back(bench, f"Recorded: {doubts}.")
            return
        _mark(bench, state, step, at, started, used, left, ready=ready, keep=keep)


def _extra(bench: Bench, state: JobState, act: cmd.DoFreely) -> None:
    """An act in the maker's own words, where no plan foresaw it."""
    made = bench.do(state.job, act)
    put(f"Recorded: {tell(made[0].event)}.")


def _mark(
    bench: Bench,
    state: JobState,
    step: str,
    at: str | None,
    started: str | None,
    used: tuple[str, ...],
    left: str | None,
    *,
    ready: bool,
    keep: bool,
) -> None:
    from benchmate.quantities import parse_mass_g

    left_g = parse_mass_g(left, "g") if left else None
    for need in not_to_hand(state) if ready else ():
        bench.do(state.job, cmd.Tick(what=need_key(need)))
    missing = () if ready else missing_for(state, check_step(state, step))
    made = bench.do(
        state.job,
        cmd.MarkDone(
            address=step,
            at=moment_from(bench, at),
            anyway=keep,
            left_g=left_g,
            begun=moment_from(bench, started),
            used=_used(state, check_step(state, step).address, used),
        ),
    )
    if missing:
        named = "; ".join(need_text(need) for need in missing)
        put(f"Not ticked off: {named}. (--ready ticks them all.)")
    answer_back(bench, f"Recorded: {describe(made[0], state)}.")


def _checked(
    bench: Bench, state: JobState, address: str, checks: Sequence[str], *, keep: bool
) -> str:
    """Take down the checks' answers; one that is off plan is asked about before anything is.

    The answers in words; ends the command where one can't be taken.
    """
    if not checks:
        return ""
    step, units = check_step(state, address), bench.settings.units
    answers = []
    for text in checks:
        name, equals, value = (part.strip() for part in text.partition("="))
        asked = next((c for c in step.checks if c.name == name), None)
        if not equals or asked is None:
            known = [c.name for c in step.checks]
            fail(
                f"{step.address} has no check “{name[:40]}”; {advice(name, known)}."
                if known
                else f"{step.address} has nothing to check."
            )
        number = read_answer(asked, value)
        if not keep and (fault := fault_of_answer(asked, number, units)):
            fail(f"{fault}. Nothing is recorded yet: check again, or add --keep.")
        answers.append((asked, number, value))
    for asked, number, value in answers:
        bench.do(
            state.job,
            cmd.AnswerCheck(address=step.address, name=asked.name, value=number, text=value),
        )
    return "; ".join(answer_said(asked, number, units) for asked, number, _ in answers)


def _used(state: JobState, address: str, typed: Sequence[str]) -> tuple[Amount, ...]:
    """ "glue=1.8 g", of one of the step's materials; where it has only one, "1.8 g" will do."""
    if not typed:
        return ()
    from benchmate.bench.shelf.cups import read_amounts

    return read_amounts(state, address, "; ".join(typed)).used
