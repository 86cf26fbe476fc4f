"""What can be done for a journal as a whole, for both front doors: check, restore, save, export."""

from benchmate.journal import BackupInfo, Verdict, verify
from benchmate.journal.backup import last_good
from benchmate.journal.export import export_lines
from benchmate.journal.rescue import Rescue, restore, salvage
from benchmate.journal.verify import is_missing

__all__ = [
    "BackupInfo",
    "Rescue",
    "Verdict",
    "export_lines",
    "is_missing",
    "last_good",
    "restore",
    "salvage",
    "verify",
]
