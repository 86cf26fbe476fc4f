"""The journal: streams of bytes, appended for good, chained, synced, checked as they are read.

It knows nothing of jobs or kinds of event. `rescue` and `export` are imported where they are used.
"""

from .backup import BackupInfo
from .deliveries import Deliveries, Delivery
from .errors import (
    Damaged,
    JournalBusy,
    JournalError,
    JournalFull,
    JournalMissing,
    JournalNewer,
    JournalUnwritable,
    StaleVersion,
)
from .rows import NewRow, StoredRow, StreamInfo
from .store import Journal
from .verify import Verdict, verify

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
