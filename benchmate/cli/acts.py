"""Commands that record an act: mark, skip, spoil, answer, check, note, wish, seen, takeback."""

from __future__ import annotations

from pathlib import Path

import click

from benchmate.bench import Bench
from benchmate.bench.history.newest import newest_beside
from benchmate.bench.next_line import next_line
from benchmate.bench.weights.checking import answer_said, read_answer
from benchmate.cli.opening import (
    at_option,
    fail,
    job_option,
    json_option,
    moment_from,
    pick_job,
    say_json,
    the_bench,
)
from benchmate.cli.saying import put
from benchmate.job.deciding import commands as cmd
from benchmate.job.deciding.guards import check_step
from benchmate.job.deciding.taking_back import describe
from benchmate.job.deciding.to_hand import missing_for, need_key, need_text, not_to_hand
from benchmate.job.state.state import JobState
from benchmate.job.weights.drift import remarks, to_see
from benchmate.job.words.event_text import tell
from benchmate.nearest import advice
from benchmate.plan.address import parse
from benchmate.plan.plan import Amount, Step
from benchmate.quantities.worded import in_units
from benchmate.refusal import RestsOn


def answer_back(bench: Bench, said: str, job: str = "") -> None:
    """What was recorded, and what comes next in the shop, or in the job just started."""
    put(said)
    put(f"Next: {next_line(bench, job)}")


@click.command()
@click.argument("address")
@job_option
@at_option
@click.option("--begun", metavar="WHEN", help='When hands were laid on: "16:20", "25 min ago".')
@click.option("--anyway", is_flag=True, help="Though a window it waits for is still shut.")
@click.option("--ready", "to_hand", is_flag=True, help="Everything the job needs is laid out.")
@click.option("--left", metavar="GRAMS", help="What stayed in the cup.")
@click.option(
    "--used", multiple=True, metavar="WHAT=GRAMS", help="What was really used of a step's material."
)
@click.pass_obj
def mark(
    home: Path | None,
    address: str,
    job: str | None,
    at: str | None,
    anyway: bool,
    left: str | None,
    used: tuple[str, ...],
    begun: str | None,
    to_hand: bool,
) -> None:
    """Mark a step done. ADDRESS is job/piece/part/step#n, or any tail that is unmistakable."""
    from benchmate.quantities import parse_mass_g

    with the_bench(home) as bench:
        state = pick_job(bench, job, address)
        left_g = parse_mass_g(left, "g") if left else None
        for need in not_to_hand(state) if to_hand else ():
            bench.do(state.job, cmd.Tick(what=need_key(need)))
        missing = () if to_hand else missing_for(state, check_step(state, address))
        done = bench.do(
            state.job,
            cmd.MarkDone(
                address=address,
                at=moment_from(bench, at),
                anyway=anyway,
                left_g=left_g,
                begun=moment_from(bench, begun),
                used=tuple(_used(check_step(state, address), text) for text in used),
            ),
        )
        if missing:
            named = "; ".join(need_text(need) for need in missing)
            put(f"Not said to be laid out (--ready says so): {named}.")
        answer_back(bench, f"Recorded: {describe(done[0], state)}.")


def _used(step: Step, text: str) -> Amount:
    """ "glue=1.8 g", of one of the step's materials; where it has only one, "1.8 g" will do."""
    from benchmate.quantities import parse_mass_g

    what, equals, weight = text.rpartition("=")
    names = [amount.what for amount in step.amounts]
    what = what.strip() if equals or len(names) != 1 else names[0]
    planned = next((a for a in step.amounts if a.what == what), None)
    if planned is None:
        known = ", ".join(names) or "none"
        fail(f"{step.address} has no material “{what[:40]}”; it has: {known}.")
    grams = parse_mass_g(weight, "g")
    return Amount(what=what, amount=grams, material=planned.material, role=planned.role)


@click.command()
@click.argument("address")
@click.argument("reason")
@job_option
@click.pass_obj
def skip(home: Path | None, address: str, reason: str, job: str | None) -> None:
    """Leave a step (or a weight that is owed) out, with the reason."""
    with the_bench(home) as bench:
        state = pick_job(bench, job, address)
        done = bench.do(state.job, cmd.Skip(address=address, reason=reason))
        answer_back(bench, f"Recorded: {describe(done[0], bench.shop.jobs[state.job])}.")


@click.command()
@click.argument("piece")
@click.argument("reason")
@click.option("--remake", is_flag=True, help="It is to be made again from its first step.")
@job_option
@click.pass_obj
def spoil(home: Path | None, piece: str, reason: str, remake: bool, job: str | None) -> None:
    """A piece is scrap, or is to be made again; the others go on."""
    with the_bench(home) as bench:
        state = pick_job(bench, job)
        bench.do(state.job, cmd.Spoil(piece=piece, reason=reason, remake=remake))
        answer_back(bench, f"Piece {piece} is {'to be made again' if remake else 'spoiled'}.")


