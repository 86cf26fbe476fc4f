"""Starting a job: from a procedure on the shelf of files, or without one."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from benchmate.bench.history.records import LAST_JOBS, ended_jobs
from benchmate.bench.service import Bench
from benchmate.bench.starting.job_id import free_id
from benchmate.job.deciding import commands as cmd
from benchmate.job.words.distinct_names import title_apart, told_apart
from benchmate.nearest import did_you_mean
from benchmate.plan.address import slug
from benchmate.plan.missed import with_missed
from benchmate.plan.plan import Plan
from benchmate.refusal import Refused, UnknownAddress

if TYPE_CHECKING:
    from benchmate.procedure.expanding.expand import Sources
    from benchmate.procedure.file.document import Document


def find_document(bench: Bench, name: str) -> tuple[Document, str]:
    """A procedure by name or path, and its file's name. Raises Refused or ProcedureError."""
    from benchmate.procedure.finding import find, find_all, load_file

    home = bench.folders.procedures.parent
    found = find(name, home)
    if found is None:
        names = [f.name for f in find_all(home)]
        hint = did_you_mean(slug(name), names, "`benchmate procedure` lists them.")
        raise UnknownAddress(f"There is no procedure “{name[:60]}”.{hint}")
    return load_file(Path(found.path), home), found.name


def plan_for(
    bench: Bench,
    name: str,
    parameters: Mapping[str, Any] | None = None,
    job: str | None = None,
    *,
    learned: Mapping[str, float] | None = None,
    chosen: Mapping[str, str] | None = None,
    judge: bool = False,
) -> tuple[Plan, str]:
    """The expanded plan of a procedure and its text, with what was learned and wished for.

    `learned` instead of what was taken over from earlier jobs; {} gives the file's own plan.
    `chosen` names materials in place of the procedure's, by what it calls them. With `judge` a
    plan that can't be made is refused as one that can't be read is.
    """
    from benchmate.bench.starting.proofing import made_of

    document, sources = _from_file(bench, name, parameters, job, chosen, learned)
    return made_of(document, sources, judge=judge).plan, document.text


def _from_file(
    bench: Bench,
    name: str,
    parameters: Mapping[str, Any] | None,
    job: str | None,
    chosen: Mapping[str, str] | None,
    learned: Mapping[str, float] | None = None,
) -> tuple[Document, Sources]:
    """A procedure, read once, and what its plan is made of."""
    from benchmate.bench.shelf.materials_for_job import checked
    from benchmate.bench.starting.proofing import sources_of

    document, stem = find_document(bench, name)
    job_id, named = job or free_id(bench, stem), checked(bench, document, chosen or {})
    return document, sources_of(bench, document, job_id, parameters or {}, named, learned)


def start_job(
    bench: Bench,
    name: str,
    parameters: Mapping[str, Any] | None = None,
    job: str | None = None,
    *,
    chosen: Mapping[str, str] | None = None,
) -> str:
    """Start a job of a procedure, frozen to what it and the materials say now; the job's id.

    Raises ProcedureError where its plan can't be made. What is only doubtful is the caller's to
    ask about.
    """
    from benchmate.bench.starting.proofing import made_of

    document, sources = _from_file(bench, name, parameters, job, chosen)
    plan = _as_missed(bench, made_of(document, sources).plan, document, sources)
    plan = told_apart(plan, bench.shop.live)
    bench.do(plan.job, cmd.StartJob(job=plan.job, title=plan.title, plan=plan, text=document.text))
    return plan.job


def _as_missed(bench: Bench, plan: Plan, document: Document, sources: Sources) -> Plan:
    """The plan, knowing how far the earlier pieces came out from what it lets expect."""
    from benchmate.bench.history.taught import record_of
    from benchmate.bench.starting.proofing import made_of

    jobs = ended_jobs(bench, plan.procedure, LAST_JOBS)
    if not jobs:
        return plan
    file_alone = plan
    if plan.learned:
        file_alone = made_of(document, {**sources, "learned": {}}, judge=False).plan
    return with_missed(plan, record_of(bench, plan.procedure, file_alone, jobs).missed_g())


def start_free(bench: Bench, title: str) -> str:
    """Start a job without a procedure: acts in any order, each with its material's windows."""
    if not title.strip():
        raise Refused("Give the job a name.")
    job = free_id(bench, title)
    title = title_apart(title.strip(), bench.shop.live)
    bench.do(job, cmd.StartJob(job=job, title=title))
    return job
