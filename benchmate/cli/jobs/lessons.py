"""`benchmate procedure lessons`: what earlier jobs of a procedure teach the next one."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click

from benchmate.bench import Bench
from benchmate.bench.history.lessons import (
    in_use,
    last_jobs,
    name_of,
    not_taught,
    offer_text,
    offers,
    take,
    take_back,
)
from benchmate.bench.history.records import known_procedures
from benchmate.bench.history.wishes import wishes_of
from benchmate.cli.jobs.next_time import say_wishes, settle_wish
from benchmate.cli.opening import fail, json_option, say_json, the_bench
from benchmate.cli.saying import put
from benchmate.learning.offer import Offer
from benchmate.learning.side_by_side import JobsTable

FEW = 2
"""Jobs of a procedure below which there is nothing to lay side by side."""


@click.command()
@click.argument("procedure", required=False, default="")
@click.option(
    "--accept", "taken", metavar="KEY", help="Use an offered value from now on, or “all”."
)
@click.option(
    "--back",
    metavar="KEY",
    help="Go by the file again: drop a value in use, decline an offered one.",
)
@click.option(
    "--compare",
    "by",
    metavar="NAME",
    help="Compare two ways: a parameter's values, or a name in [materials].",
)
@click.option(
    "--of",
    metavar="WHAT",
    default="",
    help="With --compare: off target, missed by, packing, or loss.",
)
@click.option(
    "--into-file",
    "written",
    metavar="N",
    type=int,
    help="Write “next time” note N into the file; the change is shown.",
)
@click.option("--forget", metavar="N", type=int, help="Forget “next time” note N.")
@click.option("--keep", is_flag=True, help="With --into-file: write it without asking.")
@json_option
@click.pass_obj
def lessons(
    home: Path | None,
    procedure: str,
    taken: str | None,
    back: str | None,
    by: str | None,
    of: str,
    written: int | None,
    forget: int | None,
    keep: bool,
    as_json: bool,
) -> None:
    """Lay the last five jobs of PROCEDURE side by side, and offer what they teach.

    Learned values stay apart from the file; a job names those that it was planned with.
    """
    from benchmate.fields.problem import ProcedureError

    with the_bench(home) as bench:
        if not procedure:
            _list(bench, as_json=as_json)
            return
        try:
            if taken:
                _take(bench, procedure, taken)
            elif back:
                for said in take_back(bench, procedure, "" if back == "all" else back):
                    put(f"By the file again: no longer {said}")
            elif written is not None or forget is not None:
                settle_wish(bench, procedure, written, forget, keep=keep)
            elif by:
                _compare(bench, procedure, by, of, as_json=as_json)
            else:
                _show(bench, procedure, as_json=as_json)
        except ProcedureError as error:
            fail(str(error))


def _list(bench: Bench, *, as_json: bool) -> None:
    known = known_procedures(bench)
    if as_json:
        say_json([{"procedure": name, "jobs": n} for name, n in known.items()])
        return
    for name, n in known.items():
        put(f"{name}  {n} {'job' if n == 1 else 'jobs'} ended")
    if not known:
        put("No job has ended yet. Lessons come from jobs that are finished or stopped.")


def _show(bench: Bench, procedure: str, *, as_json: bool) -> None:
    name = name_of(bench, procedure)
    table, held = last_jobs(bench, procedure), in_use(bench, procedure)
    found = offers(bench, procedure)
    wished = wishes_of(bench, name)
    if as_json:
        say_json(
            {
                "procedure": name,
                "next_time": [{"step": w.file_step, "text": w.text, "job": w.job} for w in wished],
                "jobs": list(table.columns),
                "rows": [{"name": r.name, "cells": list(r.cells)} for r in table.rows],
                "in_use": [{"key": v.key, "value": v.value} for v in held],
                "offers": [_offer_data(o) for o in found],
            }
        )
        return
    say_wishes(name, wished)
    if not table.columns:
        put(f"No job of {name} has ended yet.")
        return
    for row in table_lines(table):
        put(row)
    for value in held:
        put(f"In use: {value.said}. `benchmate procedure lessons {name} --back {value.key}`")
    say_offers(bench, name, found)
    if untaught := not_taught(bench, procedure):
        put(untaught)
    if not found and len(table.columns) < FEW:
        put("One job is not enough to learn from.")


def say_offers(bench: Bench, name: str, found: Sequence[Offer]) -> None:
    """The offers as one list, and how they are taken."""
    if found:
        put("From earlier jobs:")
        for it in found:
            put(f"  {offer_text(bench, it)}")
        put(f"`benchmate procedure lessons {name} --accept all` (or one KEY) uses them.")


def table_lines(table: JobsTable) -> list[str]:
    """The table in plain text; columns as wide as they need."""
    rows = [["", *table.columns], *([r.name, *r.cells] for r in table.rows)]
    widths = [max(len(row[i]) for row in rows) for i in range(len(rows[0]))]
    return [
        "  ".join(c.ljust(w) for c, w in zip(row, widths, strict=True)).rstrip() for row in rows
    ]


def _offer_data(it: Offer) -> dict[str, object]:
    return {"key": it.key, "old": it.old, "new": it.new, "n": it.n, "u": it.u, "effect": it.effect}


def _take(bench: Bench, procedure: str, key: str) -> None:
    found = [o for o in offers(bench, procedure) if key in ("all", o.key)]
    if not found:
        fail(f"Nothing is offered for “{key[:40]}”." if key != "all" else "Nothing is offered now.")
    take(bench, procedure, found)
    for it in found:
        put(f"In use from now on: {offer_text(bench, it)}")


def _compare(bench: Bench, procedure: str, by: str, of: str, *, as_json: bool) -> None:
    from benchmate.bench.history.comparing import compare_ways

    found = compare_ways(bench, procedure, by, of)
    if as_json:
        say_json(
            [
                {
                    "of": c.of,
                    "n": [c.found.n_a, c.found.n_b],
                    "means": [c.found.mean_a, c.found.mean_b],
                    "difference": c.found.difference,
                    "lower": c.found.lower,
                    "upper": c.found.upper,
                    "outcome": c.found.outcome.value,
                    "needed": c.found.needed,
                    "sentence": c.found.sentence,
                }
                for c in found
            ]
        )
        return
    for compared in found:
        put(f"{compared.of}: {compared.found.sentence}")
    if not found:
        put("Nothing was recorded of both ways that could be compared.")
    elif len(found) > 1:
        put("Each is said with 95 % confidence: of twenty such sentences one is chance.")
