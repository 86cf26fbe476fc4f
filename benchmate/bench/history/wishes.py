"""What was wished for next time: kept until it is dropped, or taken into the procedure's file.

Taking it is shown before it is done: `taking` works out the change, `take_into_file` makes it. The
file as it was is kept beside it.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from benchmate.bench.service import Bench
from benchmate.bench.shelf.materials import materials_of
from benchmate.bench.starting.starter import write_new
from benchmate.bench.starting.starting import find_document
from benchmate.job.deciding.streams.commands import DropWish
from benchmate.job.events import stored as ev
from benchmate.procedure.finding import find, library, shipped_folder
from benchmate.refusal import Refused
from benchmate.shelf import FAMILIES

if TYPE_CHECKING:
    from benchmate.procedure.file.document import Document

Wish = ev.NextTimeKept


@dataclass(frozen=True)
class Taking:
    """A wish about to be written into a file."""

    wish: Wish
    path: Path
    """The file that will hold it."""
    shipped: Path | None
    """The shipped file that is copied first, where the maker has none of their own."""
    old: str
    new: str
    change: tuple[str, ...]
    """New and changed lines, each with its sign, and the lines before them."""

    @property
    def said(self) -> tuple[str, ...]:
        """What will be done, in sentences, and the lines themselves."""
        if self.old == self.new:
            return (f"{self.path} says it already; nothing is written.",)
        first = (
            f"{self.path.name} came with benchmate: a copy becomes your own, {self.path}."
            if self.shipped
            else f"In {self.path}:"
        )
        return (first, *self.change)


def wishes_of(bench: Bench, procedure: str, step: str | None = None) -> list[Wish]:
    """The wishes that are kept for a procedure, by its name; those at one step, if it is given."""
    kept = bench.shop.lessons.wishes
    return [w for w in kept if w.procedure == procedure and step in (None, w.file_step)]


def taking(bench: Bench, wish: Wish, procedure: str = "") -> Taking:
    """What taking a wish into its file would change. `procedure`: the file, where it is not found
    by the wish's name.

    Raises Refused where the file is broken, has no such step, or would be broken by it.
    """
    from benchmate.fields.problem import ProcedureError
    from benchmate.procedure.writing.noting import NoPlace, with_note

    try:
        document, _ = find_document(bench, procedure or wish.procedure)
    except ProcedureError as error:
        raise Refused(f"Put the file right first: {error.problems[0]}") from error
    path, shipped = _target(bench, document, procedure or wish.procedure)
    if _says_it(document, wish):
        return Taking(wish, path, shipped, document.text, document.text, ())
    try:
        noted = with_note(document, wish.file_step, wish.text)
    except NoPlace as error:
        raise Refused(str(error)) from error
    fresh = _faults(bench, path, noted.text) - _faults(bench, path, document.text)
    if fresh:
        raise Refused(f"With it, the file would no longer be sound: {min(fresh)}")
    return Taking(wish, path, shipped, document.text, noted.text, noted.change)


def take_into_file(bench: Bench, found: Taking) -> str:
    """Write it, keep the old file beside it, and mark the wish as taken; what was done, in words.

    Raises Refused where the file was saved meanwhile, or can't be written: then all is as it was.
    """
    said = f"{found.path} says it already."
    if found.new != found.old:
        said = _copied(found) if found.shipped else _rewritten(found)
    bench.settle(DropWish(wish=found.wish, into=str(found.path)))
    return said


def drop(bench: Bench, wish: Wish) -> None:
    """Forget a wish; it stays in the logbook."""
    bench.settle(DropWish(wish=wish))


def _target(bench: Bench, document: Document, name: str) -> tuple[Path, Path | None]:
    """The file to write, and the shipped one to copy."""
    found = find(name, bench.folders.procedures.parent)
    path = Path(document.file) if found is None else found.path
    if path.resolve().parent != shipped_folder().resolve():
        return path.resolve(), None
    return bench.folders.procedures / path.name, path


def _says_it(document: Document, wish: Wish) -> bool:
    from benchmate.procedure.writing.noting import plain_note

    flats = (f for f in document.standard.steps if f.key == wish.file_step)
    return any(plain_note(wish.text) in f.spec.note for f in flats)


def _faults(bench: Bench, path: Path, text: str) -> set[str]:
    """What the proofreader says of a text, without the lines: these move."""
    from benchmate.procedure.proofread import proofread_text

    blocks = library(bench.folders.procedures.parent, path.parent)
    found = proofread_text(
        text, path.name, blocks, materials=materials_of(bench), families=FAMILIES
    )
    return {f"{p.field}: {p.wrong}" for p in found}


def _copied(found: Taking) -> str:
    write_new(found.path, found.new)
    return f"Your own copy has it: {found.path}."


def _rewritten(found: Taking) -> str:
    from benchmate.journal.files import write_durably

    path = found.path
    try:
        data = path.read_bytes()
        if data.decode("utf-8-sig", "replace").replace("\r\n", "\n") != found.old:
            raise Refused(f"{path} was saved meanwhile; look at the change once more.")
        kept = _beside(path)
        write_durably(kept, data)
        write_durably(path, found.new.encode())
    except OSError as error:
        why = (error.strerror or "the disk refuses").lower()
        raise Refused(f"{path} can't be written: {why}. It is as it was.") from error
    return f"{path} has it; as it was, it lies beside it: {kept.name}."


def _beside(path: Path) -> Path:
    """A free name for the file as it was; no list of procedures shows it."""
    number, kept = 1, path.with_name(f"{path.name}.before")
    while kept.exists():
        number += 1
        kept = path.with_name(f"{path.name}.before-{number}")
    return kept
