"""A piece's weight over its steps, drawn with characters. Loads its library when called."""

from __future__ import annotations

from collections.abc import Sequence

from benchmate.landing.outlook import CoursePlot

WIDTH, HEIGHT = 78, 18
_PLAN, _BAND, _MIDDLE, _RECORD, _TARGET = ".", ":", "o", "X", "-"


def plot_text(course: CoursePlot, *, width: int = WIDTH, height: int = HEIGHT) -> str:
    """Plan, 95 % band, expected and recorded weights over the steps, in plain characters."""
    import plotext

    figure = plotext.figure
    figure.clear()
    figure.theme("colorless")
    figure.plot_size(width, height)
    places = list(range(1, len(course.labels) + 1))
    if course.target_g is not None:
        ends = [places[0], places[-1]]
        figure.draw(figure.signal(ends, [course.target_g] * 2, marker=_TARGET).lines())
    figure.draw(figure.signal(places, list(course.plan), marker=_PLAN).lines())
    for edge in (course.low, course.high):
        figure.draw(figure.signal(places, list(edge), marker=_BAND))
    figure.draw(figure.signal(places, list(course.middle), marker=_MIDDLE))
    read = [(at, g) for at, g in zip(places, course.records, strict=True) if g is not None]
    figure.draw(figure.signal([at for at, _ in read], [g for _, g in read], marker=_RECORD))
    figure.ruler("x").ticks(places, [str(at) for at in places])
    text: str = figure.build().string(colorless=True)
    return "\n".join([*(row.rstrip() for row in text.splitlines()), *_legend(course, width)])


def _legend(course: CoursePlot, width: int) -> list[str]:
    target = f"   {_TARGET} target" if course.target_g is not None else ""
    marks = f"{_RECORD} weighed   {_MIDDLE} expected   {_BAND} 95 %   {_PLAN} plan{target}"
    return [marks, *_wrapped([f"{n} {name}" for n, name in enumerate(course.labels, 1)], width)]


def _wrapped(names: Sequence[str], width: int) -> list[str]:
    rows = [""]
    for name in names:
        if rows[-1] and len(rows[-1]) + 2 + len(name) > width:
            rows.append("")
        rows[-1] += f"  {name}" if rows[-1] else name
    return rows
