"""What is said before an act beside the step's own cautions: the air's word and the mix's heat."""

from __future__ import annotations

from benchmate.bench.service import Bench
from benchmate.bench.shelf.heat import HeatNotes
from benchmate.job.windows.agenda import Act
from benchmate.job.windows.before import air_cautions
from benchmate.quantities.worded import all_in_units


class Cautions:
    """Asked at every look of a screen; the heat comes a moment later, when it is worked out."""

    def __init__(self, bench: Bench) -> None:
        self._bench = bench
        self._heat = HeatNotes(bench)

    def of(self, act: Act | None) -> tuple[str, ...]:
        """Whole sentences, gravest first; without any reading nothing is said of the air."""
        job = self._bench.shop.jobs.get(act.job) if act is not None else None
        if act is None or job is None:
            return ()
        said = air_cautions(job, act, self._bench.shop.around, self._bench.now_s())
        return all_in_units((*said, *self._heat.of(act)), self._bench.settings.units)
