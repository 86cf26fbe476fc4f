"""`python -m tests.sim.landing [JOBS] [SHOPS]`: does the next job land nearer for what was learned?

The same worlds with the same luck, worked twice: by the file, and with every offer taken. Intervals
are 95 %, over jobs: what the pieces of a pair share counts once.
"""

import sys
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor
from math import sqrt
from statistics import fmean, stdev

from tests.sim.worlds import WORLDS, World
from tests.sim.years import NEAR_G, Piece, rms_g, years

Task = tuple[World, int, int, bool]
Shops = list[list[Piece]]


HEAD = (
    "| world | rms off target, g | ≤ 4 g, % | 95 % interval held, % | its u, g "
    "| 2nd half: rms | ≤ 4 g | held | pieces with offers, % |\n" + 9 * "|---" + "|\n"
)


def one(task: Task) -> list[Piece]:
    """All pieces of one shop."""
    world, seed, jobs, learned = task
    return years(world, seed, jobs, learned=learned)


def per_job(shops: Shops, of: Callable[[Piece], float], jobs: int) -> list[float]:
    """The mean over each job's pieces, job by job of each shop."""
    return [fmean(of(p) for p in shop if p.job == n) for shop in shops for n in range(jobs)]


def reach(values: Sequence[float]) -> float:
    """Half the 95 % interval of a mean."""
    return 1.96 * stdev(values) / sqrt(len(values))


def row(name: str, shops: Shops, jobs: int) -> str:
    """One row of the table; of the second half of the jobs too: by then there is a record."""
    pieces = [p for shop in shops for p in shop]
    later = [p for p in pieces if p.job >= jobs // 2]
    rms, held = rms_g(pieces), per_job(shops, lambda p: 100.0 * p.held, jobs)
    rms_u = reach(per_job(shops, lambda p: p.off_g**2, jobs)) / (2.0 * rms)
    return (
        f"| {name} | {rms:.2f} ± {rms_u:.2f} | {100 * near(pieces):.0f} "
        f"| {fmean(held):.1f} ± {reach(held):.1f} | {fmean(p.said_u_g for p in pieces):.2f} "
        f"| {rms_g(later):.2f} | {100 * near(later):.0f} "
        f"| {100 * fmean(p.held for p in later):.1f} "
        f"| {100 * fmean(p.offered > 0 for p in pieces):.1f} |"
    )


def near(pieces: Sequence[Piece]) -> float:
    """Share that landed within NEAR_G of the target."""
    return fmean(p.off_g**2 <= NEAR_G**2 for p in pieces)


def difference(plain: Shops, learned: Shops, jobs: int) -> str:
    """What learning changed, job beside job of the same luck."""
    squares = [per_job(shops, lambda p: p.off_g**2, jobs) for shops in (plain, learned)]
    off = [b - a for a, b in zip(*squares, strict=True)]
    scale = sqrt(fmean(squares[0])) + sqrt(fmean(squares[1]))
    word = "worse" if fmean(off) > reach(off) else "better" if fmean(off) < -reach(off) else "alike"
    change = f"{fmean(off) / scale:+.2f} ± {reach(off) / scale:.2f}"
    return f"| *learned less plain: {word}* | *{change}* | | | | | | | |"


def main() -> None:
    """Print the table, in the marks of docs/learning.md."""
    jobs, seeds = (int(text) for text in [*sys.argv[1:], "60", "2"][:2])
    put = sys.stdout.write
    put(f"{jobs} jobs in pairs, {seeds} shops a world: {2 * jobs * seeds} pieces a row.\n\n")
    put(HEAD)
    ways = [(world, learned) for world in WORLDS for learned in (False, True)]
    tasks = [(w, seed, jobs, learned) for w, learned in ways for seed in range(1, seeds + 1)]
    with ProcessPoolExecutor(max_workers=2) as pool:
        made = pool.map(one, tasks)
        for world in WORLDS:
            plain, learned = ([next(made) for _ in range(seeds)] for _ in range(2))
            put(row(world.name, plain, jobs) + "\n" + row("… with offers taken", learned, jobs))
            put("\n" + difference(plain, learned, jobs) + "\n")
            sys.stdout.flush()


if __name__ == "__main__":
    main()
