"""The service behind both front doors: clock, journal and open jobs in one place."""

from benchmate.bench.service import Bench

__all__ = ["Bench"]
