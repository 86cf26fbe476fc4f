"""What a journal may answer instead: the errors that both front doors meet and pass on."""

from benchmate.journal.errors import (
    Damaged,
    JournalError,
    JournalMissing,
    JournalUnwritable,
)

__all__ = ["Damaged", "JournalError", "JournalMissing", "JournalUnwritable"]