@click.command()
@click.argument("window")
@click.argument("what", type=click.Choice(["spoiled", "extra step", "in time", "let it be"]))
@click.option("--reason", default="", help="In your own words; an extra step's work.")
@job_option
@at_option
@click.pass_obj
def answer(
    home: Path | None, window: str, what: str, reason: str, job: str | None, at: str | None
) -> None:
    """Say what became of a missed WINDOW; "in time" needs --at."""
    with the_bench(home) as bench:
        state = pick_job(bench, job, window)
        bench.do(
            state.job,
            cmd.AnswerMissed(window=window, answer=what, reason=reason, at=moment_from(bench, at)),
        )
        answer_back(bench, f"Recorded: {what}.")


@click.command()
@click.argument("address")
@click.argument("name")
@click.argument("value")
@job_option
@click.pass_obj
def check(home: Path | None, address: str, name: str, value: str, job: str | None) -> None:
    """Answer a step's check: yes, no, or a number in the check's unit."""
    with the_bench(home) as bench:
        state = pick_job(bench, job, address)
        step = check_step(state, address)
        asked = next((c for c in step.checks if c.name == name), None)
        number = read_answer(asked, value) if asked else 0.0  # an unknown name is refused below
        bench.do(state.job, cmd.AnswerCheck(address=address, name=name, value=number, text=value))
        said = answer_said(asked, number, value, bench.settings.units) if asked else value
        answer_back(bench, f"Recorded: {said}.")


@click.command()
@click.argument("text", required=False, default="")
@click.option("--address", default="", help="The step it is about.")
@click.option("--photo", default="", help="A photo's path.")
@job_option
@at_option
@click.pass_obj
def note(
    home: Path | None, text: str, address: str, photo: str, job: str | None, at: str | None
) -> None:
    """Write a note, or a photo's path, into a job."""
    with the_bench(home) as bench:
        state = pick_job(bench, job, address, also_clocks=True)
        bench.do(
            state.job, cmd.Note(text=text, address=address, photo=photo, at=moment_from(bench, at))
        )
        put("Noted.")


@click.command()
@click.argument("step")
@click.argument("text")
@job_option
@click.pass_obj
def wish(home: Path | None, step: str, text: str, job: str | None) -> None:
    """Next time …: shown before that STEP of the file in the next job of the procedure."""
    with the_bench(home) as bench:
        state = pick_job(bench, job)
        bench.do(state.job, cmd.WishNextTime(file_step=_file_step(state, step), text=text))
        put("Kept for next time.")


def _file_step(state: JobState, step: str) -> str:
    """The step of the file that is meant, by its id or an address: no other is ever met again."""
    names = list(dict.fromkeys(at.step for a in state.steps if (at := parse(a)) is not None))
    wanted = step.rpartition("/")[2].partition("#")[0]
    if state.plan is not None and wanted not in names:
        fail(f"{state.title} has no step “{step[:40]}”; {advice(wanted, names)}.")
    return wanted if state.plan is not None else step


@click.command()
@click.option("--all", "everything", is_flag=True, help="Tick everything off.")
@job_option
@json_option
@click.pass_obj
def seen(home: Path | None, everything: bool, job: str | None, as_json: bool) -> None:
    """List what departs from the plan, and tick it off as seen with --all."""
    with the_bench(home) as bench:
        state = pick_job(bench, job)
        now, around, rules = bench.now_s(), bench.shop.around, bench.shop.rules
        if everything:
            keys = tuple(r.key for r in to_see(state, around, now, rules))
            bench.do(state.job, cmd.See(keys=keys))
            put(f"{len(keys)} seen.")
            return
        found = remarks(state, around, now, rules)
        if as_json:
            say_json(
                [
                    {
                        "address": r.address,
                        "text": in_units(r.text, bench.settings.units),
                        "seen": r.seen,
                    }
                    for r in found
                ]
            )
            return
        for remark in found:
            said = in_units(remark.text, bench.settings.units)
            put(f"{'   ' if remark.seen else 'new'}  {remark.address}  {said}")
        if not found:
            put("Everything is on plan.")


@click.command()
@job_option
@click.option("--event", type=int, help="The event's number in the job's logbook.")
@click.option("--along", is_flag=True, help="Take back what rests on it too.")
@click.pass_obj
def takeback(home: Path | None, job: str | None, event: int | None, along: bool) -> None:
    """Take back the newest act of a job. It corrects the record, not the wood."""
    with the_bench(home) as bench:
        state = pick_job(bench, job, also_clocks=True)
        beside = newest_beside(bench, state.job) if job is None and event is None else None
        if beside is not None:
            fail(
                f"The newest entry is another: {tell(beside)}. With --job {state.job} the newest "
                "act of that job is taken back."
            )
        try:
            made = bench.do(state.job, cmd.TakeBack(version=event, along=along))
        except RestsOn as question:
            fail(f"{question} Say --along to do so.")
        versions = made[0].event.versions  # type: ignore[union-attr]
        names = [describe(r, state) for r in state.records if r.version in versions]
        answer_back(bench, f"Taken back: {', '.join(names)}.")
