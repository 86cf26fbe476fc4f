"""A procedure file written from what was done without a plan."""

from __future__ import annotations

from pathlib import Path

from benchmate.bench.service import Bench
from benchmate.bench.shelf.materials import materials_of
from benchmate.plan.address import slug
from benchmate.refusal import Refused, UnknownAddress
from benchmate.shelf import FAMILIES


def starter_of(bench: Bench, job: str, title: str) -> str:
    """The text of a procedure from a job's record. Raises UnknownAddress."""
    from benchmate.bench.starting.recorded import acts_of
    from benchmate.procedure.writing.starter import starter_from

    state = bench.job(job)
    if state is None:
        raise UnknownAddress(f"There is no job “{job[:40]}”.")
    notes = [n.event.text for n in state.notes if n.event.text]
    return starter_from(
        title, acts_of(state, bench.now_s), {**FAMILIES, **materials_of(bench)}, notes
    )


def write_starter(bench: Bench, job: str, title: str) -> Path:
    """Write it into the maker's folder under the title's name; the file's path.

    Never overwrites: raises Refused where there is such a file, or where none can be written.
    """
    if not title.strip():
        raise Refused("Give the procedure a name.")
    text = starter_of(bench, job, title.strip())
    path = bench.folders.procedures / f"{slug(title)}.toml"
    write_new(path, text)
    return path


def write_new(path: Path, text: str) -> None:
    """Write a file that isn't there yet. Raises Refused where there is one, or it can't be."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    except OSError as error:  # a file may stand where the folder should be
        raise Refused(f"{path} can't be written: {(error.strerror or '').lower()}.") from None
    try:
        with path.open("x", encoding="utf-8") as file:
            try:
                file.write(text)
                file.flush()
            except OSError:
                path.unlink(missing_ok=True)  # an empty file would stand in the way of the next
                raise
    except FileExistsError:
        raise Refused(f"{path} is there already; give it another name.") from None
    except OSError as error:
        why = (error.strerror or "the disk refuses").lower()
        raise Refused(f"{path} can't be written: {why}.") from None
