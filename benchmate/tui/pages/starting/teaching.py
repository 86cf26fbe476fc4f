"""What earlier jobs taught, at a job's start: one list to take, and one key to go back."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from textual.screen import Screen

from benchmate.bench import Bench
from benchmate.bench.history.lessons import in_use, offer_text, offers, take, take_back
from benchmate.tui.prompts.choose import Choose

LEAVE = ("Not this time", "Go by the file, and don't offer this again")


def ask_offers(
    screen: Screen[Any],
    bench: Bench,
    procedure: str,
    values: Mapping[str, Any],
    go_on: Callable[[], object],
    leave: Callable[[], object],
    chosen: Mapping[str, str] | None = None,
) -> None:
    """Ask once whether to plan with what earlier jobs taught; with nothing on offer just go on."""
    found = offers(bench, procedure, values, chosen=chosen)
    if not found:
        go_on()
        return

    alone = [f"Only {it.key}" for it in found] if len(found) > 1 else []
    answers = ["Plan with all of it" if alone else "Plan with it", *LEAVE, *alone]

    def answered(n: int | None) -> None:
        if n is None:
            leave()
            return
        if n == 0 or n > len(LEAVE):
            take(bench, procedure, [found[n - 1 - len(LEAVE)]] if n else found)
        elif n == len(LEAVE):
            for it in found:
                take_back(bench, procedure, it.key)
        go_on()

    body = [offer_text(bench, it) for it in found]
    screen.app.push_screen(
        Choose("Earlier jobs would change this plan.", answers, body=body), answered
    )


def ask_back(
    screen: Screen[Any], bench: Bench, procedure: str, done: Callable[[str], object]
) -> None:
    """Show the learned values in use, and go back to the file's: of one, or of all."""
    held = in_use(bench, procedure)
    if not held:
        done("Plans of this procedure go by its file: no learned value is in use.")
        return
    keys = [value.key for value in held] + ([""] if len(held) > 1 else [])
    rows = [f"By the file again: {value.said}" for value in held]
    rows += ["All of them by the file again"] if len(held) > 1 else []

    def answered(n: int | None) -> None:
        if n is None:
            done("")
            return
        gone = take_back(bench, procedure, keys[n])
        done(f"By the file again: no longer {'; '.join(gone)}.")

    screen.app.push_screen(Choose("Learned from earlier jobs, and in use:", rows), answered)
