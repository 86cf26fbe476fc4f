"""A few jobs of the worlds that learning is judged in (`python -m tests.sim.landing`)."""

import ast
from pathlib import Path

from benchmate.bench.history.lessons import offers
from benchmate.bench.starting.starting import start_job
from tests.sim import worlds
from tests.sim.worlds import LOOSE, Shop, World
from tests.sim.years import SCALE, Work, file_text, plan_of, record_of, rms_g, years
from tests.unit.loop_help import PAIR, Worked

JOBS = 7


def test_a_shop_whose_shot_lies_looser_lands_nearer_for_what_it_learned() -> None:
    world = World("looser", LOOSE, reserve="0 %")
    plain = [p for p in years(world, 1, JOBS, learned=False) if p.job >= JOBS - 2]
    learned = [p for p in years(world, 1, JOBS, learned=True) if p.job >= JOBS - 2]
    assert rms_g(learned) < rms_g(plain) - 3.0
    assert all(p.said_u_g > 0.0 for p in learned)


def test_the_bench_says_what_the_quick_simulation_says(tmp_path: Path) -> None:
    """The same plan and the same weighings, through the journal and without it."""
    by_file, shop = plan_of("0 %", (), "learning-file"), Worked(tmp_path)
    try:
        shop.scale(SCALE.name, SCALE.division_g, repeatability_g=SCALE.repeatability_g)
        file = shop.bench.folders.procedures / PAIR.name
        file.parent.mkdir(parents=True)
        file.write_text(file_text(), encoding="utf-8")
        parameters = {k: by_file.parameters[k] for k in ("reserve", "coats", "depth")}
        ended = []
        for n in range(4):
            job = start_job(shop.bench, PAIR.stem, parameters)
            plan = shop.bench.shop.jobs[job].plan
            assert plan is not None
            work = Work(plan_of("0 %", (), job), Shop(n, LOOSE))
            assert plan.steps == work.plan.steps
            assert plan.fills == work.plan.fills
            work.all()
            ended.append(work.state)
            for command in work.commands:
                shop.clock.tick(1.0)
                shop.bench.do(job, command)
        told = offers(shop.bench, PAIR.stem, parameters)
        assert told == record_of(by_file, {}, ended).offers()
        assert told
    finally:
        shop.bench.close()


def test_these_worlds_know_nothing_of_benchmate() -> None:
    tree = ast.parse(Path(worlds.__file__).read_text(encoding="utf-8"))
    named = [node.module or "" for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)]
    named += [a.name for n in ast.walk(tree) if isinstance(n, ast.Import) for a in n.names]
    assert not [name for name in named if name.startswith("benchmate")]
