"""`python -m tests.sim.offers [ROWS]`: do the intervals of what is learned hold, how often is
something offered where nothing is to be learned?

`off` is how far the shop is from the plan, in spreads from job to job; wide and narrow: the shop's
spread beside what the plan guesses of it.
"""

import sys
from random import Random

from benchmate.learning.offer import offer
from benchmate.learning.settle import Told, settle
from benchmate.learning.values import Measure, Observed, PlanValue
from benchmate.learning.weighings import Stretch, UnknownValue, teach

NS = (2, 3, 5, 9, 16, 30)
OFFS = (0.0, 2.0, 4.0)
WIDTHS = {"narrow": 0.5, "as guessed": 1.0, "wide": 2.0}
GUESS = 1.0
VALUE = PlanValue("takes/outside", "what comes off", 0.0, 1.0, Measure.MASS, within_sd=GUESS)
ACTS = [
    UnknownValue("takes/outside", 8.0, 1.7, 1.7, 8.0),
    UnknownValue("adds/glue", 0.7, 0.3, 0.3, 0.7),
]


def told(luck: Random, off: float, sd: float, n: int) -> list[Told]:
    """What so many jobs say."""
    return [Told(f"job {i}", luck.gauss(off * sd, sd)) for i in range(n)]


def held(width: float, off: float, n: int, rows: int) -> float:
    """Share of rows whose 95 % interval holds the shop's true value."""
    luck, inside = Random(f"{width} {off} {n}"), 0
    for _ in range(rows):
        found = settle(told(luck, off, width, n), GUESS)
        inside += (found.low or 0.0) <= off * width <= (found.high or 0.0)
    return inside / rows


def false_offers(width: float, rows: int) -> tuple[float, float]:
    """Share of looks (after 3 to 20 jobs) at which something is offered in a shop as planned: a
    value that is seen for itself, and values that only weighings see."""
    luck, single, together, looks = Random(f"null {width}"), 0, 0, 0
    for _ in range(rows):
        n = luck.randint(3, 20)
        seen = told(luck, 0.0, width, n)
        single += bool(offer([VALUE], [Observed(VALUE.key, t.job, t.value) for t in seen]))
        stretches = [
            Stretch(
                "sanded",
                t.job,
                "A",
                1.7 * t.value - 7.3,
                0.1,
                {"takes/outside": -1, "adds/glue": 1},
            )
            for t in seen
        ]
        together += bool(teach(ACTS, stretches))
        looks += 1
    return single / looks, together / looks


def main() -> None:
    """Print both tables."""
    rows = int(sys.argv[1]) if len(sys.argv) > 1 else 4000
    put = sys.stdout.write
    put("| spread | off | " + " | ".join(f"n = {n}" for n in NS) + " |\n" + 8 * "|---" + "|\n")
    for name, width in WIDTHS.items():
        for off in OFFS:
            cells = " | ".join(f"{100 * held(width, off, n, rows):.1f}" for n in NS)
            put(f"| {name} | {off:g} | {cells} |\n")
    put("\n| spread | false offers, % of looks: seen by itself | by weighings |\n|---|---|---|\n")
    for name, width in WIDTHS.items():
        single, together = false_offers(width, rows)
        put(f"| {name} | {100 * single:.1f} | {100 * together:.1f} |\n")


if __name__ == "__main__":
    main()
