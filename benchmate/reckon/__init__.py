"""Ready reckoners: pure functions on numbers, each with its source.

A reckoner's arithmetic is a typed function in its own module (`packing.py`, `fill.py`, …); how it
is called, its ranges, units, sources and example are described once, in a `Reckoner` beside it. See
`asking/frame.py` for how to write one and `asking/registry.py` for where to name it.
"""

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from benchmate.reckon.asking.answering import Answer, answer
    from benchmate.reckon.asking.frame import Refused

__all__ = ["Answer", "Refused", "answer"]


def __getattr__(name: str) -> Any:
    """Load the frame only where it is asked for: a clock needs no more than a formula's module."""
    from importlib import import_module

    if name not in __all__:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    module = "frame" if name == "Refused" else "answering"
    return getattr(import_module(f"benchmate.reckon.asking.{module}"), name)
