"""The nearest right name for a wrong one."""

from collections.abc import Iterable


def nearest(word: str, names: Iterable[str]) -> str | None:
    """Return the name most like `word`, or None when none is near.

    A name that begins with the word counts as near, however much longer it is.
    """
    from difflib import get_close_matches

    by_fold = {name.casefold(): name for name in names}
    folded = word.casefold().strip()
    found = get_close_matches(folded[:80], by_fold, n=1, cutoff=0.7)
    if found:
        return by_fold[found[0]]
    begun = [name for name in by_fold if len(folded) >= 3 and (folded in name or name in folded)]
    return by_fold[min(begun, key=len)] if begun else None


def or_nearest(word: str, names: Iterable[str]) -> str:
    """Return the end of a refusal: "; nearest is “x”" or "; there are a, b and c"."""
    known = sorted(names)
    near = nearest(word, known)
    if near is not None:
        return f"; did you mean {near}?"
    if len(known) > 12:
        return ""
    return f"; there are {', '.join(known[:-1])} and {known[-1]}" if len(known) > 1 else ""
