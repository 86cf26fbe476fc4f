"""`benchmate start`: a job from a procedure, like an earlier one, or without one."""

from __future__ import annotations

import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import click

from benchmate.bench import Bench
from benchmate.bench.shelf.materials_for_job import materials_said
from benchmate.bench.starting.briefing import first_words
from benchmate.bench.starting.starting import start_free, start_job
from benchmate.cli.jobs.next_time import wishes_said
from benchmate.cli.opening import answer_back, fail, the_bench
from benchmate.cli.saying import put
from benchmate.quantities import parse_number


@click.command()
@click.argument("procedure", required=False, default="")
@click.option(
    "--set",
    "sets",
    multiple=True,
    metavar="NAME=VALUE",
    help="A parameter's value; NAME@PIECE where pieces may differ.",
)
@click.option(
    "--material",
    "named",
    multiple=True,
    metavar="ROLE=MATERIAL",
    help='What to use from the shelf: glue="slow PVA".',
)
@click.option("--like", metavar="JOB", help="Another like that job, with its parameters.")
@click.option(
    "--bigger", metavar="PERCENT", help="With --like: so much bigger every way; -10 is smaller."
)
@click.option("--learned", is_flag=True, help="Plan with what earlier jobs have taught.")
@click.option("--free", metavar="TITLE", help="Without a procedure: a job of this name.")
@click.option("--id", "job", metavar="ID", help="By default the procedure's name and a number.")
@click.pass_obj
def start(
    home: Path | None,
    procedure: str,
    sets: tuple[str, ...],
    named: tuple[str, ...],
    like: str | None,
    bigger: str | None,
    learned: bool,
    free: str | None,
    job: str | None,
) -> None:
    """Start a job from PROCEDURE (a name or a file). Later edits of the file don't change it."""
    from benchmate.fields.problem import ProcedureError

    if sum(map(bool, (procedure, like, free))) != 1:
        fail(
            "Name a procedure, --like and a job, or --free and a title. `benchmate procedure` "
            "lists them."
        )
    if bigger and not like:
        fail("--bigger goes with --like and a job.")
    with the_bench(home) as bench:
        if free:
            made = start_free(bench, free)
            answer_back(bench, f"Started: {made}.", made)
            return
        values = values_of(sets)
        chosen = dict(_pair(s) for s in named)
        try:
            if like:
                procedure, values, chosen = _like(bench, like, bigger, values, chosen)
            said = _learned(bench, procedure, values, chosen, take_all=learned)
            doubts = _doubts(bench, procedure, values, chosen)
            if doubts and sys.stdin.isatty():
                put("\n".join(doubts))
                if not click.confirm("Start anyway?", default=False):
                    put("Nothing is started.")
                    return
                doubts = []
            made = start_job(bench, procedure, values, job, chosen=chosen)
        except ProcedureError as error:
            fail(str(error))
        words = [
            *doubts,
            *materials_said(bench, made),
            *first_words(bench, made),
            *_done_by(bench, made),
            *wishes_said(bench, made),
        ]
        answer_back(bench, "\n".join([f"Started: {made}.", *words, *said]), made, wide=79)


def _done_by(bench: Bench, job: str) -> list[str]:
    """When it will be done, among all that is open."""
    from benchmate.bench.planning.done_by import done_by_text

    plan = bench.shop.jobs[job].plan
    text = done_by_text(bench, plan) if plan is not None else ""
    return [text] if text else []


def _doubts(
    bench: Bench, procedure: str, values: Mapping[str, Any], chosen: Mapping[str, str]
) -> list[str]:
    """What the proofreader doubts with these values: asked about where somebody can answer."""
    from benchmate.bench.starting.proofing import proof_of
    from benchmate.procedure.finding import find, load_file

    home = bench.folders.procedures.parent
    found = find(procedure, home)
    if found is None:
        return []
    proof = proof_of(bench, load_file(found.path, home), values, chosen)
    return [f"Check this: {text}" for text in proof.findings]


def values_of(sets: tuple[str, ...]) -> dict[str, Any]:
    """Parameters as they were typed; "length@B" is piece B's own, and the rest keep the file's."""
    found: dict[str, Any] = {}
    for name, value in map(_pair, sets):
        shared, at, piece = name.partition("@")
        if not at:
            if isinstance(found.get(name), dict):
                fail(f"{name} is set for all pieces and for some; set it for each piece.")
            found[name] = value
            continue
        each = found.setdefault(shared.strip(), {})
        if not isinstance(each, dict):
            fail(f"{shared} is set for all pieces and for {piece}; set it for each piece.")
        each[piece.strip()] = value
    return found


def _pair(text: str) -> tuple[str, str]:
    name, equals, value = text.partition("=")
    if not equals or not name.strip():
        fail(f"“{text[:40]}” is no NAME=VALUE.")
    return name.strip(), value.strip()


def _like(
    bench: Bench,
    job: str,
    bigger: str | None,
    values: Mapping[str, Any],
    chosen: Mapping[str, str],
) -> tuple[str, dict[str, Any], dict[str, str]]:
    """The procedure, parameters and materials of an earlier job; what was set wins."""
    from benchmate.bench.starting.start_like import another_like

    percent = parse_number(bigger.replace("%", " ").strip()).value if bigger else 0.0
    again = another_like(bench, job, percent)
    for text in again.said:
        put(text)
    return again.procedure, {**again.values, **values}, {**again.materials, **chosen}


def _learned(
    bench: Bench,
    procedure: str,
    values: Mapping[str, Any],
    chosen: Mapping[str, str],
    *,
    take_all: bool,
) -> list[str]:
    """What earlier jobs would change: taken over before the start, or listed after it."""
    from benchmate.bench.history.lessons import name_of, offer_text, offers, take

    found = offers(bench, procedure, values, chosen=chosen)
    if take_all:
        take(bench, procedure, found)
        return [f"In use from now on: {offer_text(bench, it)}" for it in found]
    if not found:
        return []
    name = name_of(bench, procedure)
    return [
        "Earlier jobs would change this; this job keeps its plan:",
        *(f"  {offer_text(bench, it)}" for it in found),
        f"`benchmate start {name} --learned` plans with them; "
        f"`benchmate procedure lessons {name}` says why.",
    ]
