"""Control charts over the shop's own numbers, or anybody's: pure, standard library alone."""

from benchmate.charts.chart import AlarmInterval, Chart, ChartError, Point, Signal
from benchmate.charts.drawing import Kind, Options, draw
from benchmate.charts.individuals import individuals
from benchmate.charts.runs import RuleSet
from benchmate.charts.shop import Reading, ShopChart, of_shop
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
    "ShopChart",
    "Signal",
    "cusum",
    "draw",
    "ewma",
    "individuals",
    "of_shop",
]
