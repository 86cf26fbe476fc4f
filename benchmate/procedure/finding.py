"""Where procedures and building blocks lie: the shipped ones and the maker's own. The one room
here that touches files.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from benchmate.plan.address import slug

if TYPE_CHECKING:
    from benchmate.procedure.file.blocks import Library
    from benchmate.procedure.file.document import Document

BLOCKS = "blocks"
OWN = "procedures"


@dataclass(frozen=True)
class Found:
    """A procedure file: its name without ending, where it lies, whether it came with benchmate."""

    name: str
    path: Path
    shipped: bool


@lru_cache(maxsize=1)
def shipped_folder() -> Path:
    """The folder of shipped procedures: in a wheel inside the package, in a clone beside it."""
    package = Path(__file__).resolve().parent.parent
    inside = package / "shipped"
    return inside if inside.is_dir() else package.parent / "procedures"


def own_folder(home: Path | None) -> Path | None:
    """The maker's folder of procedures; None without a home."""
    return None if home is None else home / OWN


def find_all(home: Path | None = None) -> list[Found]:
    """All procedures by name. The maker's own stands for a shipped one of the same name."""
    found = {p.stem: Found(p.stem, p, True) for p in _files(shipped_folder())}
    own = own_folder(home)
    if own is not None:
        found.update({p.stem: Found(p.stem, p, False) for p in _files(own)})
    return [found[name] for name in sorted(found)]


def find(name: str, home: Path | None = None) -> Found | None:
    """A procedure by its name, its slug or a path to its file."""
    by_name = {f.name: f for f in find_all(home)}
    known = by_name.get(name) or by_name.get(slug(name.removesuffix(".toml")))
    if known is not None:
        return known
    path = Path(name)
    return Found(path.stem, path, False) if path.suffix == ".toml" and path.is_file() else None


def library(home: Path | None = None, beside: Path | None = None) -> Library:
    """The building blocks: those beside the file, else the maker's own, else the shipped."""
    from benchmate.procedure.file.blocks import Library

    folders = [shipped_folder() / BLOCKS]
    own = own_folder(home)
    folders += [f / BLOCKS for f in (own, beside) if f is not None]
    paths = {p.stem: p for folder in folders for p in _files(folder)}

    def text_of(name: str) -> str | None:
        path = paths.get(name)
        return None if path is None else read_text(path)

    return Library([p.replace("-", " ") for p in sorted(paths)], text_of)


def read_text(path: Path) -> str:
    """A file's text; raises ProcedureError where it is no text, OSError where it is no file."""
    from benchmate.procedure.file.reading import LARGEST_BYTES, decode

    with path.open("rb") as file:
        return decode(file.read(LARGEST_BYTES + 1), str(path))


def load_file(path: Path, home: Path | None = None) -> Document:
    """A procedure from its file; raises ProcedureError or OSError."""
    from benchmate.procedure.file.document import load

    return load(read_text(path), str(path), library(home, path.parent))


def _files(folder: Path) -> list[Path]:
    try:
        return sorted(p for p in folder.glob("*.toml") if p.is_file())
    except OSError:
        return []


def describe(found: Found) -> tuple[str, str]:
    """A procedure's title and what it is about, as its file says; empty where it can't be read."""
    import tomllib

    from benchmate.fields.problem import ProcedureError

    try:
        data = tomllib.loads(read_text(found.path))
    except (OSError, ValueError, RecursionError, ProcedureError):
        return "", "can't be read; `benchmate procedure check` says why"
    return str(data.get("name", "")), str(data.get("about", ""))
