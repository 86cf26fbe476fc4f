"""Ready reckoners: pure functions on numbers, each with its source.

A reckoner's arithmetic is a typed function in its own module (`packing.py`, `fill.py`, …); how it
is called, its ranges, units, sources and example are described once, in a `Reckoner` beside it. See
`frame` for how to write one and `registry` for where to name it.
"""

from benchmate.reckon.answering import Answer, answer
from benchmate.reckon.frame import Refused

__all__ = ["Answer", "Refused", "answer"]
