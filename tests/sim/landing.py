"""`python -m tests.sim.landing [JOBS] [SEEDS]`: does the next job land nearer for what was learned?

The same worlds, the same luck, worked twice: by the file, and with every offer taken.
"""

import sys
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from statistics import fmean

from tests.sim.worlds import WORLDS, World
from tests.sim.years import NEAR_G, Piece, rms_g, years


def one(task: tuple[World, int, int, bool]) -> list[Piece]:
    """All pieces of one shop."""
    world, seed, jobs, learned = task
    return years(world, seed, jobs, learned=learned)


def row(name: str, pieces: Sequence[Piece], jobs: int) -> str:
    """One row of the table, the second half of the jobs apart: by then there is a record."""
    later = [p for p in pieces if p.job >= jobs // 2]
    near, held = (fmean(p.off_g**2 <= NEAR_G**2 for p in pieces), fmean(p.held for p in pieces))
    offered = fmean(p.offered > 0 for p in pieces)
    return (
        f"{name:<38}{rms_g(pieces):7.2f}{100 * near:7.0f}{100 * held:8.1f}"
        f"{fmean(p.said_u_g for p in pieces):7.2f}   {rms_g(later):7.2f}"
        f"{100 * fmean(p.held for p in later):8.1f}{fmean(p.said_u_g for p in later):7.2f}"
        f"{100 * offered:9.0f}"
    )


def main() -> None:
    """Print the table."""
    jobs, seeds = (int(text) for text in [*sys.argv[1:], "30", "2"][:2])
    put = sys.stdout.write
    put(
        f"{jobs} jobs in pairs, {seeds} shops a world; g off target, said before the outside work\n"
    )
    put(
        f"{'':<38}{'rms g':>7}{'≤4 g %':>7}{'held %':>8}{'u g':>7}   {'2nd half: rms, held, u':<22}"
    )
    put(f"{'offers %':>9}\n")
    with ProcessPoolExecutor(max_workers=2) as pool:
        for world in WORLDS:
            for learned in (False, True):
                tasks = [(world, seed, jobs, learned) for seed in range(1, seeds + 1)]
                pieces = [piece for made in pool.map(one, tasks) for piece in made]
                put(row("   with what was learned" if learned else world.name, pieces, jobs) + "\n")
                sys.stdout.flush()


if __name__ == "__main__":
    main()
