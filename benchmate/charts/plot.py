"""A chart drawn with characters, for a terminal or a text file. Loads its library when called."""

from __future__ import annotations

from benchmate.charts import Chart, Point

WIDTH, HEIGHT = 78, 18
_LIMIT, _CENTRE, _INSIDE, _SIGNAL = "-", ".", "o", "X"
_TICKS = 6


def plot_text(chart: Chart, *, width: int = WIDTH, height: int = HEIGHT) -> str:
    """The chart's statistic over the index, in plain characters: limits -, signals X.

    No colour is used, so that it reads the same on paper and to those who don't see it.
    """
    import plotext

    figure = plotext.figure
    figure.clear()
    figure.theme("colorless")
    figure.plot_size(width, height)
    at = [point.index for point in chart.points]
    for edge in ([p.lower for p in chart.points], [p.upper for p in chart.points]):
        figure.draw(figure.signal(at, edge, marker=_LIMIT).lines())
    figure.draw(figure.signal([at[0], at[-1]], [chart.centre] * 2, marker=_CENTRE).lines())
    for marker, places in _marked(chart).items():
        x, y = zip(*places, strict=True)
        figure.draw(figure.signal(list(x), list(y), marker=marker))
    ticks = _ticks(at[0], at[-1])
    figure.ruler("x").ticks(ticks, [str(tick) for tick in ticks])
    text: str = figure.build().string(colorless=True)
    return "\n".join(line.rstrip() for line in text.splitlines())


def legend(chart: Chart) -> str:
    """What the marks of the chart stand for."""
    signal = f"   {_SIGNAL} signal" if chart.signals else ""
    return f"{_INSIDE} value   {_CENTRE} centre   {_LIMIT} limit{signal}"


def _marked(chart: Chart) -> dict[str, list[tuple[int, float]]]:
    """The places to mark, signals last so that nothing covers them."""
    out = {signal.index for signal in chart.signals}
    marked: dict[str, list[tuple[int, float]]] = {_INSIDE: [], _SIGNAL: []}
    for point in chart.points:
        for height in _heights(point):
            is_signal = point.index in out and height == point.statistic
            marked[_SIGNAL if is_signal else _INSIDE].append((point.index, height))
    return {marker: places for marker, places in marked.items() if places}


def _heights(point: Point) -> set[float]:
    """Where a point stands: on a cusum chart both sums that aren't zero, the lower one below."""
    if point.sums is None:
        return {point.statistic}
    upper, lower = point.sums
    return {height for height in (upper, -lower) if height != 0.0} or {0.0}


def _ticks(first: int, last: int) -> list[int]:
    """Whole indexes, evenly spread; the ends are among them."""
    steps = max(1, min(_TICKS, last - first))
    return [first + round(step * (last - first) / steps) for step in range(steps + 1)]
