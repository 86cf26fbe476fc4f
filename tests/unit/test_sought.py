"""Sizes that a plan finds by itself: by search, by pencil, and what is said where it can't."""

from pathlib import Path
from typing import Any

import pytest

from benchmate.fields.problem import Fault
from benchmate.plan.found import said
from benchmate.procedure.expanding.expand import Expansion, expanded
from benchmate.procedure.file.document import load
from benchmate.procedure.finding import library, shipped_folder
from benchmate.procedure.sought.balance import balance_of
from benchmate.procedure.sought.goals import planned_g
from benchmate.procedure.sought.search import Try, search
from benchmate.shelf import FAMILIES


def made(text: str, values: dict[str, Any] | None = None) -> tuple[Expansion | None, list[Fault]]:
    """The plan of a file's text with these values."""
    faults: list[Fault] = []
    document = load(text, "wish.toml", library(Path("/nowhere"), shipped_folder()))
    found = expanded(
        document,
        faults,
        job_id="wish-1",
        materials={},
        families=FAMILIES,
        parameters=values or {},
        learned={},
        next_time={},
    )
    return found, faults


def shipped(name: str) -> str:
    return (shipped_folder() / f"{name}.toml").read_text(encoding="utf-8")


# The search ------------------------------------------------------------------------------------


@pytest.mark.parametrize("sense", [1.0, -1.0])
@pytest.mark.parametrize("power", [1, 3])
def test_the_nearest_step_is_found_in_few_tries(sense: float, power: int) -> None:
    tried: list[int] = []

    def attempt(step: int) -> Try[float]:
        tried.append(step)
        return Try(step, sense * float(step) ** power)

    found = search(10, 900, attempt, lambda made: made, sense * 345.4**power)
    assert (found.best.step, found.reached) == (345, True)
    assert len(tried) < 25
    assert len(set(tried)) == len(tried)


def test_what_cannot_be_limits_the_search_and_is_named() -> None:
    def attempt(step: int) -> Try[float]:
        return Try(step, None, "too thin") if step > 612 else Try(step, float(step))

    found = search(100, 800, attempt, lambda made: made, 700.0)
    assert (found.best.step, found.reached, found.limit) == (612, False, "too thin")
    assert search(100, 800, attempt, lambda made: made, 300.2).best.step == 300


@pytest.mark.parametrize("wanted", [107.3, 350.0, 611.8])
def test_a_goal_short_of_a_limit_is_found_without_looking_for_the_limit(wanted: float) -> None:
    tried: list[int] = []

    def attempt(step: int) -> Try[float]:
        tried.append(step)
        return Try(step, None, "too thin") if step > 612 else Try(step, float(step))

    assert search(100, 800, attempt, lambda made: made, wanted).best.step == round(wanted)
    assert len(tried) < 16
    # The other way about: what is too small can't be made.

    def attempt_below(step: int) -> Try[float]:
        return Try(step, None, "too thin") if step < -612 else Try(step, float(step))

    assert search(-800, -100, attempt_below, lambda made: made, -wanted).best.step == -round(wanted)


def test_a_goal_the_other_way_is_not_blamed_on_the_limit() -> None:
    def attempt(step: int) -> Try[float]:
        return Try(step, None, "too thin") if step > 612 else Try(step, float(step))

    found = search(100, 800, attempt, lambda made: made, 50.0)
    assert (found.best.step, found.reached, found.limit, found.at_top) == (100, False, "", False)


def test_where_nothing_can_be_made_it_says_why() -> None:
    found = search(1, 9, lambda step: Try[float](step, None, "no wood"), lambda made: made, 5.0)
    assert (found.best.made, found.limit) == (None, "no wood")


# By pencil -------------------------------------------------------------------------------------


def test_a_bookends_depth_is_that_of_the_pencil() -> None:
    # Walnut at 9 %: G = 0.55 (1 - 0.128 x 0.6)/(1 - 0.128 x 0.7) = 0.5577, x 1.09 = 0.6079 g/cm³.
    # The slot 80 x 30 mm: 2400 - (4 - π) 15² = 2206.9 mm²: a mm of depth takes 1.3416 g of wood.
    # Shot of 2 mm in a gap of 30 mm packs 0.61 - 1.74/(15 + 1.14)² = 0.6033, less 4 % held back
    # 0.5792: with steel 7.8 and resin 1.1 a ml weighs 4.9806 g, so a mm brings 10.992 g.
    # Each mm deeper brings 10.992 - 1.342 = 9.650 g; from 48 mm as shipped to 850 g:
    before, _ = made(shipped("matched-bookends"))
    found, faults = made(shipped("matched-bookends"), {"depth": "find"})
    assert before is not None
    assert found is not None
    assert not faults
    off_g = 850.0 - planned_g(before.plan, "A")
    by_pencil = 48.0 + off_g / 9.650
    sought = found.plan.sought[0]
    assert sought.number == pytest.approx(by_pencil, abs=0.06)
    assert found.plan.parameters["depth"] == sought.value
    assert planned_g(found.plan, "A") == pytest.approx(850.0, abs=0.5)
    # 10 % of what the wood weighs leads; the four doubts add up as squares.
    assert sought.u == pytest.approx(
        sum(g**2 for g in sought.doubts.values()) ** 0.5 / 9.650, rel=0.01
    )
    # The block is 55 mm thick: what the depth leaves is the thinnest wall.
    wall = f"{round(55.0 - (sought.number or 0.0), 1):g} mm"
    assert said(sought).startswith(f"Depth of the void: {sought.value} ± 3.3 mm, wall {wall};")


