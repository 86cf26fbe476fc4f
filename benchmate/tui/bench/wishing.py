"""Wishes for next time, taken into the procedure's file: shown first, then written, by one key."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from textual.screen import Screen

from benchmate.bench import Bench
from benchmate.bench.errors import JournalError
from benchmate.refusal import Refused

if TYPE_CHECKING:
    from benchmate.bench.history.wishes import Taking, Wish

Done = Callable[[str], object]
"""Says what came of it; an empty text where it was left."""
WRITE, FORGET = "Write it into the file", "Forget this note"
LEAVE = "Cancel: it is shown again next time"


def ask_wishes(
    screen: Screen[Any], bench: Bench, procedure: str, done: Done, step: str | None = None
) -> None:
    """Ask which wish of a procedure (or of one step) is to be taken into the file, and take it."""
    from benchmate.bench.history.wishes import wishes_of
    from benchmate.tui.prompts.choose import Choose

    kept = wishes_of(bench, procedure, step)
    if not kept:
        where = "this step" if step is not None else procedure
        done(f"No “next time” note for {where}. n and tab at a step write one.")
        return
    if len(kept) == 1:
        _ask_taking(screen, bench, kept[0], done)
        return

    def picked(n: int | None) -> None:
        if n is None:
            done("")
        else:
            _ask_taking(screen, bench, kept[n], done)

    rows = [f"at “{w.file_step or 'the start'}”: {w.text}" for w in kept]
    screen.app.push_screen(Choose("Which is to go into the file?", rows), picked)


def _ask_taking(screen: Screen[Any], bench: Bench, wish: Wish, done: Done) -> None:
    from benchmate.bench.history.wishes import drop, take_into_file, taking
    from benchmate.tui.prompts.choose import Choose

    found: Taking | None = None
    said: tuple[str, ...]
    try:
        found = taking(bench, wish)
        said = found.said
    except (Refused, JournalError) as error:
        said = (str(error),)
    ways = (*([WRITE] if found else []), LEAVE, FORGET)

    def answered(n: int | None) -> None:
        way = LEAVE if n is None else ways[n]
        try:
            if way == WRITE and found is not None:
                done(take_into_file(bench, found))
            elif way == FORGET:
                drop(bench, wish)
                done("Forgotten; it stays in the logbook.")
            else:
                done("")
        except (Refused, JournalError) as error:
            done(str(error))

    question = f"“{wish.text}”, at “{wish.file_step or 'the start'}”: into the file?"
    screen.app.push_screen(Choose(question, ways, body=said), answered)
