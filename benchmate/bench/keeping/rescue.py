"""What can be done for a journal as a whole, for both front doors: check, restore, save, export."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

from benchmate.journal import BackupInfo, Verdict, verify
from benchmate.journal.errors import entries
from benchmate.journal.keeping.backup import last_good
from benchmate.journal.keeping.export import export_lines
from benchmate.journal.keeping.importing import import_lines
from benchmate.journal.keeping.rescue import Rescue, copy_whole, restore, salvage
from benchmate.journal.keeping.verify import is_missing
from benchmate.settings import Folders

__all__ = [
    "BackupInfo",
    "Rescue",
    "Verdict",
    "export_lines",
    "import_lines",
    "is_missing",
    "last_good",
    "restore",
    "salvage",
    "verify",
    "whole_part",
]


@contextmanager
def whole_part(folders: Folders) -> Iterator[tuple[Folders, str]]:
    """Folders in which the journal is what is whole of a damaged one, and how much that is
    (empty: nothing).

    Only for reading, and gone afterwards: the damaged files are left as they are. Raises
    JournalError where not even that can be written anywhere.
    """
    with TemporaryDirectory(prefix="benchmate-") as name:
        told = copy_whole(folders.data, Path(name))
        yield (
            folders._replace(data=Path(name)),
            f"Shown is what is whole of it: {len(told.rows)} of {entries(told.total)}.",
        )
