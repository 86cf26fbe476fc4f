"""The one finder of the name that was meant, and what a message says of it."""

from __future__ import annotations

from collections.abc import Iterable

LONGEST_NAME = 80
MOST_SHOWN = 8


def nearest(typed: str, names: Iterable[str], *, alike: float = 0.6) -> str | None:
    """The name that was probably meant, whatever its capitals; None where nothing comes near.

    One that holds the word, or is held by it, counts as near, however much longer either is; and
    then one that has its last word: felt for "wool felt".
    `alike` is the least likeness, from 0 (anything) to 1 (the same).
    """
    # Only a wrong name pays for this import.
    from difflib import get_close_matches

    by_fold = {name.casefold(): name for name in names}
    folded = typed.casefold().strip()[:LONGEST_NAME]
    found = get_close_matches(folded, list(by_fold), n=1, cutoff=alike)
    if found:
        return by_fold[found[0]]
    held = [n for n in by_fold if min(len(folded), len(n)) >= 3 and (folded in n or n in folded)]
    last = folded.rpartition(" ")[2]
    held = held or [n for n in by_fold if len(last) > 3 and last in n.split()]
    return by_fold[min(held, key=len)] if held else None


def did_you_mean(typed: str, names: Iterable[str], otherwise: str = "") -> str:
    """ " Did you mean yellow wood glue?", to stand behind a sentence; `otherwise` where none is
    near."""
    near = nearest(typed, names)
    if near is not None:
        return f" Did you mean {near}?"
    return f" {otherwise}" if otherwise else ""


def advice(typed: str, names: Iterable[str]) -> str:
    """What to write instead of an unknown name: "the nearest is "pour""."""
    known = list(names)
    near = nearest(typed, known)
    if near is not None:
        return f'the nearest is "{near}"'
    if not known:
        return "there is none to name here"
    more = f" and {len(known) - MOST_SHOWN} more" if len(known) > MOST_SHOWN else ""
    return "write one of: " + ", ".join(known[:MOST_SHOWN]) + more


def or_nearest(typed: str, names: Iterable[str]) -> str:
    """The end of a refusal: "; did you mean oak?" or "; there are a, b and c"."""
    known = sorted(names)
    near = nearest(typed, known, alike=0.7)
    if near is not None:
        return f"; did you mean {near}?"
    if len(known) > 12:
        return ""
    return f"; there are {', '.join(known[:-1])} and {known[-1]}" if len(known) > 1 else ""
