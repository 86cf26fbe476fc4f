"""Sixty simulated pairs: the quick form of `python -m tests.sim`.

The seeds are fixed, so the outcome is the same on every run; the limits leave room for the luck of
sixty pairs against the shares that a thousand show.
"""

import ast
from functools import cache
from pathlib import Path

import pytest

from tests.sim import maker, shop
from tests.sim.__main__ import assumed
from tests.sim.tally import FINE, KITCHEN, LOW, Scene, Tally, run

JOBS = 60
AS_PLANNED = shop.Assumptions()
SCENES = {
    "to the line, kitchen scale": Scene("a", maker.Plan("line", 0.05), KITCHEN, AS_PLANNED),
    "to the line, 3 % looser": Scene("b", maker.Plan("line", 0.05), FINE, LOW),
    "by weight, kitchen scale": Scene("c", maker.Plan("weight", 0.05), KITCHEN, AS_PLANNED),
    "by weight, 3 % looser": Scene("d", maker.Plan("weight", 0.05), KITCHEN, LOW),
}


@cache
def told(name: str, *, advised: bool) -> Tally:
    return run(SCENES[name], JOBS, advised=advised)


@pytest.mark.parametrize("name", SCENES)
def test_fills_land_within_a_percent_of_their_own_target(name: str) -> None:
    assert told(name, advised=True).fill_within_1pct >= 0.98


@pytest.mark.parametrize("name", SCENES)
def test_pairs_end_within_twice_the_stated_doubt_of_their_difference(name: str) -> None:
    assert told(name, advised=True).pair_within_2u >= 0.98


@pytest.mark.parametrize("name", SCENES)
def test_the_95_percent_interval_after_the_fill_holds_what_it_says(name: str) -> None:
    assert 0.90 <= told(name, advised=True).covered[-1] <= 0.99


def test_makeweights_bring_pieces_home_and_pairs_together() -> None:
    with_it = told("to the line, kitchen scale", advised=True)
    without = told("to the line, kitchen scale", advised=False)
    assert with_it.fill_within_1pct > without.fill_within_1pct + 0.3
    assert with_it.finished_within_1pct > without.finished_within_1pct + 0.15
    assert with_it.pair_mean_g < without.pair_mean_g / 2.0


def test_headings_grow_surer_as_layers_are_weighed() -> None:
    doubts = told("to the line, kitchen scale", advised=False).said_u_g
    assert list(doubts) == sorted(doubts, reverse=True)


def test_makeweights_are_not_a_nuisance() -> None:
    assert told("by weight, kitchen scale", advised=True).changes_per_piece <= shop.LAYERS


def test_the_tables_assumptions_are_said_in_the_numbers_that_are_drawn_from() -> None:
    said = " ".join(assumed())
    for word in ("packing 0.6,", "void within 1.5 %", "2 to 7 g of resin", "sanding 6 ± 3 g"):
        assert word in said


def test_the_world_knows_nothing_of_benchmate() -> None:
    tree = ast.parse(Path(shop.__file__).read_text(encoding="utf-8"))
    named = [node.module or "" for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)]
    named += [a.name for n in ast.walk(tree) if isinstance(n, ast.Import) for a in n.names]
    assert not [name for name in named if name.startswith("benchmate")]


@pytest.mark.parametrize("way", ["line", "weight"])
def test_the_worlds_layers_fill_the_void_and_no_more(way: str) -> None:
    given = shop.Assumptions(air=(0.0, 0.0), left_in_cup_g=(0.0, 0.0))
    job = shop.make_job(5, given, KITCHEN, 1000.0)
    piece = job.pieces[0]
    for layer in range(shop.LAYERS):
        if way == "line":
            job.pour_to_the_line(piece, layer)
        else:
            job.pour_by_weight(piece, layer, 126.0)
    void = shop.LAYERS * shop.LAYER_ML * piece.void_scale
    assert piece.over_ml == pytest.approx(piece.line_ml[-1], abs=1e-9)
    heaviest = void * (0.7 * shop.SHOT_G_CM3 + 0.3 * shop.RESIN_G_CM3)
    assert void * shop.RESIN_G_CM3 < sum(piece.poured_g) < heaviest


def test_the_same_number_brings_the_same_luck() -> None:
    one, other = (shop.make_job(9, AS_PLANNED, FINE, 100.0) for _ in range(2))
    assert one.pieces == other.pieces
    assert one.read(500.0) == other.read(500.0)
