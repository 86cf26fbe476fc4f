"""A few jobs of the worlds that learning is judged in (`python -m tests.sim.landing`)."""

import ast
from pathlib import Path

from tests.sim import worlds
from tests.sim.worlds import LOOSE, World
from tests.sim.years import rms_g, years

JOBS = 7


def test_a_shop_whose_shot_lies_looser_lands_nearer_for_what_it_learned() -> None:
    world = World("looser", LOOSE, reserve="0 %")
    plain = [p for p in years(world, 1, JOBS, learned=False) if p.job >= JOBS - 2]
    learned = [p for p in years(world, 1, JOBS, learned=True) if p.job >= JOBS - 2]
    assert rms_g(learned) < rms_g(plain) - 3.0
    assert all(p.said_u_g > 0.0 for p in learned)


def test_these_worlds_know_nothing_of_benchmate() -> None:
    tree = ast.parse(Path(worlds.__file__).read_text(encoding="utf-8"))
    named = [node.module or "" for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)]
    named += [a.name for n in ast.walk(tree) if isinstance(n, ast.Import) for a in n.names]
    assert not [name for name in named if name.startswith("benchmate")]
