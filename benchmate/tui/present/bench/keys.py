"""The row of keys that matter now, the glove key first.

One painted line: the library's Footer, a widget for every key, costs the first frame 20 ms more.
"""

from __future__ import annotations

from collections.abc import Sequence

from benchmate.job.windows.agenda import Act
from benchmate.tui.present.lines import Line, Span, line, width

Keys = Sequence[tuple[str, str]]
BACK, GAP = "backspace", 3
LAST = ("?", "keys")
"""Always on the row: where everything else is found."""


def keys(act: Act | None, glove: str, cells: int) -> Line:
    """As many keys as there is room for, in the order of how often they are wanted."""
    undo, note, big, piece = (BACK, "undo"), ("n", "note"), ("b", "big"), ("1-9", "piece")
    match act.kind if act is not None else "none":
        case "do":
            word = act.step.act if act is not None and act.step is not None else "do it"
            pairs = [(glove, word), undo, ("w", "weigh"), note, big, piece]
        case "weigh":
            pairs = [(glove, "weigh"), undo, ("x", "skip"), note, big, piece]
        case "check":
            pairs = [(glove, "answer"), undo, ("x", "skip"), note, big, piece]
        case "answer":
            pairs = [(glove, "what happened?"), undo, piece, note, big]
        case _:
            pairs = [("s", "start"), ("m", "clock"), undo, ("e", "end of day"), ("l", "logbook")]
    return key_row(pairs, cells, LAST)


def far_keys(act: Act | None, glove: str, cells: int) -> Line:
    """The few keys that are wanted from afar."""
    words = {"weigh": "weigh", "check": "answer", "answer": "what happened?"}
    word = "nothing to do"
    if act is not None:
        word = words.get(act.kind, act.step.act if act.step else "do it")
    return key_row(((glove, word), (BACK, "undo"), ("1-9", "piece"), ("b", "back")), cells, LAST)


def locked_keys(glove: str, cells: int, unlock: str = "ctrl+l") -> Line:
    """What is left alive while the keys are locked."""
    row = key_row([(glove, "do it"), (BACK, "undo"), (unlock, "unlock")], cells - 10)
    return (Span(" LOCKED ", "alarm"), *row)


def key_row(pairs: Keys, cells: int, last: tuple[str, str] | None = None) -> Line:
    """Keys and what they do, spread a little; what doesn't fit is left out from the end, but for
    the `last` one."""
    end = _pair(last) if last is not None else ()
    room = cells - (width(end) + GAP if end else 0)
    out: list[Span] = [Span(" ")]
    for pair in pairs:
        more = _pair(pair)
        gap = GAP if len(out) > 1 else 0
        if width(out) + gap + width(more) > room and (len(out) > 1 or end):
            break
        out += [Span(" " * gap), *more] if gap else more
    if end and width(out) + GAP + width(end) <= cells + (GAP if len(out) == 1 else 0):
        out += [Span(" " * (GAP if len(out) > 1 else 0)), *end]
    return tuple(s for s in out if s.text)


def _pair(pair: tuple[str, str]) -> Line:
    key, what = pair
    return line(Span(key, "key"), f" {what}")


__all__ = ["far_keys", "key_row", "keys", "locked_keys"]
