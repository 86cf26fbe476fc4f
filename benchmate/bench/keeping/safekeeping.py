"""The journal's daily backup and its whole check: for a worker, once the bench stands there.

Both use connections of their own, so that any thread may call them.
"""

from __future__ import annotations

from pathlib import Path

from benchmate.journal import Damaged, JournalError, Verdict, verify
from benchmate.journal.errors import explain_os
from benchmate.journal.files import locked
from benchmate.journal.keeping.backup import automatic, with_advice, write_automatic
from benchmate.localtime import local

_LOCK = "backups.lock"


def back_up_if_due(folder: Path, place_s: float) -> str:
    """A backup under `backups/` if that day has none; a sentence where it couldn't be made.

    `place_s` is now's place on the time line, which a wall clock set back doesn't bend, as Unix
    seconds. A day before the newest backup's can only come from such a clock; the new backup then
    goes under the newest day, since their names have to sort by age.
    """
    day = local(place_s).date().format_iso()
    if day == _newest_day(folder):
        return ""
    try:
        with locked(folder / _LOCK):
            newest = _newest_day(folder)
            if day != newest:
                write_automatic(folder, max(day, newest))
    except JournalError as error:
        return f"Today's backup couldn't be made: {error}"
    except OSError as error:
        return f"Today's backup couldn't be made: {explain_os(error, folder)}"
    return ""


def verify_sentence(folder: Path) -> str:
    """Empty where every event is as it was recorded; otherwise what is wrong and what to do."""
    try:
        verdict = verify(folder)
    except JournalError as error:
        return str(error)
    except OSError as error:
        return str(explain_os(error, folder))
    return "" if verdict.ok else with_advice_of(verdict, folder)


def with_advice_of(verdict: Verdict, folder: Path) -> str:
    """What a check has found wrong, and what can be done about it."""
    damage = Damaged(
        verdict.sentence, seq=verdict.seq, stream=verdict.stream, version=verdict.version
    )
    return str(with_advice(damage, folder))


def _newest_day(folder: Path) -> str:
    found = automatic(folder)
    return found[0].name.rpartition("-")[0] if found else ""
