"""A reckoner's curve in plain characters. The plotting library is loaded when a curve is drawn."""

from __future__ import annotations

from collections.abc import Mapping
from threading import Lock

from benchmate.reckon.asking.curve import Curve
from benchmate.tui.present.lines import Line, Span, crop, line, width

ONE_AT_A_TIME = Lock()
"""The library draws on one sheet of its own, and answers are worked out in workers."""
_POINT, _HERE = "·", "●"


def plot_lines(curve: Curve, cells: int, rows: int, labels: Mapping[str, str]) -> list[Line]:
    """The curve with a mark where the maker stands; empty where there is no room for it."""
    if cells < 24 or rows < 6:
        return []
    head = crop(
        line(" ", Span(f"{labels[curve.y_key]} against {labels[curve.x_key]}", "dim")), cells
    )
    if width(head) + width(_here(curve)) <= cells:
        head += _here(curve)
    with ONE_AT_A_TIME:
        text = _drawn(curve, cells - 1, rows - 1)
    return [head, *(line(" ", row) for row in text.splitlines())]


def _here(curve: Curve) -> Line:
    if curve.at is None:
        return ()
    return (Span(f"  {_HERE} {curve.at[1]:.4g} at {curve.at[0]:.4g}", "strong"),)


def _drawn(curve: Curve, cells: int, rows: int) -> str:
    import plotext

    figure = plotext.figure
    figure.clear()
    figure.theme("colorless")
    figure.plot_size(cells, rows)
    x, y = zip(*curve.points, strict=True)
    figure.draw(figure.signal(list(x), list(y), marker=_POINT).lines())
    if curve.at is not None:
        figure.draw(figure.signal([curve.at[0]], [curve.at[1]], marker=_HERE))
    for side, values in (("x", x), ("y", y)):
        ticks = _ticks(min(values), max(values))
        figure.ruler(side).ticks(ticks, [f"{t:.3g}" if abs(t) < 1e3 else f"{t:.0f}" for t in ticks])
    text: str = figure.build().string(colorless=True)
    return "\n".join(row.rstrip() for row in text.splitlines())


def _ticks(low: float, high: float) -> list[float]:
    """Five places, the ends among them."""
    return [low + (high - low) * n / 4 for n in range(5)] if high > low else [low]
