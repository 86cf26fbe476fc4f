"""Papers of a job of 12 pieces and 600 acts, as whole processes: HTML under 1 s, PDF under 2 s."""

from __future__ import annotations

import statistics
import sys
import tempfile
from pathlib import Path

from tests.speed.bench_next import COMMAND, environment, runner
from tests.speed.disk import folder_on_disk
from tests.speed.harness import Measure, alternately
from tests.unit.loop_help import Worked

PIECES, ACTS = 12, 600
ROUNDS = 5
TARGET_S = {"html": 1.0, "pdf": 2.0}
PAPERS = ("card", "report")


def large_job(home: Path) -> str:
    """Twelve hammers, worked until so many acts are recorded; the job's name."""
    worked = Worked(home)
    worked.pace = lambda _: 1.0  # quick enough that no cup of twelve gels
    worked.start("plane-setting-hammer", {"count": PIECES})
    while len(worked.state.records) < ACTS and (act := worked.next()) is not None:
        worked.do(act)
    worked.bench.close()
    return worked.job


def measure() -> list[Measure]:
    """Each paper and form, beside an interpreter that does nothing."""
    with folder_on_disk() as home, tempfile.TemporaryDirectory() as out:
        job, env = large_job(home), environment(home)
        cases = [(which, form) for which in PAPERS for form in TARGET_S]
        words = [
            [str(COMMAND), "papers", job, which, f"--{form}", "--out", out] for which, form in cases
        ]
        ours = [runner(one, env) for one in words]
        bare = runner([sys.executable, "-c", "pass"], env)
        for run in ours:
            run()
        bare_ms, *took = map(statistics.median, alternately([bare, *ours], ROUNDS))
    return [
        Measure(
            f"{which} of {PIECES} pieces, {ACTS} acts, as {form.upper()}",
            ms / 1000.0,
            "s",
            f"python -c pass {bare_ms:.4g} ms",
            target=TARGET_S[form],
            ok=ms / 1000.0 < TARGET_S[form],
        )
        for (which, form), ms in zip(cases, took, strict=True)
    ]
