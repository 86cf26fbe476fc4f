"""Counting what the simulated jobs came to."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TypeVar

from tests.sim import maker, shop


@dataclass(frozen=True)
class Scene:
    """One row of the table: a way of pouring, a scale, a prior that is off or not."""

    name: str
    plan: maker.Plan
    balance: shop.Balance
    given: shop.Assumptions


@dataclass(frozen=True)
class Tally:
    """Shares (0 to 1) and weights in g over all jobs of a scene."""

    scene: Scene
    advised: bool
    jobs: int
    fill_within_1pct: float
    finished_within_1pct: float
    pair_mean_g: float
    pair_p95_g: float
    pair_within_match: float
    pair_within_2u: float
    covered: tuple[float, ...]
    """By the 95 % intervals said before each layer (advice taken) and after the last."""
    said_u_g: tuple[float, ...]
    changes_per_piece: float
    refused: float


T = TypeVar("T")

KITCHEN, FINE = shop.KITCHEN, shop.FINE
LOW, HIGH = shop.Assumptions(packing_off=-0.03), shop.Assumptions(packing_off=0.03)

LINE, WEIGHT = maker.Plan("line"), maker.Plan("weight")
LINE_RESERVE, WEIGHT_RESERVE = maker.Plan("line", 0.05), maker.Plan("weight", 0.05)


def _scenes(name: str, plan: maker.Plan) -> tuple[Scene, ...]:
    return tuple(
        Scene(f"{name}, {balance.division_g:g} g{luck}", plan, balance, given)
        for luck, given in (
            ("", shop.Assumptions()),
            (", packs 3 % looser", LOW),
            (", packs 3 % denser", HIGH),
        )[: 3 if plan.reserve else 1]
        for balance in (KITCHEN, FINE)
    )


SCENES = (
    *_scenes("by weight, reserve", WEIGHT_RESERVE),
    *_scenes("to the line, reserve", LINE_RESERVE),
    *_scenes("by weight", WEIGHT),
    *_scenes("to the line", LINE),
)


def run(scene: Scene, jobs: int, *, advised: bool, first_seed: int = 1) -> Tally:
    """Work that many jobs and count; the same seeds bring the same luck, advised or not."""
    pairs = [
        maker.work(
            shop.make_job(seed, scene.given, scene.balance, scene.plan.resin_g),
            scene.plan,
            advised=advised,
        )
        for seed in range(first_seed, first_seed + jobs)
    ]
    return tally(scene, pairs, advised=advised)


def tally(scene: Scene, pairs: Sequence[maker.Pair], *, advised: bool) -> Tally:
    """Count what came of the pairs."""
    pieces = [piece for pair in pairs for piece in pair.pieces]
    apart = sorted(abs(pair.difference_g) for pair in pairs)
    stages = range(shop.LAYERS + 1)
    return Tally(
        scene=scene,
        advised=advised,
        jobs=len(pairs),
        fill_within_1pct=_share(pieces, lambda p: abs(p.fill_off) <= 0.01),
        finished_within_1pct=_share(
            pieces, lambda p: abs(p.finished_g - scene.plan.target_g) <= scene.plan.tolerance_g
        ),
        pair_mean_g=sum(apart) / len(apart),
        pair_p95_g=apart[int(0.95 * len(apart))],
        pair_within_match=_share(pairs, lambda p: abs(p.difference_g) <= maker.MATCH_G),
        pair_within_2u=_share(pairs, _within_twice),
        covered=tuple(sum(_covers(p, n) for p in pieces) / len(pieces) for n in stages),
        said_u_g=tuple(sum(p.all_will_weigh[n].u_g for p in pieces) / len(pieces) for n in stages),
        changes_per_piece=sum(p.changed_layers for p in pieces) / len(pieces),
        refused=_share(pairs, lambda p: p.refused),
    )


def _within_twice(pair: maker.Pair) -> bool:
    """Within twice the stated expanded uncertainty (k = 2) of the pair's difference."""
    return abs(pair.difference_g) <= 2.0 * 2.0 * pair.said_difference.u_g


def _covers(piece: maker.Result, stage: int) -> bool:
    found = piece.all_will_weigh[stage]
    return found.low_g <= piece.finished_g <= found.high_g


def _share(items: Sequence[T], holds: Callable[[T], bool]) -> float:
    return sum(1 for item in items if holds(item)) / len(items)
