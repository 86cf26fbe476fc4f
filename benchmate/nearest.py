"""The one finder of names that were meant: what stands nearest to what was typed."""

from __future__ import annotations

from collections.abc import Iterable


def nearest(typed: str, names: Iterable[str], *, alike: float = 0.6) -> str:
    """The name most like what was typed, whatever its capitals; empty where none is like it.

    `alike` is the least likeness, from 0 (anything) to 1 (the same).
    """
    from difflib import get_close_matches  # Only who mistyped pays for it.

    by_small = {name.casefold(): name for name in names}
    near = get_close_matches(typed.casefold(), list(by_small), n=1, cutoff=alike)
    return by_small[near[0]] if near else ""


def did_you_mean(typed: str, names: Iterable[str], *, alike: float = 0.4) -> str:
    """ " Did you mean yellow wood glue?", to stand behind a sentence; empty where none is near."""
    near = nearest(typed, names, alike=alike)
    return f" Did you mean {near}?" if near else ""
