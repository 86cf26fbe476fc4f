"""`benchmate procedure check`: what is wrong with procedure files."""

from __future__ import annotations

import gc
import os
from pathlib import Path
from typing import TYPE_CHECKING

import click

from benchmate.cli.exits import Exit
from benchmate.cli.saying import put
from benchmate.settings import find_folders

if TYPE_CHECKING:
    from benchmate.fields.problem import Problem
    from benchmate.plan.plan import Sought
    from benchmate.shelf import Material


@click.command()
@click.argument("files", nargs=-1, required=True, metavar="FILE…")
@click.option("--json", "as_json", is_flag=True, help="Print what was found as JSON.")
@click.pass_obj
def check(home: Path | None, files: tuple[str, ...], as_json: bool) -> None:
    """Find what is wrong in procedure FILES (or procedures by name): everything at once."""
    # This process is over before collecting garbage could pay: it would only cost time.
    gc.disable()
    # The models' library would look through all that is installed for plug-ins of its own.
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
    folder = find_folders(home).procedures
    materials = shelf_of(home)
    sizes: list[Sought] = []
    found = [p for name in files for p in problems_of(name, folder.parent, materials, sizes)]
    if as_json:
        from benchmate.fields.finding import findings_json
        from benchmate.procedure.sought.data import found_size

        put(findings_json(files, found, map(found_size, sizes)))
        raise SystemExit(Exit.FOUND if found else Exit.OK)
    for problem in found:
        put(str(problem))
    if found:
        put(_counted(found), err=True)
        raise SystemExit(Exit.FOUND)
    put("Nothing is wrong." if len(files) == 1 else f"Nothing is wrong in {len(files)}.")
    _put_sizes(home, sizes)


def _put_sizes(home: Path | None, sizes: list[Sought]) -> None:
    """What a plan has found by itself, in the maker's units."""
    if not sizes:
        return
    from benchmate.plan.found import said
    from benchmate.settings import load

    units = load(find_folders(home))[0].units
    for size in sizes:
        put(f"Found: {said(size, units)}")


def _counted(found: list[Problem]) -> str:
    doubts = sum(p.is_doubt for p in found)
    counts = ((len(found) - doubts, "thing", " to put right"), (doubts, "doubt", ""))
    words = [f"{n} {noun}{'' if n == 1 else 's'}{rest}" for n, noun, rest in counts if n]
    return f"{', '.join(words)}."


def problems_of(
    name: str, home: Path, materials: dict[str, Material], sizes: list[Sought] | None = None
) -> list[Problem]:
    """What is wrong with one file; a file that can't be read is a problem too.

    What its plan finds by itself goes into `sizes`.
    """
    from benchmate.fields.problem import Problem, ProcedureError
    from benchmate.procedure.finding import find, library, read_text
    from benchmate.procedure.proofread import proofread_text
    from benchmate.shelf import FAMILIES

    found = find(name, home)
    path = Path(name) if found is None or Path(name).exists() else found.path
    shown = str(path) if found is None or str(path) == name else name
    try:
        text = read_text(path)
    except ProcedureError as error:
        return list(error.problems)
    except OSError as error:
        why = (error.strerror or "can't be read").lower()
        return [Problem(shown, 1, "", f"the file can't be read: {why}", "check the name")]
    blocks = library(home, path.parent)
    return proofread_text(text, shown, blocks, materials=materials, families=FAMILIES, sought=sizes)


def shelf_of(home: Path | None) -> dict[str, Material]:
    """The materials on the shelf; none where there is no journal yet."""
    folders = find_folders(home)
    if not any(folders.data.glob("*")):
        return {}
    from benchmate.bench import Bench
    from benchmate.bench.errors import JournalError
    from benchmate.bench.shelf.materials import materials_of
    from benchmate.settings import load

    try:
        bench = Bench.open(folders, load(folders)[0], create=False, read_only=True)
    except JournalError as error:
        put(f"Your shelf can't be read, so common practice is used instead: {error}", err=True)
        return {}
    try:
        return materials_of(bench)
    finally:
        bench.close()
