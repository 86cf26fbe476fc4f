"""Exit codes, all in one place."""

from __future__ import annotations

from enum import IntEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from benchmate.bench.errors import JournalError


class Exit(IntEnum):
    """What a command's exit code means. Standard output is data, standard error is talk."""

    OK = 0
    FOUND = 1
    """What was asked to be looked over has faults: proofread, logbook verify, checkup."""
    REFUSED = 2
    """What was typed can't be read, or the job refuses it; nothing was recorded."""
    UNWRITABLE = 3
    """The disk or the folder refuses; nothing was recorded."""
    DAMAGED = 4
    """The journal is damaged or its end is lost."""
    MISSING = 5
    """This machine or installation lacks what the command needs."""
    UNSAID = 6
    """What there was to print could not be written out; what was recorded stands."""
    BROKE = 70
    """A fault of the program's own ended it; what had been recorded stands."""
    INTERRUPTED = 130
    """Ctrl+C ended the command before it had done all; what it had recorded stays."""


def code_of(error: JournalError) -> Exit:
    """The exit code for what the journal said. `reckon` needs codes and no journal: its library is
    loaded here."""
    from benchmate.bench.errors import Damaged, JournalMissing, JournalUnwritable

    if isinstance(error, Damaged):
        return Exit.DAMAGED
    if isinstance(error, JournalUnwritable):
        return Exit.UNWRITABLE
    if isinstance(error, JournalMissing):
        return Exit.MISSING
    return Exit.REFUSED
