"""The piece in hand, drawn as it fills."""

from __future__ import annotations

from benchmate.job.address import parse
from benchmate.job.plan import Fill
from benchmate.job.state import JobState
from benchmate.tui.present.lines import Line, Span, line

WIDTH = 14


def fill_of(job: JobState, piece: str) -> Fill | None:
    """The fill of a piece, where it has one."""
    fills = job.plan.fills if job.plan else ()
    return next((f for f in fills if f.piece == piece), None)


def picture(job: JobState, piece: str, rows: int) -> list[Line]:
    """Layers from the bottom up: ▒ poured, ▸ the one in hand, blank to come.

    Empty where the piece has no fill, or where there is no room to draw it.
    """
    fill = fill_of(job, piece)
    if fill is None or not fill.layers or rows < 4:
        return []
    done = [job.is_settled(layer.address) for layer in fill.layers]
    n = len(done)
    inner = WIDTH - 6
    each = max(1, (rows - 2) // n)
    shown = min(n, rows - 2)
    current = next((i for i, d in enumerate(done) if not d), n)
    first = max(0, min(n - shown, current - shown + 1))
    body: list[Line] = []
    for i in range(first, first + shown):
        for k in range(each):
            label = f" {_number(fill, i)}" if k == 0 else ""
            body.append(_layer(i, done[i], current, inner, label, mark=k == 0))
    top = line("┌" + "─" * inner + "┐")
    return [top, *reversed(body), line("└" + "─" * inner + "┘")]


def _number(fill: Fill, i: int) -> int:
    at = parse(fill.layers[i].address)
    return at.n if at else i + 1


def _layer(i: int, done: bool, current: int, inner: int, label: str, *, mark: bool) -> Line:
    if done:
        return line("│", Span("▒" * inner, "dim"), "│", Span(label, "dim"))
    if i == current and mark:
        return line("│", Span(" ▸" + " " * (inner - 2), "strong"), "│", Span(label, "strong"))
    return line("│" + " " * inner + "│", Span(label, "dim"))
