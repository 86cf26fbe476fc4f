"""The journal: streams of bytes, appended for good, chained, synced, checked as they are read.

It knows nothing of jobs or kinds of event. `rescue` and `export` are imported where they are used.
"""

from benchmate.journal.deliveries import Deliveries, Delivery
from benchmate.journal.errors import (
    Damaged,
    JournalBusy,
    JournalError,
    JournalFull,
    JournalMissing,
    JournalNewer,
    JournalUnwritable,
    StaleVersion,
)
from benchmate.journal.keeping.backup import BackupInfo
from benchmate.journal.keeping.verify import Verdict, verify
from benchmate.journal.rows import NewRow, StoredRow, StreamInfo
from benchmate.journal.store import Journal

__all__ = [
    "BackupInfo",
    "Damaged",
    "Deliveries",
    "Delivery",
    "Journal",
    "JournalBusy",
    "JournalError",
    "JournalFull",
    "JournalMissing",
    "JournalNewer",
    "JournalUnwritable",
    "NewRow",
    "StaleVersion",
    "StoredRow",
    "StreamInfo",
    "Verdict",
    "verify",
]
