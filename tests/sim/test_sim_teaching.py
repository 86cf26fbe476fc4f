"""What a fill teaches of how its shot lies: much where shot goes to the line, nothing where it is
weighed out and all went in, and again something where it didn't all go in."""

from collections.abc import Callable
from statistics import fmean

import pytest

from benchmate.job.state.state import JobState, Weighing
from benchmate.job.weights.shot_packing import packing_when_full
from benchmate.plan.plan import Fill, Layer
from tests.sim import shop
from tests.unit.shop_of_tests import moment

FILLS = 300
RESERVE = 0.05
SHOT_G = shop.LAYER_ML * shop.PLANNED_PACKING * shop.SHOT_G_CM3

Pour = Callable[[shop.Job, shop.Piece, int], None]


def to_the_line(job: shop.Job, piece: shop.Piece, layer: int) -> None:
    job.pour_to_the_line(piece, layer)


def weighed_out(job: shop.Job, piece: shop.Piece, layer: int) -> None:
    job.pour_by_weight(piece, layer, SHOT_G * (1.0 - RESERVE))


def metal_share(piece: shop.Piece) -> float:
    """Metal over the volume filled, by the mass balance and the planned void."""
    void_ml = shop.LAYERS * shop.LAYER_ML
    heavier = shop.SHOT_G_CM3 - shop.RESIN_G_CM3
    return (sum(piece.poured_g) - void_ml * shop.RESIN_G_CM3) / heavier / void_ml


def slope(pour: Pour, given: shop.Assumptions) -> float:
    """How far the share follows the true packing: 1 where it tells it, 0 where it says nothing."""
    pairs = []
    for seed in range(FILLS):
        job = shop.make_job(seed, given, shop.FINE, 1000.0)
        piece = job.pieces[0]
        for layer in range(shop.LAYERS):
            pour(job, piece, layer)
        pairs.append((fmean(piece.packing), metal_share(piece)))
    x, y = fmean(p for p, _ in pairs), fmean(s for _, s in pairs)
    return sum((p - x) * (s - y) for p, s in pairs) / sum((p - x) ** 2 for p, _ in pairs)


EXACT = shop.Assumptions(void_bound=0.0, fill_sd=0.012, line_sd_ml=0.2)


def test_shot_to_the_line_tells_how_it_lies() -> None:
    assert slope(to_the_line, EXACT) == pytest.approx(1.0, abs=0.15)


def test_shot_weighed_out_that_went_in_says_nothing_of_it() -> None:
    assert slope(weighed_out, EXACT) == pytest.approx(0.0, abs=0.08)


def fill_of(piece: shop.Piece) -> tuple[JobState, Fill]:
    shot_g = SHOT_G * (1.0 - RESERVE)
    resin_g = (shop.LAYER_ML - shot_g / shop.SHOT_G_CM3) * shop.RESIN_G_CM3
    layers = tuple(
        Layer(
            address=f"t/A/block/pour#{n + 1}",
            void_ml=shop.LAYER_ML,
            shot_g=shot_g,
            resin_g=resin_g,
            by_weight=True,
        )
        for n in range(shop.LAYERS)
    )
    void_ml = shop.LAYERS * shop.LAYER_ML
    fill = Fill(
        piece="A",
        part="block",
        void_ml=void_ml,
        void_u_ml=0.01 * void_ml,
        packing=0.6,
        packing_u=0.0105,
        shot="steel",
        shot_density_g_cm3=shop.SHOT_G_CM3,
        resin_density_g_cm3=shop.RESIN_G_CM3,
        layers=layers,
    )
    grams = dict(zip((la.address for la in layers), piece.poured_g, strict=True))
    return weighed_job(grams), fill


def weighed_job(grams: dict[str, float]) -> JobState:
    at = moment()
    weighings = {
        n: Weighing(address=address, net_g=g, version=n, happened=at, as_read_g=g)
        for n, (address, g) in enumerate(grams.items())
    }
    return JobState("t", "a fill", at, weighings=weighings)


def taught(packing_off: float, jobs: int = 60) -> list[float | None]:
    """What the fills of so many jobs taught, their shot weighed out."""
    found = []
    for seed in range(jobs):
        given = shop.Assumptions(packing_off=packing_off)
        job = shop.make_job(seed, given, shop.FINE, 1000.0)
        piece = job.pieces[0]
        for layer in range(shop.LAYERS):
            weighed_out(job, piece, layer)
        found.append(packing_when_full(*fill_of(piece)))
    return found


def test_where_it_all_goes_in_nothing_is_taught() -> None:
    assert [p for p in taught(0.0) if p is not None] == []


def test_where_it_does_not_go_in_the_layers_that_were_full_tell_how_it_lies() -> None:
    off = -0.15
    known = [p for p in taught(off) if p is not None]
    assert len(known) > 40
    assert fmean(known) == pytest.approx(shop.PLANNED_PACKING * (1.0 + off), abs=0.01)