def test_with_tungsten_the_void_is_as_much_smaller_as_its_fill_is_denser() -> None:
    # 0.5792 x 15 + 0.4208 x 1.1 = 9.151 g/ml (the plan packs by 0.6033: 9.486), wood 0.6079:
    # (0.6033 x 7.8 + 0.3967 x 1.1 - 0.6079)/(9.486 - 0.6079) = 4.534/8.878 of the void.
    found, _ = made(shipped("matched-bookends"), {"depth": "find"})
    assert found is not None
    sought = found.plan.sought[0]
    assert sought.other == "tungsten shot"
    assert sought.other_number == pytest.approx((sought.number or 0.0) * 4.534 / 8.878, abs=0.1)


def test_what_is_typed_wins() -> None:
    text = shipped("matched-bookends").replace(
        'default  = "48 mm"', 'default  = "48 mm"\nfind = "target"'
    )
    found, _ = made(text)
    assert found is not None
    assert [s.parameter for s in found.plan.sought] == ["depth"]
    typed, _ = made(text, {"depth": "40 mm"})
    assert typed is not None
    assert (typed.plan.sought, typed.plan.parameters["depth"]) == ((), "40 mm")


def test_twins_of_two_woods_get_a_depth_each() -> None:
    text = shipped("matched-bookends")
    for name in ("Depth of the void", "Wood of block and cover"):
        text = text.replace(f'"{name}"', f'"{name}"\nper_piece = true')
    both = {"A": "black walnut", "B": "white oak"}
    found, faults = made(text, {"wood": both, "depth": "find"})
    assert not faults
    assert found is not None
    one, other = found.plan.sought
    assert (one.piece, other.piece) == ("A", "B")
    assert (one.number or 0) > (other.number or 0)
    weights = [planned_g(found.plan, piece) for piece in "AB"]
    assert weights == pytest.approx([850.0, 850.0], abs=0.5)


# What can't be ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("values", "says", "write"),
    [
        (
            {"depth": "find", "target": "1100 g"},
            "the underside is 3.9 mm, less than 4 mm",
            "tungsten",
        ),
        ({"depth": "find", "target": "500 g"}, "the file allows 20 mm at least", "lighter shot"),
        ({"depth": "find", "thickness": "find"}, "are both left to be found", "type one of them"),
        ({"slot": "find"}, "it is of kind size", "leave a length"),
    ],
)
def test_what_cannot_be_found_says_what_limits_it(
    values: dict[str, Any], says: str, write: str
) -> None:
    found, faults = made(shipped("matched-bookends"), values)
    assert found is None
    assert says in faults[0].wrong
    assert write in faults[0].instead


def test_without_a_target_nothing_can_be_found_for_it() -> None:
    text = shipped("matched-bookends").replace('target = "{target} ± 8 g"', "")
    _, faults = made(text, {"depth": "find"})
    assert "target" in faults[0].instead


# The balance -----------------------------------------------------------------------------------

MALLET = """
name    = "Weighted rod"
balance = "150 mm ± 2 mm"

[parameters.start]
ask      = "Where the void starts"
default  = "100 mm"
at_least = "20 mm"
at_most  = "200 mm"
find     = "balance"

[parts.rod]
wood   = "sugar maple"
size   = "300 x 40 x 40 mm"
starts = "0 mm"

[parts.rod.void]
shape = "slot"
size  = "60 x 20 x 30 mm"
from  = "top"
at    = "{start} from the first end"

[parts.cap]
weighs = "30 g ± 1 g"
middle = "290 mm"

[materials]
shot  = "steel 1 mm"
resin = "slow casting epoxy"

[[steps]]
use    = "shot pour"
part   = "rod"
layers = 2
"""


def test_a_void_is_put_where_the_piece_balances() -> None:
    found, faults = made(MALLET)
    assert not faults
    assert found is not None
    balanced = balance_of(found, "A")
    assert balanced is not None
    assert balanced.centre_mm == pytest.approx(150.0, abs=0.1)
    sought = found.plan.sought[0]
    # By moments about 0: wood 300 x 40 x 40 less the slot of 33 428 mm³ (1200 - 86 mm² x 30),
    # the fill in the slot's place, and 30 g at 290 mm.
    wood = found.parts[("A", "rod")]
    fill = (
        sum(la.shot_g + la.resin_g for la in found.plan.fills[0].layers) + found.plan.fills[0].cap_g
    )
    slot_ml = (60 * 20 - (4 - 3.14159265) * 100) * 30 / 1000
    density = wood.density_g_cm3
    at = (sought.number or 0.0) + 30.0
    moments = 480 * density * 150 - slot_ml * density * at + fill * at + 30 * 290
    weight = 480 * density - slot_ml * density + fill + 30
    assert moments / weight == pytest.approx(150.0, abs=0.1)
    assert sought.goal == "balance"
    assert "it balances at 150" in said(sought)
