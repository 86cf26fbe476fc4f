"""The nearest right name, for a name that isn't one."""

from __future__ import annotations

from collections.abc import Iterable

LONGEST_NAME = 60
MOST_SHOWN = 8


def nearest(name: str, names: Iterable[str]) -> str | None:
    """The known name that was probably meant, or None where nothing comes near."""
    # Only a wrong name pays for this import.
    from difflib import get_close_matches

    by_fold = {known.casefold(): known for known in names}
    found = get_close_matches(name[:LONGEST_NAME].casefold(), list(by_fold), n=1, cutoff=0.6)
    return by_fold[found[0]] if found else None


def advice(name: str, names: Iterable[str]) -> str:
    """What to write instead of an unknown name."""
    known = list(names)
    close = nearest(name, known)
    if close is not None:
        return f"the nearest is {close!r}".replace("'", '"')
    if not known:
        return "there is none to name here"
    more = f" and {len(known) - MOST_SHOWN} more" if len(known) > MOST_SHOWN else ""
    return "write one of: " + ", ".join(known[:MOST_SHOWN]) + more
