"""`python -m tests.sim [JOBS]`: the table of the simulated jobs."""

import sys
import time
from concurrent.futures import ProcessPoolExecutor

from tests.sim.maker import MATCH_G
from tests.sim.tally import SCENES, Scene, Tally, run


def one(task: tuple[Scene, int, bool]) -> Tally:
    """One row."""
    scene, jobs, advised = task
    return run(scene, jobs, advised=advised)


def row(found: Tally) -> str:
    """One row of the table."""
    covered = " ".join(f"{100 * share:5.1f}" for share in found.covered)
    return (
        f"{found.scene.name if not found.advised else '   with makeweight':<44}"
        f"{100 * found.fill_within_1pct:7.1f}{100 * found.finished_within_1pct:9.1f}"
        f"{found.pair_mean_g:8.1f}{found.pair_p95_g:6.1f}{100 * found.pair_within_match:8.1f}"
        f"{100 * found.pair_within_2u:7.1f}   {covered}"
        f"{found.said_u_g[0]:7.1f}{found.said_u_g[-1]:5.1f}"
        f"{found.changes_per_piece:7.1f}{100 * found.refused:6.1f}"
    )


def say(line: str) -> None:
    """Print at once."""
    sys.stdout.write(line + "\n")
    sys.stdout.flush()


def main() -> None:
    """Print the table."""
    jobs = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    begun = time.perf_counter()
    say(f"{jobs} pairs each, the finished pieces within 1 % and {MATCH_G:g} g of each other")
    say(
        f"{'':<44}{'fill':>7}{'finished':>9}{'apart g':>14}{'match':>8}{'≤ 2U':>7}"
        f"   {'95 % interval holds, %, before 1 to 4, after':<30}{'u g':>6}{'moves':>8}{'can’t':>6}"
    )
    say(f"{'':<44}{'±1 %':>7}{'±1 %':>9}{'mean':>8}{'p95':>6}{'%':>8}{'%':>7}")
    tasks = [(scene, jobs, advised) for scene in SCENES for advised in (False, True)]
    with ProcessPoolExecutor(max_workers=2) as pool:
        for found in pool.map(one, tasks):
            say(row(found))
    say(f"{time.perf_counter() - begun:.0f} s")


if __name__ == "__main__":
    main()
