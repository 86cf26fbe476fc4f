"""A job started in a fresh shop: the same file's plan is worked out once for all tests of a run.

Nothing but the file decides on the plan there. Whatever else may (a material, a lesson, a setting,
a job before it, a block of the maker's own) is left to the product.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from benchmate.bench import Bench
from benchmate.bench.starting import starting
from benchmate.job.deciding import commands as cmd
from benchmate.job.events.stored import JobStarted
from benchmate.procedure.finding import BLOCKS, find, own_folder, read_text
from benchmate.settings import Settings

_STARTED: dict[tuple[str, str], cmd.StartJob] = {}


def start_job(bench: Bench, name: str, parameters: Mapping[str, Any] | None = None) -> str:
    """As the product's own."""
    home = bench.folders.procedures.parent
    own, file = own_folder(home), find(name, home)
    is_fresh = bench.settings == Settings() and set(bench.shop.versions) <= {"clock"}
    if parameters or file is None or not is_fresh or (own is not None and (own / BLOCKS).exists()):
        return starting.start_job(bench, name, parameters)
    asked = (file.name, read_text(file.path))
    known = _STARTED.get(asked)
    if known is not None:
        bench.do(known.job, known)
        return known.job
    job = starting.start_job(bench, name)
    event = bench.shop.jobs[job].records[0].event
    assert isinstance(event, JobStarted)
    _STARTED[asked] = cmd.StartJob(job=job, title=event.title, plan=event.plan, text=event.text)
    return job
