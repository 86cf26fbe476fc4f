"""A job's id: the name it goes by in addresses."""

from __future__ import annotations

from benchmate.bench.service import Bench
from benchmate.job.state.shop import JOB
from benchmate.plan.address import slug


def free_id(bench: Bench, wanted: str) -> str:
    """A job id that no stream has yet: the wanted name, and a number."""
    taken = {info.stream for info in bench.journal.streams()}
    base = slug(wanted)
    n = 1
    while f"{JOB}{base}-{n}" in taken:
        n += 1
    return f"{base}-{n}"
