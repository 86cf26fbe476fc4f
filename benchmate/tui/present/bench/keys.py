"""The row of keys that matter now, the glove key first."""

from __future__ import annotations

from collections.abc import Sequence

from benchmate.job.windows.agenda import Act
from benchmate.tui.present.lines import Line, Span, line, width

Keys = Sequence[tuple[str, str]]
GLOVE, BACK = "{glove}", "{back}"
_BY_KIND: dict[str, Keys] = {
    "do": (
        (GLOVE, "{act}"),
        (BACK, "take it back"),
        ("w", "weigh"),
        ("1-9", "other piece"),
        ("f", "far"),
        ("e", "done earlier"),
        ("n", "note"),
        ("?", "all keys"),
    ),
    "weigh": (
        (GLOVE, "weigh"),
        (BACK, "take it back"),
        ("x", "skip"),
        ("1-9", "other piece"),
        ("f", "far"),
        ("n", "note"),
        ("?", "all keys"),
    ),
    "check": (
        (GLOVE, "answer"),
        (BACK, "take it back"),
        ("x", "skip"),
        ("1-9", "other piece"),
        ("f", "far"),
        ("n", "note"),
        ("?", "all keys"),
    ),
    "answer": (
        (GLOVE, "say what became of it"),
        (BACK, "take it back"),
        ("1-9", "other piece"),
        ("?", "all keys"),
    ),
}
_NONE: Keys = (
    ("s", "start"),
    ("c", "clock"),
    (BACK, "take it back"),
    ("z", "end of day"),
    ("?", "all keys"),
)


def keys(act: Act | None, glove: str, cells: int, back: str = "backspace") -> Line:
    """As many keys as there is room for, in the order of how often they are wanted."""
    table = _BY_KIND[act.kind] if act else _NONE
    verb = act.step.act if act and act.step else ""
    pairs = [(k.format(glove=glove, back=back), w.format(act=verb)) for k, w in table]
    return key_row(pairs, cells)


def far_keys(act: Act | None, glove: str, cells: int, back: str = "backspace") -> Line:
    """The few keys that work from afar."""
    word = {"weigh": "weigh", "check": "answer", "answer": "say what became of it"}
    did = word.get(act.kind, act.step.act if act.step else "do it") if act else "nothing to do"
    rest = ((back, "take it back"), ("1-9", "other piece"), ("f", "near"))
    return key_row(((glove, did), *rest), cells)


def locked_keys(glove: str, cells: int, back: str = "backspace", unlock: str = "L") -> Line:
    """What is left alive while the keys are locked."""
    row = key_row([(glove, "do it"), (back, "take it back"), (unlock, "unlock")], cells - 10)
    return (Span(" LOCKED ", "alarm"), *row)


def key_row(pairs: Keys, cells: int) -> Line:
    """Keys and what they do, spread a little; what doesn't fit is left out from the end."""
    out: list[Span] = [Span(" ")]
    for key, what in pairs:
        more = line(Span(key, "key"), f"  {what}")
        gap = 5 if len(out) > 1 else 0
        if width(out) + gap + width(more) > cells and len(out) > 1:
            break
        out += [Span(" " * gap), *more] if gap else more
    return tuple(out)


__all__ = ["far_keys", "key_row", "keys", "locked_keys"]
