"""`benchmate job change`: a running job goes on otherwise, shown before it is taken."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

import click
import msgspec

from benchmate.bench.starting import wish_typed as typed
from benchmate.bench.starting.changing import Change, change_of, take_change
from benchmate.cli.opening import fail, json_option, pick_job, say_json, the_bench
from benchmate.cli.saying import put
from benchmate.fields.problem import ProcedureError
from benchmate.job.deciding.guards import check_step
from benchmate.job.state.state import JobState
from benchmate.quantities import parse_duration_s
from benchmate.refusal import Refused


@click.command("change")
@click.argument("name", metavar="JOB")
@click.option("--target", help='Another target, such as "840 g", or "A=840 g" for one piece.')
@click.option("--tolerance", help='Another tolerance: "6 g" or "1 %".')
@click.option("--file", "file", default="", help="Take an edited procedure file over from here on.")
@click.option("--pieces", type=int, metavar="N", help="So many pieces in all.")
@click.option(
    "--material", "materials", multiple=True, metavar="ROLE=NAME", help="Another material."
)
@click.option("--amount", metavar="STEP=12 g", help="Another amount at a step still to come.")
@click.option("--add", metavar="TEXT", help="One more step, with --behind.")
@click.option("--hands", default="", help='With --add: how long it takes, such as "15 min".')
@click.option("--move", metavar="STEP", help="Move a step, with --behind.")
@click.option("--behind", metavar="STEP", default="", help="With --add and --move: behind which.")
@click.option("--leave-out", "gone", metavar="STEP", default="", help="Leave a step out.")
@click.option("--reason", default="", help="Why; it stands in the logbook.")
@click.option("--keep", is_flag=True, help="Take it without asking.")
@json_option
@click.pass_obj
def change(
    home: Path | None,
    name: str,
    target: str | None,
    tolerance: str | None,
    file: str,
    pieces: int | None,
    materials: tuple[str, ...],
    amount: str | None,
    add: str | None,
    hands: str,
    move: str | None,
    behind: str,
    gone: str,
    reason: str,
    keep: bool,
    as_json: bool,
) -> None:
    """Change a running job: the difference is shown, with what follows from it, before it is taken.

    What was done stays as it was. --json shows the difference as data; with --keep it is taken.
    """
    with the_bench(home) as bench:
        job = pick_job(bench, name)
        wish = replace(
            typed.target(job, target or "", tolerance or ""),
            file=file,
            pieces=pieces,
            materials=dict(typed.pair(text, "ROLE=NAME") for text in materials),
            amount=typed.amount_at(job, amount).amount if amount is not None else None,
            add=_added(job, add, behind, hands),
            move=_moved(job, move, behind),
            leave_out=check_step(job, gone).address if gone else "",
        )
        try:
            found = change_of(bench, job, wish)
        except ProcedureError as error:
            fail(str(error))
        if not as_json:
            for text in found.lines():
                put(text)
        taken = keep or (not as_json and _asked(found))
        if taken:
            take_change(bench, job, found, reason or _reason(as_json=as_json))
        if as_json:
            say_json(_data(job, found, taken=taken))
        else:
            put("The plan is changed." if taken else "Nothing is changed.")


def _asked(found: Change) -> bool:
    if found.is_none:
        raise Refused("That changes nothing: the plan is so already.")
    if not sys.stdin.isatty():
        put("Add --keep and --reason to take it.")
        return False
    return click.confirm("Take this change?", default=False)


def _reason(*, as_json: bool) -> str:
    if as_json or not sys.stdin.isatty():
        return ""
    return str(click.prompt("Why", default="", show_default=False))


def _added(
    job: JobState, text: str | None, behind: str, hands: str
) -> tuple[str, str, float] | None:
    if text is None:
        return None
    if not behind or not text.strip():
        raise Refused("A step is added with what is done and --behind STEP.")
    hands_s = parse_duration_s(hands) if hands else typed.HANDS_S
    return check_step(job, behind).address, text.strip(), hands_s


def _moved(job: JobState, move: str | None, behind: str) -> tuple[str, str] | None:
    if move is None:
        return None
    if not behind:
        raise Refused("A step is moved with --behind STEP.")
    return check_step(job, move).address, check_step(job, behind).address


def _data(job: JobState, found: Change, *, taken: bool) -> dict[str, object]:
    return {
        "version": 1,
        "job": job.job,
        "differences": msgspec.to_builtins(found.differences),
        "amounts": msgspec.to_builtins(found.amounts),
        "weights": [{"piece": p, "before_g": b, "after_g": a} for p, b, a in found.weights],
        "taken": taken,
    }
