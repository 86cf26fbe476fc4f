"""What past jobs teach the next one: pure values and functions, nothing stored and no clock."""

from benchmate.learning.compare import Comparison, Outcome, Words, compare
from benchmate.learning.offer import Offer, offer
from benchmate.learning.settle import Settled, Told, settle
from benchmate.learning.side_by_side import JobsTable, JobSummary, PieceSummary, Row, side_by_side
from benchmate.learning.values import Driven, Measure, Observed, PlanValue, show_value

__all__ = [
    "Comparison",
    "Driven",
    "JobSummary",
    "JobsTable",
    "Measure",
    "Observed",
    "Offer",
    "Outcome",
    "PieceSummary",
    "PlanValue",
    "Row",
    "Settled",
    "Told",
    "Words",
    "compare",
    "offer",
    "settle",
    "show_value",
    "side_by_side",
]
