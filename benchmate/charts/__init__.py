"""Control charts over the shop's own numbers, or anybody's: pure, standard library alone."""

from benchmate.charts.chart import AlarmInterval, Chart, ChartError, Point, Signal
from benchmate.charts.drawing import Kind, Options, Reading, draw, draw_readings
from benchmate.charts.individuals import individuals
from benchmate.charts.runs import RuleSet
from benchmate.charts.sums import cusum
from benchmate.charts.weighted import ewma

__all__ = [
    "AlarmInterval",
    "Chart",
    "ChartError",
    "Kind",
    "Options",
    "Point",
    "Reading",
    "RuleSet",
    "Signal",
    "cusum",
    "draw",
    "draw_readings",
    "ewma",
    "individuals",
]
