"""A chart in words, and as plain data for other programs."""

from benchmate.charts.chart import Chart, Point, Signal

MOST_SIGNALS = 12
"""Runs of signals shown in words; the rest are counted."""


def as_data(chart: Chart) -> dict[str, object]:
    """The chart as dicts, lists and numbers, ready for JSON; no NaN and no infinity in it.

    Indexes count from 1. A cusum chart's points carry both sums beside the statistic.
    """
    data: dict[str, object] = {
        "kind": chart.kind,
        "centre": chart.centre,
        "limits": {"lower": chart.lower, "upper": chart.upper},
        "parameters": dict(chart.parameters),
        "points": [_point_data(point) for point in chart.points],
        "signals": [
            {"index": signal.index, "rule": signal.rule, "sentence": signal.sentence}
            for signal in chart.signals
        ],
        "alarm_interval": None
        if chart.alarm is None
        else {"points": chart.alarm.points, "source": chart.alarm.source},
        "notes": list(chart.notes),
    }
    if chart.ranges is not None:
        data["moving_range"] = as_data(chart.ranges)
    return data


def _point_data(point: Point) -> dict[str, object]:
    data: dict[str, object] = {
        "index": point.index,
        "value": point.value,
        "statistic": point.statistic,
        "lower": point.lower,
        "upper": point.upper,
    }
    if point.sums is not None:
        data["c_plus"], data["c_minus"] = point.sums
    return data


def as_lines(chart: Chart) -> list[str]:
    """What a person reads: centre and limits, the signals, how often chance alone gives one."""
    lines = [
        f"{chart.kind}: {_count(len(chart.points), 'point')}, centre {chart.centre:.6g}, "
        f"limits {chart.lower:.6g} to {chart.upper:.6g}",
        *_signal_lines(chart.signals),
    ]
    if chart.ranges is not None and chart.ranges.signals:
        lines.append(f"moving range, limit {chart.ranges.upper:.6g}:")
        lines.extend(_signal_lines(chart.ranges.signals))
        lines.extend(chart.ranges.notes)
    if chart.alarm is not None:
        lines.append(
            f"By chance alone, expect a signal about once in {chart.alarm.points:.0f} points, if "
            f"centre and sigma are right ({chart.alarm.source})."
        )
    return [*lines, *chart.notes]


def _count(number: int, name: str) -> str:
    return f"{number} {name}" if number == 1 else f"{number} {name}s"


def _signal_lines(signals: tuple[Signal, ...]) -> list[str]:
    if not signals:
        return ["No signal."]
    runs = _runs(signals)
    lines = [_run_line(run) for run in runs[:MOST_SIGNALS]]
    more = len(runs) - MOST_SIGNALS
    return [*lines, f"… and {more} more."] if more > 0 else lines


def _runs(signals: tuple[Signal, ...]) -> list[list[Signal]]:
    """Signals of one rule at neighbouring points, together: they tell one thing."""
    runs: list[list[Signal]] = []
    newest: dict[str, list[Signal]] = {}
    for signal in signals:
        run = newest.get(signal.rule)
        if run is not None and run[-1].index + 1 == signal.index:
            run.append(signal)
        else:
            newest[signal.rule] = [signal]
            runs.append(newest[signal.rule])
    return runs


def _run_line(run: list[Signal]) -> str:
    lasts = "" if len(run) == 1 else f" It lasts to point {run[-1].index}."
    return f"  {run[0].rule}: {run[0].sentence}{lasts}"
