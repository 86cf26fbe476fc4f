"""`python -m tests.sim [JOBS]`: the table of the simulated jobs."""

import sys
import time
from concurrent.futures import ProcessPoolExecutor

from tests.sim import shop
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
        f"{found.scene.name if not found.advised else '   with adjustment':<44}"
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


def assumed(given: shop.Assumptions = shop.Assumptions()) -> list[str]:
    """What the table rests on, in the numbers that are drawn from."""
    cup, sanded = given.left_in_cup_g, given.sanding_g
    return [
        f"Assumed: {shop.LAYERS} layers of {shop.LAYER_ML:g} ml, steel {shop.SHOT_G_CM3:g} in "
        f"resin {shop.RESIN_G_CM3:g} g/cm3, blanks of 420 g (sd {given.blank_sd_g:g} g);",
        f"  packing {shop.PLANNED_PACKING:g}, sd {given.shot_sd:g} between materials, "
        f"{given.fill_sd:g} between fills, {given.layer_sd:g} between layers; tapped "
        f"{given.tapped_gain[0]:g} to {given.tapped_gain[1]:g} denser; "
        f"gaps left dry 0 to {100 * given.air[1]:g} %;",
        f"  void within {100 * given.void_bound:g} % of planned (even); line hit to "
        f"{given.line_sd_ml:g} ml sd, brim {given.brim_sd_ml:g} ml; shot weighed out to "
        f"{given.pour_sd_g:g} g sd; {cup[0]:g} to {cup[1]:g} g of resin left in the cup;",
        f"  sanding {sanded[0]:g} ± {sanded[1]:g} g (even), leather and wax sd "
        f"{given.leather_g[1]:g} and {given.wax_g[1]:g} g, wood's moisture ± "
        f"{given.moisture_bound_pct:g} % (even, both alike; each on its own sd "
        f"{given.moisture_own_sd_pct:g} %);",
        f"  scales: {_scale(shop.KITCHEN)}; {_scale(shop.FINE)}. Reserve: 5 % of the shot is left "
        "out of the plan. Looser, denser: the true packing is 3 % off the planned one.",
        "  fill ±1 %: of what the fill had to weigh for the weight aimed at when it was last "
        "poured; can't: pairs told that the aim is out of reach.",
    ]


def _scale(balance: shop.Balance) -> str:
    return (
        f"{balance.division_g:g} g steps, repeats to {balance.repeat_sd_g:g} g sd, slope within "
        f"{balance.linear_bound_g:g} g at 1 kg"
    )


def main() -> None:
    """Print the table."""
    jobs = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    begun = time.perf_counter()
    for text in assumed():
        say(text)
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
