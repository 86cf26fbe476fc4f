"""`benchmate flags`: what is off plan, listed and OK'd."""

from __future__ import annotations

from pathlib import Path

import click

from benchmate.cli.opening import job_option, json_option, pick_job, say_json, the_bench
from benchmate.cli.saying import put
from benchmate.job.deciding import commands as cmd
from benchmate.job.weights.drift import remarks, to_see
from benchmate.quantities.worded import in_units


@click.command()
@click.option("--ok", "everything", is_flag=True, help="OK all of them; they stay on the job card.")
@job_option
@json_option
@click.pass_obj
def flags(home: Path | None, everything: bool, job: str | None, as_json: bool) -> None:
    """List what is off plan, and OK it with --ok. A flag that is OK'd stays on the job card."""
    with the_bench(home) as bench:
        state = pick_job(bench, job)
        now, around, rules = bench.now_s(), bench.shop.around, bench.shop.rules
        if everything:
            keys = tuple(r.key for r in to_see(state, around, now, rules))
            bench.do(state.job, cmd.See(keys=keys))
            put(f"{len(keys)} flag{'' if len(keys) == 1 else 's'} OK'd.")
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
            put(f"{'OK  ' if remark.seen else 'flag'}  {remark.address}  {said}")
        if not found:
            put("Nothing flagged: all on plan.")
