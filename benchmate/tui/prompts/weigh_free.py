"""The weigh prompt of a job without a plan."""

from __future__ import annotations

from benchmate.bench import Bench
from benchmate.bench.weights.weighing import Typed
from benchmate.job.words.phrases import in_job
from benchmate.tui.prompts.clock import split_piece
from benchmate.tui.prompts.weigh import WeighPrompt


class FreeWeigh(WeighPrompt):
    """The weigh prompt of a job without a plan: it is told what stands on the scale."""

    def __init__(self, bench: Bench, job: str, what: str) -> None:
        self.piece_, self.what = split_piece(what)
        named = f"What does it weigh: {what.strip() or 'on the scale'}?"
        super().__init__(bench, job, None, in_job(bench.shop.jobs[job], named))

    def _typed(self, text: str) -> Typed:
        """The weight, and what it is of."""
        return Typed(text, piece=self.piece_, what=self.what)
