"""The foot: weighings, the heading, the adjustment on offer, later acts, the drawn course."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from benchmate.job.deciding import commands as cmd
from benchmate.job.weights import adjustments as landing_on
from benchmate.job.weights.drift import judge
from benchmate.landing.adjusting.adjustment import LayerChange, PieceChange
from benchmate.landing.adjusting.matching import Adjustment, NotReachable
from benchmate.landing.course import Weight
from benchmate.landing.drawing import done_first, short_name
from benchmate.landing.outlook import CoursePlot, LastChance
from benchmate.landing.will_weigh import WillWeigh
from benchmate.plan.address import piece_address
from benchmate.tui.derived_cache import Thoughts
from benchmate.tui.present.bench.foot import joined, later, later_list, weighed
from benchmate.tui.present.bench.footing import Footing, Landing
from benchmate.tui.present.bench.layout import rooms
from benchmate.tui.present.bench.weights.course import course_lines, course_table
from benchmate.tui.present.bench.weights.landing import (
    last_chance_line,
    offer_body,
    offer_lines,
    signed,
    will_weigh_line,
)
from benchmate.tui.present.lines import Line, line, width
from tests.tui.benches import MIX, POUR, Shop, text_of


def clock(s: float) -> str:
    return "17:23"


def will_weigh(mass_g: float, half_g: float = 6.0) -> WillWeigh:
    return WillWeigh("bookend B", mass_g, half_g / 1.96, mass_g - half_g, mass_g + half_g, ())


@pytest.mark.parametrize(
    ("mass_g", "half_g", "said", "role"),
    [
        (838.0, 6.0, "will weigh  838 ± 6 g (want 850 g): 12 g light", "spoil"),
        (850.4, 6.0, "will weigh  850 ± 6 g (want 850 g): on target", "good"),
        (846.0, 6.0, "will weigh  846 ± 6 g (want 850 g): close call", "caution"),
        (849.3, 1.4, "will weigh  849.3 ± 1.4 g (want 850 g): on target", "good"),
        (861.0, 2.0, "will weigh  861.0 ± 2.0 g (want 850 g): 11.0 g heavy", "spoil"),
    ],
)
def test_a_heading_says_where_it_lands_in_words(
    mass_g: float, half_g: float, said: str, role: str
) -> None:
    made = will_weigh_line(will_weigh(mass_g, half_g), 850.0, 8.0, "metric")
    assert text_of([made]) == said
    assert made[-1].role == role


def test_the_heading_of_one_piece_of_several_names_it_under_another_pieces_weighing(
    tmp_path: Path,
) -> None:
    bench = _weighed(tmp_path).bench
    found = bench.agenda()
    act = next(a for a in (*found.ready, *found.later) if a.piece == "B")
    landing = Landing((replace(will_weigh(838.0), address=piece_address(act.job, "B")),))
    foot = Footing(bench.shop, "metric", clock, found, act, judge, landing)
    said = text_of(foot.lines(rooms(80, 24, 0), 80))
    assert "will weigh  bookend B  838 ± 6 g" in said
    out_of_reach = NotReachable((PIECE,), 850.0, (-9.0,), "As near as it goes.", ())
    for offer, key in ((OFFER, "f  accept"), (out_of_reach, "f  see why")):
        offered = replace(foot, landing=replace(landing, offer=offer))
        assert key in text_of(offered.lines(rooms(80, 24, 0), 80))


CHANGE = LayerChange(3, "layer 4", 118.1, 125.1, 11.0, 10.0)
PIECE = PieceChange("bookend B", (CHANGE,), 838.0, Weight(850.0, 2.0))
OFFER = Adjustment((PIECE,), 850.0, "The reason in full.")


def test_an_offer_says_old_and_new_in_one_line_and_less_where_it_is_narrow() -> None:
    said = [text_of([row]) for row in offer_lines(OFFER, "metric")]
    assert said == [
        "adjustment  bookend B layer 4 +7 g shot, −1 g resin → 850 ± 4 g",
        "adjustment  bookend B layer 4 +7 g shot → 850 ± 4 g",
        "adjustment  bookend B layer 4 +7 g shot",
    ]


def test_an_offer_says_what_it_is_measured_against_where_there_is_room() -> None:
    offer = Adjustment((PIECE,), 850.0, "In full.", "to match bookend A, heading for 850 g")
    said = [text_of([row]) for row in offer_lines(offer, "metric")]
    assert said[0] == (
        "adjustment  to match bookend A, heading for 850 g: "
        "bookend B layer 4 +7 g shot, −1 g resin → 850 ± 4 g"
    )
    assert said[-1] == "adjustment  bookend B layer 4 +7 g shot"
    pair = NotReachable((PIECE,), 850.0, (-9.0,), "In full.", (), "14 g apart at best, 5 g allowed")
    assert text_of(offer_lines(pair, "metric")[-1:]) == (
        "out of reach  14 g apart at best, 5 g allowed"
    )


def test_what_can_not_be_reached_says_how_near_it_comes() -> None:
    offer = NotReachable((PIECE,), 850.0, (-9.0,), "As near as it goes.", ())
    assert text_of([offer_lines(offer, "metric")[-1]]) == "out of reach  9 g light at best"
    assert offer_body(offer) == ["As near as it goes."]


@pytest.mark.parametrize(("g", "said"), [(7.0, "+7 g"), (-0.43, "−0.4 g"), (0.04, "0 g")])
def test_a_change_is_said_to_the_tenth(g: float, said: str) -> None:
    assert signed(g, "metric").replace("+0 g", "0 g") == said


def test_the_last_chance_is_said_for_the_piece_in_hand_only() -> None:
    chances = [LastChance("bookend B", "layer 4", 3, True, False, "The last step.", "pair-1/B")]
    assert text_of([last_chance_line(chances, "pair-1/B")]) == "The last step."
    assert last_chance_line(chances, "pair-1/A") == ()


# Weighings -----------------------------------------------------------------------------------


def _weighed(tmp_path: Path) -> Shop:
    shop = Shop(tmp_path).small()
    shop.mix()
    for n, g in ((1, 127.0), (2, 118.4)):
        shop.clock.tick(60.0)
        shop.bench.do("t", cmd.Weigh(address=POUR.format("A", n), net_g=g))
    return shop


def test_weighings_are_newest_first_with_plan_and_verdict(tmp_path: Path) -> None:
    live = _weighed(tmp_path).bench.shop.live
    rows = text_of(weighed(live, judge, "metric", 80, 5)).split("\n")
    said = [" ".join(row.split()) for row in rows]
    assert said[0] == "weighed bookend A, layer +118.4 g plan 128 g 10 g light"
    assert said[1] == "bookend A, layer +127 g plan 128 g on plan"


def test_a_narrow_foot_drops_the_plan_before_the_verdict(tmp_path: Path) -> None:
    live = _weighed(tmp_path).bench.shop.live
    row = weighed(live, judge, "metric", 56, 1)[0]
    assert width(row) <= 56
    assert text_of([row]).endswith("10 g light")
    assert "plan 128" not in text_of([row])


@pytest.mark.parametrize(("cells", "rows"), [(80, 1), (29, 2)])
def test_weighing_and_heading_share_a_row_where_they_fit(cells: int, rows: int) -> None:
    left: Line = line("weighed  a  +1 g")
    made = joined(left, line("heading 838"), cells)
    assert len(made) == rows
    assert all(width(r) <= cells for r in made)


def test_later_acts_stand_in_a_few_words_and_as_a_list(tmp_path: Path) -> None:
    shop = _weighed(tmp_path)
    for n in (1, 2):
        shop.bench.do("t", cmd.Weigh(address=POUR.format("B", n), net_g=128.0))
    for p in "AB":
        shop.bench.do("t", cmd.MarkDone(address=f"t/{p}/block/cap#1"))
    jobs, acts = shop.bench.shop.jobs, shop.bench.agenda().later
    row = text_of([later(jobs, acts, clock, 90)])
    assert row == (
        " later    17:23 spread bookend A, cover, 1 min · 17:23 spread bookend B, cover, 1 min"
    )
    listed = text_of(later_list(jobs, acts, clock, 80, 5)).split("\n")
    assert len(listed) == 2
    assert "Bookend B: spread the glue" in listed[1]
    dated = text_of(later_list(jobs, acts, lambda _: "19 Dec 17:23", 80, 5)).split("\n")
    assert dated[0].startswith(" later    19 Dec 17:23  1 min  Bookend A")
    assert "nothing is waiting" in text_of([later(jobs, (), clock, 80)])


# What is worked out once ---------------------------------------------------------------------


def test_headings_are_worked_out_once_for_every_state(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shop = Shop(tmp_path).bookends("A/block/pour#2")
    calls = []
    real = landing_on.will_weigh_of_job

    def counted(*args: Any) -> Any:
        calls.append(args)
        return real(*args)

    monkeypatch.setattr(landing_on, "will_weigh_of_job", counted)
    thoughts = Thoughts(shop.bench)
    job = shop.bench.shop.jobs[shop.job]
    for _ in range(5):
        shop.clock.tick(1.0)
        found = thoughts.all_will_weigh(job)[0]
    assert 700.0 < found.mass_g < 1000.0
    assert len(calls) == 1
    shop.bench.do(shop.job, cmd.Note(text="a new state"))
    thoughts.all_will_weigh(shop.bench.shop.jobs[shop.job])
    assert len(calls) == 2


# The course ----------------------------------------------------------------------------------

PLOT = CoursePlot(
    labels=("blank", "cover", "layer 1", "layer 2"),
    plan=(300.0, 340.0, 468.0, 596.0),
    low=(299.0, 450.0, 426.0, 560.0),
    middle=(300.0, 466.0, 426.0, 590.0),
    high=(301.0, 480.0, 426.0, 620.0),
    records=(300.0, None, None, None),
    kind=("done", "to come", "done", "to come"),
    target_g=600.0,
    tolerance_g=8.0,
)


def test_what_is_done_stands_before_what_is_to_come_and_the_plan_goes_along() -> None:
    made = done_first(PLOT)
    assert made.labels == ("blank", "layer 1", "cover", "layer 2")
    assert made.plan == (300.0, 428.0, 468.0, 596.0)
    assert made.middle == (300.0, 426.0, 466.0, 590.0)


def test_the_drawn_course_shows_how_far_each_step_is_from_the_plan() -> None:
    rows = text_of(course_lines(PLOT, 60, 14, "metric")).split("\n")[1:-1]
    plan = next(i for i, row in enumerate(rows) if row.strip().startswith("plan"))
    step = (60 - 9) // 4
    places = {
        n: next(i for i, row in enumerate(rows) if row[9 + n * step : 10 + n * step] in "●○")
        for n in (1, 2, 3)
    }
    assert "●" in rows[plan], "the blank is just as planned"
    assert places[1] > plan, "layer 1 came out 2 g light"
    assert places[2] >= plan
    assert places[3] > places[1], "and layer 2 is expected 6 g light"
    assert sum("─" in row for row in rows) == 2, "the tolerance has two limits"
    assert rows[0].split()[0].startswith("+")
    assert rows[-1].split()[0].startswith("−")
    assert all(width(r) <= 60 for r in course_lines(PLOT, 60, 14, "metric"))


def test_the_table_beneath_says_it_in_figures() -> None:
    rows = [" ".join(r.split()) for r in text_of(course_table(PLOT, "metric", 80)).split("\n")]
    assert rows[0] == "plan weight off plan"
    assert rows[2] == "2 layer 1 428.00 g 426.00 g ± 0.00 g −2.00 g"
    assert rows[4] == "4 layer 2 596 g → 590 g ± 30 g −6 g"


@pytest.mark.parametrize(("cells", "rows"), [(60, 5), (12, 14)])
def test_where_there_is_no_room_no_course_is_drawn(cells: int, rows: int) -> None:
    assert course_lines(PLOT, cells, rows, "metric") == []


@pytest.mark.parametrize(
    ("name", "cells", "shown"), [("layer 3", 3, "L3"), ("cap", 2, "ca"), ("oil", 5, "oil")]
)
def test_names_under_the_course_are_short(name: str, cells: int, shown: str) -> None:
    assert short_name(name, cells) == shown


def test_the_mix_has_no_heading_and_no_course(tmp_path: Path) -> None:
    shop = Shop(tmp_path).small()
    job = shop.bench.shop.jobs["t"]
    assert Thoughts(shop.bench).all_will_weigh(job) == ()
    assert Thoughts(shop.bench).course(job, "bookend A") is None
    assert MIX in job.steps
